"""Offsets: there and back, on both sides of the 180th meridian."""

import math
from dataclasses import replace

import pytest

from farglide.chances.offsets import offset_rad, place_deg
from farglide.flightfile.flightfile import FlightFile


def test_a_degree_is_a_degree(demo_flight: FlightFile) -> None:
    launch = demo_flight.sortie.launch
    there = place_deg(launch, math.radians(1.0), math.radians(-2.0))
    assert there == pytest.approx((-45.5, 106.0))
    assert offset_rad(launch, there) == pytest.approx((math.radians(1.0), math.radians(-2.0)))


@pytest.mark.parametrize(("lon_deg", "there_deg"), [(179.5, -179.5), (-179.5, 179.5)])
def test_across_the_180th_meridian_the_way_is_short(
    demo_flight: FlightFile, lon_deg: float, there_deg: float
) -> None:
    launch = replace(demo_flight.sortie.launch, lon_deg=lon_deg)
    north_rad, east_rad = offset_rad(launch, (launch.lat_deg, there_deg))
    assert north_rad == 0.0
    assert abs(east_rad) == pytest.approx(math.radians(1.0))
    assert place_deg(launch, north_rad, east_rad)[1] == pytest.approx(there_deg)
