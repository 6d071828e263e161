"""Steer: what to fly home, against the independent figures of the leaking demo."""

from dataclasses import replace

import numpy as np
import pytest
from tests.chances.bare import CLOCK_S, leaking_of, low_of

from farglide.air.sounding import Sounding
from farglide.chances.ensemble import Ensemble
from farglide.flightfile.flightfile import FlightFile
from farglide.live.after.steer import IN_HAND_S, home_way, serves_to, steer_now
from farglide.outlook.ascent import Spread
from farglide.plan.home.glides import levelled_at, on_the_way
from farglide.plan.home.homeward import flights_home
from farglide.sim.core.tracks import Point

FREE_S = 88.0 * 60.0 + 40.0


@pytest.fixture(scope="module")
def leaking(demo_flight: FlightFile, demo_sounding: Sounding) -> Ensemble:
    return leaking_of(low_of(demo_flight.sortie), demo_sounding)


@pytest.fixture(scope="module")
def level(leaking: Ensemble) -> Point:
    """Return where the glider is level that comes free 40 s after T+88, at the second try."""
    clock = CLOCK_S * np.arange(leaking.climbs.tracks.amsl_m.shape[1])
    places = (float(np.interp(FREE_S, clock, one[0])) for one in leaking.climbs.tracks.places)
    return levelled_at(leaking, Point(FREE_S, *places))


def test_the_ways_home_of_the_slow_leak_are_the_independent_ones(
    leaking: Ensemble, level: Point
) -> None:
    # Independent: let go at 24.0 km; 5.5 km to spare at T+132 by the flattest way, which is too
    # late for the packs; soonest 300 m over home at T+120.2. Heights to 5 %, times to 1.5 min.
    flight = on_the_way(leaking, level, 0)
    assert flight is not None
    found = flights_home(leaking, flight)
    assert found.spare_m == pytest.approx(5500.0, abs=300.0)
    assert found.flattest.after_s[-1] / 60.0 == pytest.approx(132.0, abs=1.5)
    assert found.over_field_s / 60.0 == pytest.approx(120.2, abs=1.5)


def test_it_is_told_to_fly_faster_than_the_flattest_glide(leaking: Ensemble, level: Point) -> None:
    home = home_way(leaking, level, 0)
    assert home is not None
    assert home.way == "in time"
    assert home.in_reach
    end_s = float(leaking.reach.haste.end_s[0])
    assert home.down_s <= end_s - IN_HAND_S + 1.0
    arrival = Spread(p10=1.0, p50=2.0, p90=3.0)
    steer = steer_now(leaking, home, 0, 0.9, arrival)
    flight = on_the_way(leaking, level, 0)
    assert flight is not None
    flattest = flights_home(leaking, flight).flattest
    assert steer.eas_mps > float(flattest.eas_mps[0])
    assert home.over_s < float(flattest.after_s[-1]) - 300.0
    # Independent: home bears 324 degrees from there
    assert steer.track_deg == pytest.approx(324.0, abs=2.0)
    assert (steer.field, steer.chance_ratio) == ("Harrowend strip", 0.9)
    assert steer.arrival_agl_m == arrival
    assert steer.must_end_by == "packs"
    assert steer.must_end_after_launch_s == end_s


def test_speeds_are_those_of_the_flight_over_the_ground(leaking: Ensemble, level: Point) -> None:
    home = home_way(leaking, level, 0)
    assert home is not None
    steer = steer_now(leaking, home, 0, 0.9, None)
    path, k = home.passage, serves_to(leaking, home.passage)
    seconds = float(path.after_s[k] - path.after_s[0])
    assert steer.until_amsl_m == path.amsl_m[k]
    assert steer.sink_mps == pytest.approx((path.amsl_m[0] - path.amsl_m[k]) / seconds)
    gone_m = float(path.short_m[0] - path.short_m[k])
    assert steer.ground_mps == pytest.approx(gone_m / seconds, rel=0.01)
    assert steer.away_m == pytest.approx(float(path.short_m[0]), rel=0.01)


def test_with_packs_to_spare_the_flattest_way_is_flown(leaking: Ensemble, level: Point) -> None:
    haste = leaking.reach.haste
    later = replace(leaking, reach=replace(
        leaking.reach, haste=haste._replace(end_s=haste.end_s + 4.0 * 3600.0)))  # fmt: skip
    home = home_way(later, level, 0)
    assert home is not None
    assert home.way == "flattest"


def test_when_time_is_short_it_is_flown_as_soon_as_can_be(leaking: Ensemble, level: Point) -> None:
    haste = leaking.reach.haste
    short = replace(leaking, reach=replace(
        leaking.reach, haste=haste._replace(end_s=np.array([FREE_S + 600.0]))))  # fmt: skip
    home = home_way(short, level, 0)
    assert home is not None
    assert home.way == "quickest"
    assert home.over_s / 60.0 == pytest.approx(120.2, abs=1.5)


def test_out_of_reach_it_is_flown_as_far_as_it_goes(leaking: Ensemble, level: Point) -> None:
    home = home_way(leaking, level._replace(amsl_m=9000.0), 0)
    assert home is not None
    assert not home.in_reach
    assert home.way == "flattest"
    steer = steer_now(leaking, home, 0, 0.0, Spread(p10=1.0, p50=1.0, p90=1.0))
    assert steer.arrival_agl_m is None
    assert home_way(leaking, level._replace(amsl_m=0.0), 0) is None
