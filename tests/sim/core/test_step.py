"""The frame on the ellipsoid: moves against geodesics, the 180th meridian, poles of the range."""

import math

import numpy as np
import pytest
from pyproj import Geod

from farglide.earth.state import Place, wrapped_lon_deg
from farglide.kernel import compiled
from farglide.sim.core.step import Offset, _metres_per_rad, _moved, apart_m, frame_of

from ..drift import drift_place

GEOD = Geod(ellps="WGS84")
_moves = compiled(lambda frame, at, east_m, north_m: _moved(frame, at, east_m, north_m))
_between = compiled(lambda frame, at, to: apart_m(frame, at, to))
_radii = compiled(lambda frame, north: _metres_per_rad(frame, north))


def moved_deg(lat: float, lon: float, east_m: float, north_m: float, n: int) -> tuple[float, float]:
    frame, at = frame_of(lat, lon), Offset(0.0, 0.0)
    for _ in range(n):
        at = _moves(frame, at, east_m / n, north_m / n)
    return lat + math.degrees(at.north_rad), wrapped_lon_deg(lon + math.degrees(at.east_rad))


@pytest.mark.parametrize("lat", [-70.0, -46.5, 0.0, 25.0, 52.0, 70.0])
def test_150_km_north_is_150_km_of_meridian(lat: float) -> None:
    for sign in (1.0, -1.0):
        end, lon = moved_deg(lat, 10.0, 0.0, sign * 150_000.0, 300)
        assert lon == pytest.approx(10.0)
        assert (end > lat) == (sign > 0.0)
        assert GEOD.inv(10.0, lat, 10.0, end)[2] == pytest.approx(150_000.0, abs=5.0)


@pytest.mark.parametrize("lat", [-70.0, -46.5, 0.0, 25.0, 52.0, 70.0])
def test_150_km_east_is_150_km_of_parallel(lat: float) -> None:
    # Always due east follows the parallel: its length, cut into 1 000 geodesics.
    end_lat, end = moved_deg(lat, 10.0, 150_000.0, 0.0, 300)
    assert end_lat == pytest.approx(lat, abs=1e-12)
    parallel_m = GEOD.line_length(np.linspace(10.0, end, 1001), np.full(1001, lat))
    assert parallel_m == pytest.approx(150_000.0, abs=5.0)


@pytest.mark.parametrize("lat", [-60.0, -46.5, 0.0, 52.0])
def test_a_crooked_way_ends_where_geodesic_steps_end(lat: float) -> None:
    # Direction turns all the way round over 130 km; reference: 2 000 geodesics of 65 m.
    n = 2000
    turn = np.linspace(0.3, 0.3 + 1.5 * math.pi, n)
    frame, at = frame_of(lat, 10.0), Offset(0.0, 0.0)
    here_lon, here_lat = 10.0, lat
    for azimuth in turn:
        east, north = 65.0 * math.sin(azimuth), 65.0 * math.cos(azimuth)
        at = _moves(frame, at, east, north)
        here_lon, here_lat, _ = GEOD.fwd(here_lon, here_lat, math.degrees(azimuth), 65.0)
    lat_end, lon_end = lat + math.degrees(at.north_rad), 10.0 + math.degrees(at.east_rad)
    assert GEOD.inv(lon_end, lat_end, here_lon, here_lat)[2] < 5.0


def test_the_180th_meridian_is_a_line_like_any_other() -> None:
    here = moved_deg(-46.5, 10.0, 120_000.0, 40_000.0, 100)
    there = moved_deg(-46.5, 179.8, 120_000.0, 40_000.0, 100)
    assert there[0] == here[0]
    assert there[1] == pytest.approx(wrapped_lon_deg(here[1] + 169.8))
    assert -179.0 < there[1] < -178.0
    west = moved_deg(-46.5, -179.9, -50_000.0, 0.0, 10)
    assert 179.0 < west[1] < 180.0
    start = Place(lat_deg=-46.5, lon_deg=179.8, amsl_m=0.0)
    t_s = np.array([0.0, 3000.0])
    _, lon = drift_place(start, t_s, np.zeros(2), np.full(2, 20.0), np.zeros(2))
    assert -179.7 < lon < -179.3


@pytest.mark.parametrize("lat", [-60.0, -46.5, 0.0, 52.0])
def test_metres_apart_are_those_of_the_geodesic(lat: float) -> None:
    # Mid-latitude formula: to 0.1 % at 100 km, of the distance.
    frame = frame_of(lat, 10.0)
    for azimuth in (20.0, 100.0, 200.0, 310.0):
        lon_to, lat_to, _ = GEOD.fwd(10.0, lat, azimuth, 100_000.0)
        to = Offset(math.radians(lat_to - lat), math.radians(lon_to - 10.0))
        east, north = _between(frame, Offset(0.0, 0.0), to)
        assert math.hypot(east, north) == pytest.approx(100_000.0, abs=20.0)


def test_there_and_back_is_where_it_began() -> None:
    frame = frame_of(48.0, 11.0)
    at = Offset(0.0, 0.0)
    for k in range(50):
        at = _moves(frame, at, 1000.0, (-1.0) ** k * 800.0)
    for k in reversed(range(50)):
        at = _moves(frame, at, -1000.0, -((-1.0) ** k) * 800.0)
    assert max(abs(at.north_rad), abs(at.east_rad)) * 6.4e6 < 0.1  # of 128 km


def test_radii_are_those_of_wgs84() -> None:
    # Metres per degree at 45 deg: 111 131.8 along the meridian, 78 846.8 along the parallel.
    # Source: WGS84 radii of curvature, Torge and Mueller, Geodesy (2012), 4.1.2, computed.
    meridian, parallel = _radii(frame_of(45.0, 0.0), 0.0)
    assert math.radians(meridian) == pytest.approx(111_131.8, abs=0.1)
    assert math.radians(parallel) == pytest.approx(78_846.8, abs=0.1)
