"""What a place is and what it refuses to be."""

import dataclasses
import math

import numpy as np
import pytest

from farglide.earth.state import Place, offset_rad, offsets_rad, place_deg
from farglide.errors import InputError


@pytest.mark.parametrize(
    ("given_deg", "kept_deg"),
    [
        (0.0, 0.0),
        (180.0, -180.0),
        (-180.0, -180.0),
        (360.0, 0.0),
        (270.0, -90.0),
        (179.9, 179.9),
        (math.nextafter(180.0, 181.0), -180.0),
    ],
)
def test_longitude_is_kept_between_minus_180_and_180(given_deg: float, kept_deg: float) -> None:
    kept = Place(lat_deg=10.0, lon_deg=given_deg, amsl_m=0.0).lon_deg
    assert kept == pytest.approx(kept_deg, abs=1e-12)
    assert -180.0 <= kept < 180.0


@pytest.mark.parametrize("lat_deg", [90.1, -90.1, math.nan, math.inf])
def test_refuses_latitude(lat_deg: float) -> None:
    with pytest.raises(InputError, match=r"lat_deg is .*°; allowed: -90 to 90°"):
        Place(lat_deg=lat_deg, lon_deg=0.0, amsl_m=0.0)


@pytest.mark.parametrize("lon_deg", [360.1, -180.1, math.nan, -math.inf])
def test_refuses_longitude(lon_deg: float) -> None:
    with pytest.raises(InputError, match=r"lon_deg is .*°; allowed: -180 to 360°"):
        Place(lat_deg=0.0, lon_deg=lon_deg, amsl_m=0.0)


@pytest.mark.parametrize("amsl_m", [-500.1, 100_001.0, math.nan, math.inf])
def test_refuses_height(amsl_m: float) -> None:
    with pytest.raises(InputError, match=r"amsl_m is .* m; allowed: -500 to 100000 m"):
        Place(lat_deg=0.0, lon_deg=0.0, amsl_m=amsl_m)


def test_cannot_be_changed() -> None:
    place = Place(lat_deg=1.0, lon_deg=2.0, amsl_m=3.0)
    with pytest.raises(dataclasses.FrozenInstanceError):
        place.lat_deg = 4.0  # type: ignore[misc]
    assert dataclasses.replace(place, amsl_m=5.0).amsl_m == 5.0


def test_an_offset_of_a_degree_is_a_degree() -> None:
    launch = Place(lat_deg=-46.5, lon_deg=108.0, amsl_m=310.0)
    there = place_deg(launch, math.radians(1.0), math.radians(-2.0))
    assert there == pytest.approx((-45.5, 106.0))
    assert offset_rad(launch, *there) == pytest.approx((math.radians(1.0), math.radians(-2.0)))


@pytest.mark.parametrize(("lon_deg", "there_deg"), [(179.5, -179.5), (-179.5, 179.5)])
def test_across_the_180th_meridian_the_way_is_short(lon_deg: float, there_deg: float) -> None:
    launch = Place(lat_deg=-46.5, lon_deg=lon_deg, amsl_m=310.0)
    north_rad, east_rad = offset_rad(launch, launch.lat_deg, there_deg)
    assert north_rad == 0.0
    assert abs(east_rad) == pytest.approx(math.radians(1.0))
    assert place_deg(launch, north_rad, east_rad)[1] == pytest.approx(there_deg)


def test_offsets_of_many_places_are_those_of_each() -> None:
    launch = Place(lat_deg=-46.5, lon_deg=179.5, amsl_m=310.0)
    lat_deg, lon_deg = np.array([-46.5, -45.5]), np.array([-179.5, 178.0])
    north_rad, east_rad = offsets_rad(launch, lat_deg, lon_deg)
    each = [offset_rad(launch, *place) for place in zip(lat_deg, lon_deg, strict=True)]
    assert list(zip(north_rad, east_rad, strict=True)) == each
    assert east_rad == pytest.approx(np.radians([1.0, -1.5]))
