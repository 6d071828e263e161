"""The sun against figures computed elsewhere, headings against the triangle of winds."""

import math

import pytest

from farglide.live.asked.situation import Situation, Wind
from farglide.live.asked.sky import steered_deg, sun_now
from farglide.sim.core.step import Offset, apart_m


def test_the_sun_at_t_76_is_where_it_was_computed_elsewhere(asked: Situation) -> None:
    """Azimuth 257, 14 degrees up, home bears 310 and 57 km: the sun 53 degrees to the left."""
    found = sun_now(asked)
    home = next(one for one in found.aims if one.field == "Harrowend strip")
    assert found.azimuth_deg == pytest.approx(257.0, abs=1.0)
    assert found.elevation_deg == pytest.approx(14.0, abs=1.0)
    assert home.bearing_deg == pytest.approx(310.0, abs=1.0)
    assert home.distance_m == pytest.approx(56_600.0, abs=300.0)
    steer_deg, right_deg = home.steer_deg, home.right_deg
    assert steer_deg is not None
    assert right_deg is not None
    assert (found.azimuth_deg - home.bearing_deg) == pytest.approx(-53.0, abs=1.5)
    assert right_deg == pytest.approx(found.azimuth_deg - steer_deg, abs=1e-6)
    assert found.aims[0].field == asked.field_name
    assert {one.field for one in found.aims} == {one.name for one in asked.sortie.fields}


def test_the_light_ends_as_computed_elsewhere(asked: Situation) -> None:
    """Sunset T+173, civil dusk T+208; up there it sets later than below."""
    found = sun_now(asked)
    assert found.sets_after_launch_s == pytest.approx(173.0 * 60.0, abs=90.0)
    assert found.dusk_after_launch_s == pytest.approx(208.0 * 60.0, abs=90.0)
    assert (found.sets_aloft_after_launch_s or 0.0) > found.sets_after_launch_s + 600.0


def test_the_sun_moves_eleven_degrees_an_hour(asked: Situation) -> None:
    """So a quarter of an hour of the clock's face, 7.5 degrees, is good for 41 minutes."""
    assert sun_now(asked).aims[0].good_for_s == pytest.approx(41.0 * 60.0, abs=240.0)


def heading_flown_deg(asked: Situation, field: str) -> float:
    """Return where the way home points at its top: its track over ground less the wind there."""
    f = [one.name for one in asked.sortie.fields].index(field)
    home = asked.way_home(asked.now_s, f)
    assert home is not None
    path, frame = home.flown, asked.plain.air.scene.frame
    here, there = (Offset(float(path.north_rad[k]), float(path.east_rad[k])) for k in (0, 1))
    east_m, north_m = apart_m(frame, here, there)
    seconds = float(path.after_s[1] - path.after_s[0])
    wind = asked.wind(0.5 * float(path.amsl_m[0] + path.amsl_m[1]))
    east_mps, north_mps = east_m / seconds - wind.east_mps, north_m / seconds - wind.north_mps
    return math.degrees(math.atan2(east_mps, north_mps)) % 360.0


def test_what_is_open_is_steered_for_as_it_is_flown_home(young: Situation) -> None:
    """At T+18 the wind is faster than the best glide: the way home is flown faster than that."""
    found = sun_now(young)
    home = next(one for one in found.aims if one.field == "Harrowend strip")
    now = next(one for one in young.advice.fields if one.name == "Harrowend strip")
    assert now.chance_ratio > 0.5
    assert home.steer_deg is not None
    assert home.steer_deg == pytest.approx(heading_flown_deg(young, "Harrowend strip"), abs=4.0)


def test_each_heading_is_that_of_its_own_way_home(asked: Situation) -> None:
    for one in sun_now(asked).aims:
        assert one.steer_deg is not None
        assert one.steer_deg == pytest.approx(heading_flown_deg(asked, one.field), abs=4.0)


@pytest.mark.parametrize(
    ("course_deg", "wind", "steer_deg"),
    [
        (0.0, Wind(0.0, 10.0), 0.0),  # from behind
        (0.0, Wind(10.0, 0.0), 330.0),  # from the left: asin(10/20) into it
        (90.0, Wind(0.0, 10.0), 120.0),
        (0.0, Wind(0.0, -25.0), None),  # faster than it flies
        (0.0, Wind(20.0, 0.0), None),
    ],
)  # fmt: skip
def test_a_heading_keeps_the_course(course_deg: float, wind: Wind, steer_deg: float | None) -> None:
    assert steered_deg(course_deg, wind, 20.0) == pytest.approx(steer_deg)
