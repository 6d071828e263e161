"""Best place: rides that no whole fix tells of, from the release to the ground."""

from dataclasses import replace
from math import atan2, cos, degrees, radians, sin
from pathlib import Path
from typing import NamedTuple

import numpy as np
import pytest
from tests.live.loose import RELEASE_S, Told, hears, released, up_to
from tests.live.made import Crew, begun, flight_of, nmea
from tests.track.filter.made import last as last_of
from tests.track.filter.made import laws, of

from farglide.air.sounding import Sounding
from farglide.chances.onward import Seen
from farglide.earth.geodesy import geodesic
from farglide.earth.state import place_of
from farglide.flightfile.flightfile import FlightFile
from farglide.live.free.bestplace import STORIES, best_seen, told_fix
from farglide.live.ride.slow import Flight, Maker
from farglide.outlook.advice import Advice
from farglide.outlook.after import Stage
from farglide.sortie.spec import Sortie
from farglide.track.filter.particles import Laws, Story
from farglide.track.reports import Fix, Raw

STAND = "Wether Knap"
EARTH_M = 6_371_000.0


@pytest.fixture(scope="module")
def flight(demo_flight: FlightFile, sortie: Sortie, demo_sounding: Sounding) -> Flight:
    stood = replace(sortie, stands=demo_flight.sortie.stands)
    return flight_of(stood, demo_sounding)


@pytest.fixture(scope="module")
def home(flight: Flight) -> Told:
    return released(flight)


@pytest.fixture
def crew(tmp_path: Path, flight: Flight) -> Crew:
    return begun(tmp_path / "ride.log", flight.sortie, Maker(flight))


class _Made(NamedTuple):
    """Tables of which nothing but their laws is asked."""

    laws: Laws


def last(crew: Crew) -> Advice:
    return crew.published[-1]


def aims(crew: Crew, sortie: Sortie, fix: Fix) -> None:
    """Type where an antenna hears it best, to the degree."""
    stand = next(one for one in sortie.stands if one.name == STAND)
    here = place_of(stand, stand.amsl_m + stand.mast_m)
    there = replace(here, lat_deg=fix.lat_deg, lon_deg=fix.lon_deg, amsl_m=fix.height_m or 0.0)
    way = geodesic(here, there)
    turn = way.distance_m / EARTH_M
    high, low = EARTH_M + there.amsl_m, EARTH_M + here.amsl_m
    up = degrees(atan2(high * cos(turn) - low, high * sin(turn)))
    crew.types(f"a wether {round(way.azimuth_deg) % 360:03d} {round(up)}")


def off_m(advice: Advice, fix: Fix) -> float:
    """Return how far from where it is said to be it is."""
    here, place = radians(fix.lat_deg), advice.place
    east = EARTH_M * cos(here) * radians(place.lon_deg - fix.lon_deg)
    return float(np.hypot(EARTH_M * radians(place.lat_deg - fix.lat_deg), east))


def test_directions_alone_carry_a_ride_from_launch_to_ground(
    crew: Crew, flight: Flight, home: Told
) -> None:
    crew.at(0.0)
    crew.types("launched")
    for t_s in range(120, int(RELEASE_S), 120):
        crew.at(float(t_s))
        aims(crew, flight.sortie, home.at(float(t_s)))
    crew.sums()
    carried = last(crew)
    assert carried.stage is Stage.CARRIED
    crew.at(RELEASE_S + 3.0)
    crew.types("released")
    dropped = last(crew)
    assert dropped.stage is Stage.DROPPED
    # it begins as sure as it was while carried
    assert dropped.place.most_within_m == pytest.approx(carried.place.most_within_m, rel=0.5)
    assert off_m(dropped, home.at(RELEASE_S)) < 1.5 * dropped.place.most_within_m
    inside, wide_m = [], []
    for t_s in range(int(RELEASE_S) + 60, int(home.path.end_s) - 120, 60):
        crew.at(float(t_s))
        crew.types("q 4")
        aims(crew, flight.sortie, home.at(float(t_s)))
        crew.sums()
        found = last(crew)
        assert found.stage in (Stage.GLIDING, Stage.UNSTEERED)
        assert found.after is not None
        inside.append(off_m(found, home.at(float(t_s))) <= found.place.most_within_m)
        wide_m.append(found.place.most_within_m)
    assert np.mean(inside) > 0.9
    assert max(wide_m) < 12_000.0
    steered = [one.after.steer for one in crew.published if one.after and one.after.steer]
    assert len(steered) > 10
    assert any(one.after and one.after.landing for one in crew.published)  # the way was summed
    assert last(crew).place.amsl_m == pytest.approx(home.at(float(t_s)).height_m or 0.0, abs=1500.0)
    assert {one.name for one in last(crew).fields} == {one.name for one in flight.sortie.fields}


def test_places_without_a_height_go_on_after_the_release(
    crew: Crew, flight: Flight, home: Told
) -> None:
    up_to(crew, home, RELEASE_S - 30.0)
    hears(crew, home, RELEASE_S + 5.0)
    crew.types("released")
    for fix in home.between(RELEASE_S + 10.0, RELEASE_S + 400.0, 5.0):
        crew.at((fix.t_s or 0.0) - crew.launch_t_s + 0.1)
        rmc = nmea(fix).splitlines(keepends=True)[0]
        raw = Raw(feed="tracker", monotonic_s=crew.at_s, utc_s=crew.t_s, data=rmc)
        crew.running.take(raw, crew.clocks)
        crew.turn()
    crew.sums()
    found, true = last(crew), home.at(RELEASE_S + 400.0)
    assert found.stage is Stage.GLIDING
    assert off_m(found, true) < 100.0
    assert found.place.seen_after_launch_s == pytest.approx(RELEASE_S + 400.0, abs=6.0)
    assert found.place.amsl_m == pytest.approx(true.height_m or 0.0, abs=1500.0)
    assert found.after is not None
    assert found.after.steer is not None


def test_a_place_of_the_stories_is_told_as_a_fix(flight: Flight) -> None:
    launch = flight.sortie.launch
    fix = told_fix(launch, Seen(100.0, 5000.0, 0.001, -0.001))
    assert (fix.feed, fix.t_s, fix.height_m) == (STORIES, launch.t_s + 100.0, 5000.0)
    assert fix.lat_deg == pytest.approx(launch.lat_deg + degrees(0.001))


def test_the_newest_whole_fix_tells_until_a_place_is_newer() -> None:
    particles = of(laws(), Story.GLIDING)
    made = _Made(laws())
    now_s = particles.placed_s
    for fix_s, is_fix in ((now_s, True), (now_s - 0.5, True), (now_s - 2.0, False)):
        seen = Seen(fix_s, 20e3, 0.0, 0.0)
        found = best_seen(made, particles, seen)  # type: ignore[arg-type]
        assert (found == seen) is is_fix
        assert found.after_launch_s >= fix_s
    alone = best_seen(made, particles, None)  # type: ignore[arg-type]
    assert alone.amsl_m == pytest.approx(last_of().amsl_m, abs=30.0)
