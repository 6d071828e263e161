"""Drives from spots: guessed, bounded by what is stated, and what bars a spot."""

from dataclasses import replace

import numpy as np
import pytest

from farglide.atlas.barriers import Barrier
from farglide.atlas.outline import Outline
from farglide.atlas.terrain import flat
from farglide.earth.geodesy import offsets_deg
from farglide.earth.state import place_of
from farglide.flightfile.flightfile import FlightFile
from farglide.rig.drives import (
    SEA,
    barred_by,
    drives_home_s,
    drives_on_s,
    home_place,
    is_sea,
    manned_s,
    roads_s,
    within_drive_m,
)
from farglide.rig.listening import ready_s, road_s
from farglide.sortie.spec import SECOND_CREW, Sortie

MINUTE_S = 60.0


@pytest.fixture(scope="module")
def sortie(demo_flight: FlightFile) -> Sortie:
    return demo_flight.sortie


def spots(sortie: Sortie, *km: tuple[float, float]) -> tuple[np.ndarray, np.ndarray]:
    """Return spots so many kilometres east and north of home."""
    east, north = 1e3 * np.array(km).T
    return offsets_deg(home_place(sortie), east, north)


def test_roads_are_those_of_one_place_after_the_other(sortie: Sortie) -> None:
    lat, lon = spots(sortie, (0.5, 0.0), (30.0, 40.0))
    knap = place_of(sortie.stands[1], 0.0)
    one_by_one = [
        road_s(knap, replace(knap, lat_deg=float(a), lon_deg=float(b)))
        for a, b in zip(lat, lon, strict=True)
    ]
    assert roads_s(knap, lat, lon) == pytest.approx(one_by_one)
    # half a kilometre is no drive; 50 km at 50 km/h, 1.35 times as long by road
    assert drives_home_s(sortie, lat, lon) == pytest.approx([0.0, 1.35 * 3600.0], rel=1e-3)
    assert within_drive_m(1.35 * 3600.0) == pytest.approx(50_000.0)


def test_home_is_the_first_field_else_the_launch(sortie: Sortie) -> None:
    far = replace(sortie.fields[0], lat_deg=-46.0)
    assert home_place(replace(sortie, fields=(far,))).lat_deg == -46.0
    assert home_place(replace(sortie, fields=())).lat_deg == sortie.launch.lat_deg


def test_at_the_launch_drives_are_as_stated(sortie: Sortie) -> None:
    lat, lon = spots(sortie, (0.0, 0.0))
    assert drives_on_s(sortie, lat, lon)[0] / MINUTE_S == pytest.approx([0.0, 38.0, 26.0])
    assert manned_s(sortie, lat, lon)[0] == pytest.approx(
        [ready_s(sortie, stand) for stand in sortie.stands]
    )


def test_elsewhere_a_stated_drive_bounds_the_guess(sortie: Sortie) -> None:
    """Stile Gap lies 16 km from the launch; from 3 km up-drift it is no shorter by more."""
    lat, lon = spots(sortie, (-2.4, 1.8))
    back_s = 3.0 * 1.35 / 50.0 * 3600.0
    gap = sortie.stands[2]
    for stated_min, expected_s in (
        (4.0, 4.0 * MINUTE_S + back_s),  # by way of the launch, sooner than the guess of 31 min
        (90.0, 90.0 * MINUTE_S - back_s),  # a bad road stays one
    ):
        slow = replace(sortie, stands=(replace(gap, drive_s=stated_min * MINUTE_S),))
        assert drives_on_s(slow, lat, lon)[0, 0] == pytest.approx(expected_s, rel=2e-3)
    free = replace(sortie, stands=(replace(gap, drive_s=None),))
    guess_s = roads_s(place_of(gap, 0.0), lat, lon)[0]
    assert drives_on_s(free, lat, lon)[0, 0] == guess_s
    assert guess_s == pytest.approx(19.0 * 1.35 / 50.0 * 3600.0, rel=0.01)


def test_a_stand_is_manned_after_the_drive_or_by_those_who_wait(sortie: Sortie) -> None:
    lat, lon = spots(sortie, (-30.0, 30.0), (0.0, 0.0))
    home, knap, gap = sortie.stands
    two = replace(sortie, stands=(home, replace(knap, crew=SECOND_CREW), gap))
    found, drives = manned_s(two, lat, lon), drives_on_s(two, lat, lon)
    assert found[:, 1].tolist() == [0.0, 0.0]
    assert found[0, 2] == pytest.approx(drives[0, 2] + sortie.set_up_s)
    assert found[1, 0] == 0.0  # the crew is set up at the launch
    assert ready_s(two, two.stands[1]) == 0.0


def box(name: str, kind: str, south: float, west: float, size: float) -> Barrier:
    corners = ((0.0, 0.0), (0.0, size), (size, size), (size, 0.0))
    points = tuple((south + up, west + right) for up, right in corners)
    return Barrier(name=name, kind=kind, outline=Outline(points=points))


def test_spots_in_a_barrier_or_behind_a_roadless_one_are_barred(sortie: Sortie) -> None:
    lake = box("Long Mere", "water", -46.35, 107.6, 0.1)
    wood = box("Far Wood", "closed forest", -46.35, 108.3, 0.1)
    walled = replace(sortie, barriers=(lake, wood))
    lat = np.array([-46.3, -46.3, -46.1, -46.3, -46.1])
    lon = np.array([107.65, 107.8, 107.3, 108.35, 108.7])
    found = barred_by(walled, lat, lon, None)
    # in the lake, beside it, behind it, in the wood, behind the wood
    assert found == ["Long Mere", "", "Long Mere", "Far Wood", ""]


def test_the_sea_is_where_the_terrain_says_so(sortie: Sortie) -> None:
    lat, lon = spots(sortie, (0.0, 10.0), (10.0, 0.0))
    assert is_sea(None, lat, lon).tolist() == [False, False]
    assert is_sea(flat(12.0), lat, lon).tolist() == [False, False]
    assert is_sea(flat(0.0), lat, lon).tolist() == [True, True]
    assert barred_by(replace(sortie, barriers=()), lat, lon, flat(-2.0)) == [SEA, SEA]
