"""Launch places held against the ground, all of them at once."""

from dataclasses import replace

import numpy as np
import pytest

from farglide.atlas.terrain import Terrain, flat
from farglide.errors import FlightFileError
from farglide.flightfile.flightfile import FlightFile
from farglide.gather.launching import check_launch_places, sea_faults
from farglide.sortie.launch_place import LaunchPlace


def test_all_that_is_wrong_is_told_in_one_go(demo_flight: FlightFile) -> None:
    wood = LaunchPlace(name="wood", lat_deg=-46.63, lon_deg=108.36, amsl_m=250.0)
    sea = LaunchPlace(name="cliff", lat_deg=-46.4, lon_deg=107.8, amsl_m=250.0)
    flight = replace(demo_flight, sortie=replace(demo_flight.sortie, launch_places=(wood, sea)))
    with pytest.raises(FlightFileError) as caught:
        check_launch_places(flight, flat(0.0))
    told = [str(one) for one in caught.value.problems]
    assert [one.partition(":")[0] for one in told] == [
        "[[launch_places]] 1", "[[launch_places]] 1", "[[launch_places]] 2",
    ]  # fmt: skip
    assert '"wood" lies in Gollan Wood' in told[0]
    assert "lies in the sea" in told[1]
    assert "lies in the sea" in told[2]


def test_what_can_be_passes(demo_flight: FlightFile) -> None:
    moor = LaunchPlace(name="moor", lat_deg=-46.4, lon_deg=107.8, amsl_m=250.0)
    flight = replace(demo_flight, sortie=replace(demo_flight.sortie, launch_places=(moor,)))
    for terrain in (None, flat(240.0)):
        check_launch_places(flight, terrain)


def place(lat_deg: float, lon_deg: float) -> LaunchPlace:
    return LaunchPlace(name="pasture", lat_deg=lat_deg, lon_deg=lon_deg, amsl_m=240.0)


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
