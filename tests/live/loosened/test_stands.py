"""Stands after the release: who hears it on, who is there in time, and when a drive is worth it."""

from dataclasses import replace

import pytest
from tests.live.loose import RELEASE_S, Told

from farglide.live.loosened.flight import LooseFlight
from farglide.live.loosened.stands import ordered, park_after, stand_heard
from farglide.outlook.askedafter import StandAfter
from farglide.track.typed.entries import MarkKind

from .conftest import Asks

HERE = StandAfter(
    name="here", drive_s=0.0, ready_after_launch_s=4800.0, set_off_after_launch_s=None,
    is_in_time=True, heard_ratio=1.0, links=(), lost_agl_m=391.0,
)  # fmt: skip
THERE = replace(HERE, name="there", drive_s=600.0, ready_after_launch_s=5640.0,
                set_off_after_launch_s=4960.0, heard_ratio=0.6, lost_agl_m=5.0)  # fmt: skip


def test_the_stand_of_the_car_hears_it_now_and_the_others_too_late(gliding: LooseFlight) -> None:
    found = park_after(gliding)
    assert found.car == "at Wether Knap"
    assert found.field == "Harrowend strip"
    here = found.stands[0]
    assert (here.name, here.drive_s, here.is_in_time) == ("Wether Knap", 0.0, True)
    assert here.heard_ratio == pytest.approx(1.0, abs=0.1)
    assert {one.purpose for one in here.links} == {"command", "picture"}
    # independent: the demo's picture from Wether Knap is lost some 390 m over home
    assert here.lost_agl_m is not None
    strip = next(one for one in found.stands if one.name == "Harrowend strip")
    assert strip.drive_s == pytest.approx(38.0 * 60.0, abs=60.0)  # 24 km: as from the launch
    assert strip.ready_after_launch_s == gliding.now_s + strip.drive_s + found.set_up_s
    assert not strip.is_in_time
    assert strip.heard_ratio == 0.0
    assert found.drive_s is not None
    assert found.over_after_launch_s == pytest.approx(
        (strip.set_off_after_launch_s or 0.0) + strip.drive_s + found.set_up_s
    )


def test_a_drive_is_worth_it_for_a_much_lower_picture_in_time_alone() -> None:
    def first(here: StandAfter, there: StandAfter) -> str:
        return ordered([there, here])[0].name

    assert first(HERE, THERE) == "there"
    assert first(replace(HERE, lost_agl_m=290.0), THERE) == "here"  # low enough for the circuit
    assert first(HERE, replace(THERE, lost_agl_m=250.0)) == "here"  # little is won
    assert first(HERE, replace(THERE, is_in_time=False)) == "here"
    assert first(replace(HERE, lost_agl_m=None), THERE) == "there"
    assert first(HERE, replace(THERE, heard_ratio=0.4)) == "here"  # unseen for most of the way
    deaf = replace(HERE, heard_ratio=0.05, lost_agl_m=100.0)
    assert first(deaf, replace(THERE, heard_ratio=0.4)) == "there"
    assert ordered([THERE, HERE], stays=True)[0].name == "here"
    late = replace(THERE, is_in_time=False, name="late", lost_agl_m=0.0)
    assert [one.name for one in ordered([late, THERE])] == ["there", "late"]


def test_what_is_tied_on_has_its_landing_too(tied: LooseFlight) -> None:
    found = park_after(tied)
    assert found.field
    assert any(one.lost_agl_m is not None for one in found.stands)
    assert found.down_after_launch_s is not None
    assert found.stands[0].drive_s == 0.0  # somebody has to send the release


def test_the_links_of_now_are_those_of_the_car(gliding: LooseFlight) -> None:
    found = stand_heard(gliding)
    assert found is not None
    assert found.name == "Wether Knap"
    picture = next(one for one in found.links if one.purpose == "picture")
    assert (picture.grade or 0) >= 3
    assert picture.holds_ratio > 0.9
    assert found.elevation_deg == pytest.approx(
        gliding.after.aim.elevation_deg if gliding.after.aim else -90.0, abs=0.5
    )


def test_low_over_its_field_it_is_heard_on(asks: Asks, home: Told) -> None:
    low_s = home.path.end_s - 120.0
    found = park_after(asks(home, low_s, (RELEASE_S, MarkKind.RELEASED), car="Stile Gap"))
    assert found.stands[0].name == "Stile Gap"
    assert found.drive_s is not None
    assert found.drive_s > 600.0
