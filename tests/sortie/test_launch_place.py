"""Launch places in the sea, in barriers and behind them."""

import numpy as np
import pytest

from farglide.atlas.barriers import Barrier
from farglide.atlas.outline import Outline
from farglide.atlas.terrain import Terrain
from farglide.earth.state import Place
from farglide.sortie.launch_place import LaunchPlace, faults_of, sea_faults

HOME = Place(lat_deg=-46.5, lon_deg=108.0, amsl_m=0.0)


def barrier(kind: str) -> Barrier:
    points = ((-46.45, 107.8), (-46.45, 107.9), (-46.3, 107.9), (-46.3, 107.8))
    return Barrier(name="Long Mere", kind=kind, outline=Outline(points=points))


def place(lat_deg: float, lon_deg: float, drive_s: float | None = None) -> LaunchPlace:
    return LaunchPlace(
        name="pasture", lat_deg=lat_deg, lon_deg=lon_deg, amsl_m=240.0, drive_s=drive_s
    )


@pytest.mark.parametrize("kind", ["water", "closed forest", "no landing"])
def test_nobody_launches_inside_a_barrier(kind: str) -> None:
    (fault,) = faults_of(place(-46.4, 107.85), HOME, (barrier(kind),))
    assert fault.what == f'lies in Long Mere, a barrier of kind "{kind}".'
    assert "take the place out" in fault.remedy


def test_behind_the_water_a_drive_must_be_stated() -> None:
    (fault,) = faults_of(place(-46.3, 107.6), HOME, (barrier("water"),))
    assert fault.what.startswith("lies behind Long Mere")
    assert fault.remedy == "Write drive_min from home, by the way round it."
    assert not [*faults_of(place(-46.3, 107.6, 3000.0), HOME, (barrier("water"),))]
    assert not [*faults_of(place(-46.3, 107.6), HOME, (barrier("closed forest"),))]
    assert not [*faults_of(place(-46.6, 108.3), HOME, (barrier("water"),))]


def ground(height_m: float) -> Terrain:
    """Return ground round home, 0.4 degrees wide, with a hole at its south-west."""
    heights = np.full((5, 5), height_m, np.float32)
    heights[4, 0] = np.nan
    return Terrain(
        heights_amsl_m=heights, north_deg=-46.3, west_deg=107.8, step_lat_deg=0.1,
        step_lon_deg=0.1, datum="unknown", origin="made up",
    )  # fmt: skip


def test_the_sea_and_a_hole_are_no_place_to_launch_from() -> None:
    assert not [*sea_faults(place(-46.45, 108.05), ground(200.0))]
    (fault,) = sea_faults(place(-46.45, 108.05), ground(-3.0))
    assert fault.what == "lies in the sea: the terrain has -3 m there, not 240 m."
    (hole,) = sea_faults(place(-46.68, 107.82), ground(200.0))
    assert hole.what == "lies in a hole of the terrain: no ground is known there."
    assert not [*sea_faults(place(-45.0, 107.0), ground(200.0))]  # beyond: nothing is known
    low = LaunchPlace(name="low", lat_deg=-46.45, lon_deg=108.05, amsl_m=-3.0)
    assert not [*sea_faults(low, ground(-3.0))]  # dry land below the sea
