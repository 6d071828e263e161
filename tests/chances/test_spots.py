"""Launch spots: against flights really launched there, with the same draws."""

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import NamedTuple

import numpy as np
import pytest

from farglide.air.sounding import Sounding
from farglide.atlas.terrain import Terrain
from farglide.chances.case import with_plain
from farglide.chances.chances import chances_of_climb
from farglide.chances.ensemble import Ensemble, drawn_ensemble
from farglide.chances.heights import chances_of_heights
from farglide.chances.spots import (
    Asking,
    Spots,
    asked,
    asking_of,
    fields_from,
    first_manned_s,
    heard_from,
    hopeful,
    some_of,
    spot_at,
    spots_at,
    thinned,
)
from farglide.chances.toldspots import Named, told_spot
from farglide.chances.trial import STEP_M
from farglide.earth.geodesy import geodesic
from farglide.earth.state import Place, place_of
from farglide.flightfile.flightfile import FlightFile
from farglide.gather.gather import gather_terrain
from farglide.rig.drives import drives_on_s, home_place
from farglide.rig.listening import listening_of
from farglide.sortie.grain import Grain
from farglide.sortie.spec import Sortie
from farglide.sources.winds import read_winds

DEMO_KM = (  # up the drift of home and to its left
    (0.0, 0.0), (8.0, 30.0), (-4.0, 10.0), (20.0, -20.0), (-28.0, -40.0), (14.0, 0.0),
    (-16.0, 20.0), (30.0, 5.0), (-40.0, 0.0), (25.0, -38.0),
)  # fmt: skip
GILES_KM = (
    (0.0, 0.0), (100.0, 0.0), (120.0, 0.0), (80.0, 80.0), (100.0, 80.0), (110.0, 40.0),
    (140.0, 0.0), (110.0, -40.0), (-40.0, -80.0), (130.0, -20.0),
)  # fmt: skip

Taken = Callable[[Sounding, Sortie, Sortie], Sounding]


class Given(NamedTuple):
    """Draws of a flight, the ground it is heard over, and ten spots to launch it from."""

    ensemble: Ensemble
    ground: Terrain | None
    spots_km: tuple[tuple[float, float], ...]


def real_flight(sortie: Sortie, authorities: Path) -> Given:
    """Return the demo's gear and fields at Giles, in the winds measured there, without links."""
    sounding = read_winds(authorities / "giles_20160403.bufr", None, None)
    assert sounding.lat_deg is not None
    assert sounding.lon_deg is not None
    assert sounding.t_s is not None
    north, east = sounding.lat_deg - sortie.launch.lat_deg, sounding.lon_deg - sortie.launch.lon_deg
    there = [
        replace(one, lat_deg=one.lat_deg + north, lon_deg=one.lon_deg + east, amsl_m=600.0)
        for one in sortie.fields
    ]
    launch = replace(sortie.launch, lat_deg=sounding.lat_deg, lon_deg=sounding.lon_deg,
                     amsl_m=600.0, t_s=sounding.t_s)  # fmt: skip
    placed = replace(
        sortie, launch=launch, fields=tuple(there), links=(), stands=(), terrain=None, barriers=()
    )
    grain = Grain(n_draws=200, clock_s=60.0, prices_mps=(4.0, 12.0, 30.0, 100.0, 1000.0), slab=5)
    return Given(drawn_ensemble(placed, sounding, grain), None, GILES_KM)


def really_launched(given: Given, spot: Spots, taken_along: Taken) -> tuple[np.ndarray, float]:
    """Return the best chance of each field above the wished height, and of home at all.

    The launch is moved and its winds with it, else their distance would add to the doubt; the
    drives from there are stated, and all is flown and asked anew.
    """
    before = given.ensemble
    drives = drives_on_s(before.sortie, spot.lat_deg, spot.lon_deg)[0].tolist()
    stands = tuple(
        replace(one, drive_s=drive) for one, drive in zip(before.sortie.stands, drives, strict=True)
    )
    launch = replace(
        before.sortie.launch, lat_deg=float(spot.lat_deg[0]), lon_deg=float(spot.lon_deg[0])
    )
    sortie = replace(before.sortie, launch=launch, stands=stands)
    winds = taken_along(before.air.sounding, before.sortie, sortie)
    moved = drawn_ensemble(sortie, winds, before.grain)
    moved = replace(moved, listening=listening_of(sortie, given.ground))
    found = chances_of_heights(moved, STEP_M)
    high = found.amsl_m >= sortie.wish.wanted_amsl_m
    return found.chance_ratio[high].max(axis=0), float(found.chance_ratio[:, 0].max())


