"""The hand-over: what one car says is what the other rides on with."""

from dataclasses import replace

import pytest

from farglide.live.asked.hand import hand_now
from farglide.live.asked.moment import Told
from farglide.live.asked.situation import Situation
from farglide.live.stated import Line, ride_of, with_typed
from farglide.outlook.freshness import Freshness


def test_the_other_car_has_the_same_place_height_and_time(asked: Situation) -> None:
    found = hand_now(asked)
    sortie = asked.sortie
    lines = [Line(t_s=asked.now_t_s + 40.0, text=f"over {found.words}")]
    ride = with_typed(ride_of((), sortie.launch), lines, sortie)
    (fix,) = ride.fixes()
    at_s = (fix.t_s or 0.0) - asked.launch.t_s
    assert asked.now_s <= at_s == found.after_launch_s <= asked.now_s + 20.0
    place = asked.place_then(at_s)
    assert fix.height_m == pytest.approx(place.amsl_m, abs=50.0)
    assert fix.lat_deg == pytest.approx(place.lat_deg, abs=50.0 / 111_195.0)
    assert fix.lon_deg == pytest.approx(place.lon_deg, abs=50.0 / 76_542.0)
    assert fix.feed == "over"


def test_field_and_seconds_are_those_of_the_advice(asked: Situation) -> None:
    found, release = hand_now(asked), asked.advice.release
    assert release is not None
    assert found.field == release.field
    assert found.left_s == pytest.approx(release.release_by_after_launch_s - found.after_launch_s)
    late = replace(release, release_by_after_launch_s=0.0)
    assert hand_now(replace(asked, advice=replace(asked.advice, release=late))).left_s == 0.0
    none = hand_now(replace(asked, advice=replace(asked.advice, release=None)))
    assert (none.field, none.left_s) == ("", None)


def test_a_field_that_the_flight_file_does_not_have_is_none(asked: Situation) -> None:
    few = replace(asked.sortie, fields=asked.sortie.fields[-1:])
    other = replace(asked, told=Told(written=few))
    assert hand_now(other).field in ("", few.fields[0].name)


@pytest.mark.parametrize(
    ("spread", "measured", "wind"),
    [(1.5, 0.3, "off by more than told"), (1.0, 0.3, "as told"), (1.0, 0.0, "not known")],
)
def test_the_class_of_the_winds(
    asked: Situation, spread: float, measured: float, wind: str
) -> None:
    air = replace(asked.advice.air, spread_ratio=spread, measured_ratio=measured)
    advice = replace(asked.advice, air=air, data=Freshness.UNKNOWN)
    found = hand_now(replace(asked, advice=advice))
    assert (found.wind, found.phase) == (wind, "lost")
