"""Geodesy against published lines, another library and its own limits."""

import math

import numpy as np
import pymap3d
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from farglide.earth.geodesy import (
    destination,
    east_north_m,
    enu_m,
    geodesic,
    offset,
)
from farglide.earth.radii import (
    _ecef_m,
    _enu_m,
    _meridian_radius_m,
    _normal_radius_m,
    _shortening_ratio,
)
from farglide.earth.state import Place
from farglide.errors import InputError

# The first call may compile for seconds; the examples are the same in every run.
STEADY = settings(deadline=None, derandomize=True)


def _ground(lat_deg: float, lon_deg: float, amsl_m: float = 0.0) -> Place:
    return Place(lat_deg=lat_deg, lon_deg=lon_deg, amsl_m=amsl_m)


def _dms(degrees: float, minutes: float, seconds: float) -> float:
    return degrees + minutes / 60.0 + seconds / 3600.0


def test_flinders_peak_to_buninyong() -> None:
    # Geoscience Australia, test line of Vincenty's formulae: 54 972.271 m, 306 52 05.37,
    # 127 10 25.07.
    flinders = _ground(-_dms(37, 57, 3.72030), _dms(144, 25, 29.52440))
    buninyong = _ground(-_dms(37, 39, 10.15610), _dms(143, 55, 35.38390))
    line = geodesic(flinders, buninyong)
    assert line.distance_m == pytest.approx(54_972.271, abs=0.001)
    assert line.azimuth_deg == pytest.approx(_dms(306, 52, 5.37), abs=0.01 / 3600)
    assert line.back_azimuth_deg == pytest.approx(_dms(127, 10, 25.07), abs=0.01 / 3600)
    reached = destination(flinders, line.azimuth_deg, line.distance_m)
    assert reached.lat_deg == pytest.approx(buninyong.lat_deg, abs=1e-9)
    assert reached.lon_deg == pytest.approx(buninyong.lon_deg, abs=1e-9)


def test_long_line() -> None:
    # Public test line of Vincenty's formulae: 969 954.166 m, 9.14188 and, onward, 11.29722 deg.
    line = geodesic(_ground(50.06632, -5.71475), _ground(58.64402, -3.07009))
    assert line.distance_m == pytest.approx(969_954.166, abs=0.001)
    assert line.azimuth_deg == pytest.approx(9.14188, abs=5e-6)
    assert line.back_azimuth_deg - 180.0 == pytest.approx(11.29722, abs=5e-6)


@pytest.mark.parametrize(
    ("a", "b", "distance_m"),
    [
        # Public test of near-antipodal lines, and GeographicLib 2.1 for the one where Vincenty
        # does not converge.
        ((0.0, 0.0), (0.5, 179.5), 19_936_288.579),
        ((0.0, 0.0), (0.5, 179.7), 19_944_127.421),
        # GeographicLib 2.1.
        ((45.0, 0.0), (46.0, 0.0), 111_141.548),
        ((0.0, 0.0), (0.0, 1.0), 111_319.491),
    ],
)
def test_distances(a: tuple[float, float], b: tuple[float, float], distance_m: float) -> None:
    line = geodesic(_ground(*a), _ground(*b))
    assert line.distance_m == pytest.approx(distance_m, abs=0.001)


@pytest.mark.parametrize(
    ("ends", "azimuths_deg", "distance_m", "within"),
    [
        # Tests of geographiclib-python (commit 045fa3d), test_geodesic.py: azimuths at both ends
        # (onward), distance, and half of the last digit printed
        ((40.6, -73.8, 49.01666667, 2.55), (53.47022, 111.59367), 5_853_226.0, (5e-6, 0.5)),
        ((36.493349428792, 0.0, 36.49334942879201, 0.0000008), None, 0.072, (0.0, 5e-4)),
        ((88.202499451857, 0.0, -88.202499451857, 179.981022032992859592), None,
         20_003_898.214, (0.0, 5e-4)),
        ((56.320923501171, 0.0, -56.320923501171, 179.664747671772880215), None,
         19_993_558.287, (0.0, 5e-4)),
        ((35.60777, -139.44815, -11.17491, -69.95921),
         (111.098748429560326, 129.289270889708762), 8_935_244.5604818305, (1e-11, 1e-6)),
        ((55.52454, 106.05087, 77.03196, 197.18234),
         (22.020059880982801, 109.112041110671519), 4_105_086.1713924406, (1e-11, 1e-6)),
        ((-21.97856, 142.59065, 41.84138, 98.56635),
         (-32.44456876433189, -41.84359951440466), 8_394_328.894657671, (1e-11, 1e-6)),
    ],
)  # fmt: skip
def test_published_geodesics(
    ends: tuple[float, float, float, float],
    azimuths_deg: tuple[float, float] | None,
    distance_m: float,
    within: tuple[float, float],
) -> None:
    line = geodesic(_ground(*ends[:2]), _ground(ends[2], (ends[3] + 180.0) % 360.0 - 180.0))
    assert line.distance_m == pytest.approx(distance_m, abs=within[1])
    if azimuths_deg is not None:
        assert line.azimuth_deg == pytest.approx(azimuths_deg[0] % 360.0, abs=within[0])
        onward = (line.back_azimuth_deg + 180.0) % 360.0
        assert onward == pytest.approx(azimuths_deg[1] % 360.0, abs=within[0])