@pytest.fixture(scope="module", params=["demo", "real"])
def given(
    request: pytest.FixtureRequest,
    heard_demo: Ensemble,
    demo_flight: FlightFile,
    authorities: Path,
) -> Given:
    if request.param == "demo":
        return Given(heard_demo, gather_terrain(demo_flight.sortie), DEMO_KM)
    return real_flight(demo_flight.sortie, authorities)


def test_ten_spots_tell_what_really_launching_there_gives(given: Given, taken_along: Taken) -> None:
    """Within 2 points, the thinned heights and the links of 20 draws included."""
    asking = asking_of(given.ensemble)
    up_m, left_m = 1e3 * np.array(given.spots_km).T
    spots = spots_at(given.ensemble, asking.axis_rad, up_m, left_m)
    found = asked(asking, spots)
    for k, at_km in enumerate(given.spots_km):
        fields, low = really_launched(given, some_of(spots, slice(k, k + 1)), taken_along)
        assert found.fields[k] == pytest.approx(fields, abs=0.02), at_km
        assert found.low[k] == pytest.approx(low, abs=0.02), at_km
    assert np.ptp(found.fields[:, 0]) > 0.3  # the spots differ


def test_home_is_shut_as_long_as_independently_computed(
    demo_flight: FlightFile, demo_sounding: Sounding
) -> None:
    """Minutes of T+3 to T+80 without errors, by a script of the domain's own authors: +-2 min."""
    sortie = replace(demo_flight.sortie, links=(), stands=())
    drawn = drawn_ensemble(sortie, demo_sounding, Grain(n_draws=50, prices_mps=(8.0,), slab=5))
    plain = with_plain(drawn).plain
    up_m = 10_000.0 * np.arange(6.0)
    spots = spots_at(plain, asking_of(plain).axis_rad, up_m, np.zeros(6))
    home = replace(plain, goals=type(plain.goals)(*(one[:1] for one in plain.goals)))
    found = chances_of_climb(plain, np.arange(6, 161, 2), fields_from(home, spots))
    shut_min = (found.reach_ratio < 0.5).sum(axis=0)
    assert shut_min == pytest.approx([34, 25, 16, 7, 9, 11], abs=2.0)


@pytest.fixture(scope="module")
def asking(heard_demo: Ensemble) -> Asking:
    return asking_of(heard_demo)


def test_spots_lie_up_the_drift_and_to_its_left(asking: Asking) -> None:
    ensemble = asking.ensemble
    spots = spots_at(ensemble, asking.axis_rad, np.array([50e3, 0.0]), np.array([0.0, 30e3]))
    home = home_place(ensemble.sortie)
    up, left = (
        geodesic(home, Place(lat_deg=float(a), lon_deg=float(b), amsl_m=0.0))
        for a, b in zip(spots.lat_deg, spots.lon_deg, strict=True)
    )
    axis_deg = float(np.degrees(asking.axis_rad))
    assert (up.distance_m, left.distance_m) == pytest.approx((50e3, 30e3))
    assert up.azimuth_deg == pytest.approx((axis_deg + 180.0) % 360.0, abs=1e-6)
    assert left.azimuth_deg == pytest.approx((axis_deg - 90.0) % 360.0, abs=1e-6)
    for k in range(2):
        place = Place(lat_deg=float(spots.lat_deg[k]), lon_deg=float(spots.lon_deg[k]), amsl_m=0.0)
        back = spot_at(ensemble, asking.axis_rad, place)
        assert back.up_m[0] == pytest.approx(spots.up_m[k], abs=5.0)
        assert back.left_m[0] == pytest.approx(spots.left_m[k], abs=5.0)


