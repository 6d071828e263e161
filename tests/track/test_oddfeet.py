"""Feet told as metres: found on the hand and in the climb; true metres are let alone."""

from dataclasses import replace

import pytest

from farglide.earth.state import Place
from farglide.sortie.feeds import FeedSpec, where_of
from farglide.track.oddfeet import feet_suspicions
from farglide.track.received import Flown, Oddity, Received
from farglide.track.reports import Fix

T_S = 1_800_000_000.0
SPEC = FeedSpec(name="tracker", where=where_of("udp://:1"), format="nmea")
LAUNCH = Place(lat_deg=-46.5, lon_deg=108.0, amsl_m=240.0)
HAND, FLOWN = Flown(launch=LAUNCH), Flown(launch=LAUNCH, launched_utc_s=T_S)


def received(t_s: float, height_m: float | None) -> Received:
    fix = Fix(feed="tracker", lat_deg=-46.5, lon_deg=108.0, t_s=T_S + t_s, height_m=height_m)
    return Received(fix=fix, source=SPEC, utc_s=T_S + t_s)


def test_on_the_hand_it_is_three_times_the_launch() -> None:
    (found,) = feet_suspicions(received(-60.0, 240.0 / 0.3048), None, None, HAND)
    assert found.oddity is Oddity.HEIGHT_KIND
    assert found.what == "tracker says 787 m, too high for this time: does it tell feet?"
    assert found.changes == "As feet it would be 240 m."
    assert "height_ft" in found.remedy


@pytest.mark.parametrize("climb_mps", [3.5, 5.2, 7.0])
def test_a_climb_in_feet_is_found_all_the_way_up(climb_mps: float) -> None:
    before = None
    for t_s in range(0, 4200, 60):
        now = received(t_s, (240.0 + climb_mps * t_s) / 0.3048)
        found = list(feet_suspicions(now, before, None, FLOWN))
        assert len(found) == 1, t_s
        before = replace(now, fix=replace(now.fix, height_m=None))  # as it is believed


@pytest.mark.parametrize("climb_mps", [0.0, 3.0, 5.2, 9.0])
def test_metres_are_let_alone(climb_mps: float) -> None:
    before = None
    for t_s in range(-60, 4800, 60):
        now = received(t_s, 240.0 + climb_mps * max(t_s, 0))
        assert not list(feet_suspicions(now, before, before, FLOWN if t_s >= 0 else HAND))
        before = now


def test_a_launch_before_its_planned_time_makes_no_feet() -> None:
    before, now = received(-100.0, 500.0), received(-60.0, 740.0)
    assert not list(feet_suspicions(now, before, before, HAND))


def test_one_that_was_believed_is_doubted_by_its_climb() -> None:
    """From a launch near sea level feet are no wonder at first: 66 ft are 20 m."""
    earlier = received(0.0, 66.0)
    for t_s in range(60, 3600, 60):
        now = received(t_s, 66.0 + 17.1 * t_s)
        assert list(feet_suspicions(now, earlier, earlier, FLOWN))
    assert not list(feet_suspicions(received(30.0, 579.0), earlier, earlier, FLOWN))
    late = replace(FLOWN, launched_utc_s=T_S + 590.0)  # marked ten minutes late
    before = received(590.0, 3300.0)
    assert not list(feet_suspicions(received(600.0, 3350.0), before, received(500.0, 2850.0), late))


def test_what_feet_do_not_explain_or_has_no_height_is_none_of_this() -> None:
    assert not list(feet_suspicions(received(60.0, 30_000.0), None, None, FLOWN))
    assert not list(feet_suspicions(received(60.0, None), None, None, FLOWN))
    far = replace(HAND, launch=replace(LAUNCH, lat_deg=-46.0))
    assert not list(feet_suspicions(received(-60.0, 787.0), None, None, far))


def test_on_the_hand_it_stays_left_out_until_somebody_marks_the_launch() -> None:
    before = received(-2.0, None)
    for t_s in (0.0, 60.0, 600.0):
        now = received(t_s, (240.0 + 5.2 * t_s) / 0.3048)
        assert list(feet_suspicions(now, before, None, HAND))
    assert not list(feet_suspicions(received(0.0, 260.0), before, None, HAND))


def test_once_the_launch_is_due_a_height_that_a_climb_explains_is_no_feet() -> None:
    """First heard 100 s after a launch that nobody marked: 740 m, in feet the launch itself."""
    due = replace(HAND, due_utc_s=T_S)
    assert not list(feet_suspicions(received(100.0, 740.0), None, None, due))
    assert list(feet_suspicions(received(-5.0, 787.0), None, None, due))
    left_out = received(98.0, None)
    assert list(feet_suspicions(received(100.0, 787.0), left_out, None, due))
    for t_s in range(0, 3000, 60):
        now = received(t_s, (240.0 + 5.2 * t_s) / 0.3048)
        assert list(feet_suspicions(now, left_out, None, due))
