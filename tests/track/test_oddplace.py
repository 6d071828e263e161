"""Odd places, clocks and speeds: each told with what it would change, and sound ones not."""

import pytest

from farglide.track.oddplace import clock_suspicions, place_suspicions, speed_suspicions
from farglide.track.received import Oddity

from .received_by_hand import AWAY, UTC_S, received, source


@pytest.mark.parametrize(
    ("lat_deg", "lon_deg", "words"),
    [
        (-48.1, 11.0, "the sign of its latitude turned"),
        (48.1, -11.0, "the sign of its longitude turned"),
        (-48.0, -11.2, "both signs turned"),
        (11.1, 48.0, "latitude and longitude swapped"),
        (-11.0, 48.0, "latitude and longitude swapped and another sign"),
    ],
)
def test_swapped_places_and_lost_signs_are_named(
    lat_deg: float, lon_deg: float, words: str
) -> None:
    (one,) = place_suspicions(received(lat_deg=lat_deg, lon_deg=lon_deg), AWAY)
    assert one.oddity is Oddity.SWAPPED
    assert f"; with {words} it would be here." in one.what
    assert one.remedy == "Look at the columns and signs of this feed."


def test_a_place_500_km_off_is_of_another_flight() -> None:
    (one,) = place_suspicions(received(north_m=510e3), AWAY)
    assert one.oddity is Oddity.ELSEWHERE
    assert one.what.startswith("tracker is 51")
    assert "shut every field" in one.changes
    assert not list(place_suspicions(received(north_m=490e3), AWAY))


@pytest.mark.parametrize(
    ("off_s", "words"),
    [
        (3600.0, "is 1 h ahead of ours. Taken"),
        (-7205.0, "is 2 h behind ours."),
        (5.5 * 3600.0, "is 5.5 h ahead of ours."),
        (8.0, "is 8 s ahead of ours."),
        (-45.0, "is 45 s behind ours."),
        (-1024 * 7 * 86_400.0 + 3.0, "is 1024 weeks behind ours."),
        (30 * 86_400.0, "is 30 days ahead of ours."),
    ],
)
def test_clocks_that_cannot_be_are_told(off_s: float, words: str) -> None:
    (one,) = clock_suspicions(received(t_s=UTC_S + off_s))
    assert one.oddity is Oddity.CLOCK
    assert words in one.text


@pytest.mark.parametrize("off_s", [-29.0, 0.0, 4.9])
def test_a_clock_that_is_about_right_is_no_suspicion(off_s: float) -> None:
    assert not list(clock_suspicions(received(t_s=UTC_S + off_s)))
    assert not list(clock_suspicions(received(t_s=None)))


@pytest.mark.parametrize(
    ("north_m", "height_m", "words"),
    [
        (4200.0, 10_050.0, "tracker moved 4.2 km in 10 s."),
        (500.0, 10_250.0, "tracker climbed 250 m in 10 s."),
        (500.0, 7_400.0, "tracker fell 2600 m in 10 s."),
    ],
)
def test_nothing_moves_so(north_m: float, height_m: float, words: str) -> None:
    (one,) = speed_suspicions(received(10.0, north_m, height_m), received())
    assert one.oddity is Oddity.TOO_FAST
    assert one.what == words


@pytest.mark.parametrize(
    ("north_m", "height_m"),
    [(3900.0, 10_100.0), (0.0, 10_180.0), (0.0, 7_600.0), (0.0, None)],
)
def test_what_a_jet_a_climb_or_a_fall_does_is_no_suspicion(
    north_m: float, height_m: float | None
) -> None:
    assert not list(speed_suspicions(received(10.0, north_m, height_m), received()))


def test_the_error_of_the_receiver_is_no_speed() -> None:
    rough = source(error_m=100.0)
    now, before = received(1.0, 600.0, 10_300.0, rough), received(feed=rough)
    assert not list(speed_suspicions(now, before))
    assert list(speed_suspicions(received(1.0, 600.0), received()))


def test_two_fixes_of_one_moment_have_no_speed() -> None:
    assert not list(speed_suspicions(received(0.1, 9000.0), received()))