def test_the_two_sides_of_the_drift_differ(asking: Asking) -> None:
    """Else a mirrored sign would not be seen; with the draws the sides are exactly known."""
    sides = spots_at(asking.ensemble, asking.axis_rad, np.zeros(2), np.array([-40e3, 40e3]))
    right, left = asked(asking, sides).fields[:, 0]
    assert abs(right - left) > 0.003


def test_a_stand_counts_from_when_the_car_is_there(asking: Asking) -> None:
    """60 km up the drift no stand is manned while a balloon flies: a second crew mends it."""
    ensemble = asking.ensemble
    spots = spots_at(ensemble, asking.axis_rad, np.array([20e3, 60e3]), np.zeros(2))
    assert hopeful(asking, spots).tolist() == [True, False]
    manned = first_manned_s(asking, spots)
    assert manned[1] > 5400.0 > manned[0]
    found = asked(asking, spots).fields[:, 0]
    assert found[0] > 0.9
    assert found[1] == 0.0
    waits = replace(ensemble.sortie.stands[0], crew="second crew")
    stands = (waits, *ensemble.sortie.stands[1:])
    two = replace(
        asking, ensemble=replace(ensemble, sortie=replace(ensemble.sortie, stands=stands))
    )
    assert first_manned_s(two, spots).tolist() == [0.0, 0.0]
    assert asked(two, spots).fields[1, 0] > 0.5


def test_without_links_or_stands_every_spot_is_hopeful(asking: Asking) -> None:
    ensemble = asking.ensemble
    bare = replace(ensemble, listening=None, sortie=replace(ensemble.sortie, stands=()))
    deaf, spots = replace(asking, ensemble=bare), spots_at(bare, 0.0, np.array([9e4]), np.zeros(1))
    assert hopeful(deaf, spots).all()
    assert np.isnan(first_manned_s(deaf, spots)).all()
    assert heard_from(bare, spots) is bare


def test_one_spot_has_one_row_of_stands_and_many_have_one_each(asking: Asking) -> None:
    ensemble = asking.ensemble
    spots = spots_at(ensemble, asking.axis_rad, np.array([0.0, 20e3]), np.zeros(2))
    many = heard_from(ensemble, spots).listening
    one = heard_from(ensemble, some_of(spots, slice(1, 2))).listening
    assert many is not None
    assert one is not None
    n_fields, n_stands = len(ensemble.sortie.fields), len(ensemble.sortie.stands)
    assert many.ready_s.shape == (2 * n_fields, n_stands)
    assert one.ready_s.shape == (n_stands,)
    assert (many.ready_s[n_fields:] == one.ready_s).all()
    assert ensemble.listening is not None
    assert many.ready_s[0] == pytest.approx(ensemble.listening.ready_s)


def test_every_height_counts_from_the_wished_one() -> None:
    kept = thinned(np.linspace(0.0, 30e3, 101), 15e3, 0.0)
    assert kept[kept < 50].tolist() == list(
        range(0, 50, 4)
    )  # 1.2 km: of 300 m steps the first past 1 km
    assert kept[kept >= 50].tolist() == list(range(50, 101))


def test_where_no_balloon_gets_to_the_wished_height_any_counts(
    heard_demo: Ensemble, asking: Asking
) -> None:
    assert asking.from_amsl_m == heard_demo.sortie.wish.wanted_amsl_m
    wish = replace(heard_demo.sortie.wish, wanted_amsl_m=44_000.0)
    high = replace(heard_demo, sortie=replace(heard_demo.sortie, wish=wish))
    any_height = asking_of(high)
    assert any_height.from_amsl_m == 0.0
    # what is told of the launch itself then counts from any height too, as its map does
    here = spot_at(high, any_height.axis_rad, place_of(high.sortie.launch, 0.0))
    told = told_spot(any_height, Named("launch", "here"), here)
    assert told.fields[0].chance_ratio > 0.9