def test_published_end_of_a_geodesic() -> None:
    # geographiclib-python, GeodSolve1: 5850 km at 53.5 deg, printed to 5 digits
    start = _ground(40.63972222, -73.77888889)
    reached = destination(start, 53.5, 5_850_000.0)
    assert reached.lat_deg == pytest.approx(49.01467, abs=5e-6)
    assert reached.lon_deg == pytest.approx(2.56106, abs=5e-6)
    line = geodesic(start, reached)
    assert (line.back_azimuth_deg + 180.0) % 360.0 == pytest.approx(111.62947, abs=5e-6)


@pytest.mark.parametrize("lat_deg", [-90.0, -75.0, -46.5, -10.0, 0.0, 33.0, 52.0, 75.0, 89.5])
@pytest.mark.parametrize("lon_deg", [108.0, 179.9, -179.9])
def test_plane_against_geodesics(lat_deg: float, lon_deg: float) -> None:
    # Karney's geodesics as coded in PROJ; some of these lines cross the 180th meridian or a pole.
    origin = _ground(lat_deg, lon_deg)
    for distance_m, within_m in ((5_000.0, 0.001), (150_000.0, 0.3), (300_000.0, 2.0)):
        for azimuth_deg in range(0, 360, 15):
            place = destination(origin, float(azimuth_deg), distance_m)
            east_m, north_m = east_north_m(origin, place)
            azimuth_rad = math.radians(azimuth_deg)
            miss_east_m = east_m - distance_m * math.sin(azimuth_rad)
            miss_north_m = north_m - distance_m * math.cos(azimuth_rad)
            assert math.hypot(miss_east_m, miss_north_m) < within_m, (distance_m, azimuth_deg)


def test_plane_at_its_edge() -> None:
    # no source: how far the plane is off at the edge where it is refused
    for lat_deg in (-90.0, -60.0, 0.0, 45.0, 80.0):
        origin = _ground(lat_deg, 0.0)
        for azimuth_deg in range(0, 360, 15):
            place = destination(origin, float(azimuth_deg), 999_000.0)
            line_m = math.hypot(*east_north_m(origin, place))
            assert line_m == pytest.approx(999_000.0, abs=70.0)


def test_plane_stretches_across_the_line_of_sight() -> None:
    # Azimuthal equidistant scale across: (r/R) / sin(r/R) = 1 + (r/R)^2 / 6, 0.9e-4 at 150 km.
    origin = _ground(51.0, -1.0)
    a, b = destination(origin, 89.0, 150_000.0), destination(origin, 91.0, 150_000.0)
    (a_east_m, a_north_m), (b_east_m, b_north_m) = east_north_m(origin, a), east_north_m(origin, b)
    plane_m = math.hypot(a_east_m - b_east_m, a_north_m - b_north_m)
    assert plane_m / geodesic(a, b).distance_m - 1.0 == pytest.approx(0.92e-4, abs=0.05e-4)


@STEADY
@given(
    st.floats(-89.0, 89.0),
    st.floats(-180.0, 180.0),
    st.floats(-1.5e5, 1.5e5),
    st.floats(-1.5e5, 1.5e5),
)
def test_offset_undoes_plane(lat_deg: float, lon_deg: float, east_m: float, north_m: float) -> None:
    origin = _ground(lat_deg, lon_deg, 310.0)
    place = offset(origin, east_m, north_m)
    assert place.amsl_m == 310.0
    assert east_north_m(origin, place) == pytest.approx((east_m, north_m), abs=0.7)


def test_plane_is_zero_at_the_origin() -> None:
    origin = _ground(-46.5, 108.0)
    assert east_north_m(origin, origin) == (0.0, 0.0)
    assert offset(origin, 0.0, 0.0) == origin


