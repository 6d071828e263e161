"""Launch places held against the ground, all of them at once."""

from dataclasses import replace

import pytest

from farglide.atlas.terrain import flat
from farglide.errors import FlightFileError
from farglide.flightfile.flightfile import FlightFile
from farglide.gather.launching import check_launch_places
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