@pytest.mark.parametrize(
    ("lat_deg", "north_m", "east_m"),
    # Metres in a degree of latitude and of longitude, from the WGS84 radii of curvature.
    [
        (0.0, 110_574.3, 111_319.5),
        (45.0, 111_131.8, 78_846.8),
        (51.0, 111_248.3, 70_197.7),
        (60.0, 111_412.3, 55_800.0),
    ],
)
def test_length_of_a_degree(lat_deg: float, north_m: float, east_m: float) -> None:
    one_rad = math.radians(1.0)
    lat_rad = math.radians(lat_deg)
    across_m = _normal_radius_m(lat_rad) * math.cos(lat_rad)
    assert _meridian_radius_m(lat_rad) * one_rad == pytest.approx(north_m, abs=0.05)
    assert across_m * one_rad == pytest.approx(east_m, abs=0.05)


def test_shortening() -> None:
    # R / (R + h) with the mean radius 6371.0088 km.
    assert _shortening_ratio(0.0) == 1.0
    assert _shortening_ratio(30_000.0) == pytest.approx(6371.0088 / 6401.0088, abs=1e-12)


@pytest.mark.parametrize(
    ("place", "xyz_m"),
    # WGS84 geocentric coordinates; pyproj and pymap3d agree on them.
    [
        ((0.0, 0.0, 0.0), (6378137.000, 0.000, 0.000)),
        ((45.0, 45.0, 1000.0), (3194919.145, 3194919.145, 4488055.516)),
        ((51.0, -1.0, 100.0), (4021481.010, -70195.212, 4933622.335)),
        ((51.5, 0.2, 30000.0), (3997299.617, 13953.265, 4991840.702)),
        # Ordnance Survey, A guide to coordinate systems in Great Britain, annex B (GRS80, whose
        # polar axis is 0.1 mm away from WGS84).
        (
            (_dms(53, 36, 43.1653), -_dms(1, 39, 51.9920), 299.800),
            (3790644.900, -110149.210, 5111482.970),
        ),
    ],
)
def test_geocentric(place: tuple[float, float, float], xyz_m: tuple[float, float, float]) -> None:
    found_m = _ecef_m(math.radians(place[0]), math.radians(place[1]), place[2])
    assert found_m == pytest.approx(xyz_m, abs=0.001)


def test_geocentric_to_topocentric() -> None:
    # EPSG Guidance Note 7-2, method 9836, worked example: origin 55 N 5 E 200 m.
    lat_rad, lon_rad = math.radians(55.0), math.radians(5.0)
    start = _ecef_m(lat_rad, lon_rad, 200.0)
    away_m = np.array([3771793.968, 140253.342, 5124304.349]) - start
    line = _enu_m(lat_rad, lon_rad, *away_m.tolist())
    assert line == pytest.approx((-189013.869, -128642.040, -4220.171), abs=0.001)


@STEADY
@given(
    st.tuples(st.floats(-89.0, 89.0), st.floats(-180.0, 179.0), st.floats(0.0, 9000.0)),
    st.tuples(st.floats(-2.0, 2.0), st.floats(-2.0, 2.0), st.floats(0.0, 40_000.0)),
)
def test_enu_against_another_library(
    place: tuple[float, float, float], step: tuple[float, float, float]
) -> None:
    observer = _ground(*place)
    lat_deg = min(max(observer.lat_deg + step[0], -90.0), 90.0)
    target = _ground(lat_deg, min(observer.lon_deg + step[1] + 2.0, 180.0), step[2])
    expected = pymap3d.geodetic2enu(
        target.lat_deg, target.lon_deg, target.amsl_m,
        observer.lat_deg, observer.lon_deg, observer.amsl_m,
    )  # fmt: skip
    assert enu_m(observer, target) == pytest.approx(expected, abs=0.002)


@pytest.mark.parametrize("azimuth_deg", [361.0, -361.0, math.nan])
def test_refuses_azimuths(azimuth_deg: float) -> None:
    with pytest.raises(InputError, match=r"azimuth_deg is .*°; allowed: -360 to 360°"):
        destination(_ground(0.0, 0.0), azimuth_deg, 1.0)


@pytest.mark.parametrize("distance_m", [-1.0, 2.1e7, math.nan])
def test_refuses_distances(distance_m: float) -> None:
    with pytest.raises(InputError, match=r"distance_m is .* m; allowed: 0 to 20004000 m"):
        destination(_ground(0.0, 0.0), 0.0, distance_m)


def test_refuses_a_plane_too_wide() -> None:
    origin = _ground(0.0, 0.0)
    with pytest.raises(InputError, match=r"distance_m is .* m; allowed: 0 to 1000000 m from the"):
        east_north_m(origin, _ground(0.0, 10.0))
    with pytest.raises(InputError, match="distance_m"):
        offset(origin, 1.1e6, 0.0)
    with pytest.raises(InputError, match="distance_m"):
        offset(origin, math.nan, 0.0)
