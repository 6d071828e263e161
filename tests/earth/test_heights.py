"""Heights against printed tables and against the exact field of normal gravity."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from farglide.earth.heights import (
    _gravity_mps2,
    geometric_at_m,
    geopotential_at_m,
    geopotential_m,
)
from farglide.earth.radii import _ecef_m
from farglide.errors import InputError

# The first call may compile for seconds; the examples are the same in every run.
STEADY = settings(deadline=None, derandomize=True)

HEIGHTS = st.floats(-1_900.0, 98_000.0)
LATITUDES = st.floats(-90.0, 90.0)


@pytest.mark.parametrize(
    ("geometric", "gph"),
    # ISO 2533:1975, table 5 (prints 9984, 19937, 29859, 39750), decimals from its formula.
    [(10_000.0, 9_984.3), (20_000.0, 19_937.3), (30_000.0, 29_859.1), (40_000.0, 39_749.9)],
)
def test_geopotential_rows(geometric: float, gph: float) -> None:
    assert geopotential_m(geometric) == pytest.approx(gph, abs=0.05)


@pytest.mark.parametrize(
    ("amsl_m", "expected_mps2"),
    # ISO 2533:1975, table 5.
    [(0.0, 9.80665), (10_000.0, 9.7759), (30_000.0, 9.7147)],
)
def test_gravity_rows(amsl_m: float, expected_mps2: float) -> None:
    assert _gravity_mps2(amsl_m) == pytest.approx(expected_mps2, abs=0.00005)


@STEADY
@given(HEIGHTS, LATITUDES)
def test_geometric_undoes_geopotential_at_latitude(height_m: float, lat_deg: float) -> None:
    gph = geopotential_at_m(height_m, lat_deg)
    assert geometric_at_m(gph, lat_deg) == pytest.approx(height_m, abs=1e-6)


@STEADY
@given(st.floats(-1_000.0, 98_000.0))
def test_gravity_is_the_slope_of_geopotential(amsl_m: float) -> None:
    # 9.80665 m/s2: the standard gravity of ISO 2533:1975 that geopotential metres are made of
    slope = (geopotential_m(amsl_m + 1.0) - geopotential_m(amsl_m - 1.0)) / 2.0
    assert _gravity_mps2(amsl_m) == pytest.approx(9.80665 * slope, rel=1e-8)


def _normal_potential_m2ps2(lat_deg: float, hae_m: float) -> float:
    """The closed potential of the WGS84 ellipsoid with its rotation.

    Heiskanen and Moritz, Physical Geodesy (1967), eq. 2-62; constants NGA.STND.0036, table 3.1.
    """
    GM, omega, a, f = 3.986004418e14, 7.292115e-5, 6378137.0, 1.0 / 298.257223563
    b = a * (1.0 - f)
    E2 = a * a - b * b
    E = math.sqrt(E2)
    x_m, _, z_m = _ecef_m(math.radians(lat_deg), 0.0, hae_m)
    r2 = x_m * x_m + z_m * z_m - E2
    u = math.sqrt(0.5 * (r2 + math.sqrt(r2 * r2 + 4.0 * E2 * z_m * z_m)))
    sin_beta = z_m / u

    def q(length: float) -> float:
        return 0.5 * ((1.0 + 3.0 * length**2 / E2) * math.atan2(E, length) - 3.0 * length / E)

    turning = 0.5 * (omega * a) ** 2 * q(u) / q(b) * (sin_beta**2 - 1.0 / 3.0)
    spin = 0.5 * omega**2 * (u * u + E2) * (1.0 - sin_beta**2)
    return GM / E * math.atan2(E, u) + turning + spin


@pytest.mark.parametrize("lat_deg", [-90.0, -60.0, -46.5, -20.0, 0.0, 35.0, 45.0, 75.0, 90.0])
def test_geopotential_at_latitude_against_the_exact_field(lat_deg: float) -> None:
    ground = _normal_potential_m2ps2(lat_deg, 0.0)
    for geometric in (-1_000.0, 1_000.0, 10_000.0, 20_000.0, 30_000.0, 40_000.0):
        exact_m = (ground - _normal_potential_m2ps2(lat_deg, geometric)) / 9.80665
        # The rounded radius costs 3 parts in a million of the gradient: centimetres at 30 km.
        assert geopotential_at_m(geometric, lat_deg) == pytest.approx(exact_m, abs=0.25)


@pytest.mark.parametrize(
    ("lat_deg", "gph"),
    # WMO-No. 8 (2014/2017) 12.3.6 at 30 km, computed by the open module that cites it; to 1 mm
    [(0.0, 29_778.450), (45.0, 29_857.693)],
)
def test_published_geopotential_at_latitude(lat_deg: float, gph: float) -> None:
    assert geopotential_at_m(30_000.0, lat_deg) == pytest.approx(gph, abs=6e-4)


@pytest.mark.parametrize(
    ("lat_deg", "grs80_mps2"),
    # GRS80, Moritz (2000), documentation of an open geopotential code; WGS84 has 0.1436 mGal less
    # at the equator. WMO-No. 8 rounds the latter to a microgal and the slope to 1e-8.
    [(0.0, 9.7803267715), (90.0, 9.8321863685)],
)
def test_normal_gravity_at_equator_and_pole(lat_deg: float, grs80_mps2: float) -> None:
    found = 9.80665 * geopotential_at_m(1.0, lat_deg) * (1.0 + 1.0 / 6_367_000.0)
    assert found == pytest.approx(grs80_mps2 - 1.436e-6, abs=1.5e-6)


def test_the_standard_holds_near_45_degrees() -> None:
    # US Standard Atmosphere 1976: r0 belongs to the latitude where g0 holds, 45.5425 deg.
    assert geopotential_at_m(30_000.0, 45.5425) == pytest.approx(geopotential_m(30_000.0), abs=0.5)
    assert geopotential_m(30_000.0) - geopotential_at_m(30_000.0, 0.0) == pytest.approx(80, abs=2)
    assert geopotential_at_m(30_000.0, 90.0) - geopotential_m(30_000.0) == pytest.approx(80, abs=2)


@pytest.mark.parametrize("height_m", [-2000.1, 100_000.1, math.nan, math.inf])
def test_refuses_heights(height_m: float) -> None:
    allowed = r"is .* m; allowed: -2000 to 100000 m"
    with pytest.raises(InputError, match="geometric_m " + allowed):
        geopotential_m(height_m)
    with pytest.raises(InputError, match="geometric_m " + allowed):
        geopotential_at_m(height_m, 0.0)
    with pytest.raises(InputError, match="gph_m " + allowed):
        geometric_at_m(height_m, 0.0)


@pytest.mark.parametrize("lat_deg", [90.1, -91.0, math.nan])
def test_refuses_latitudes(lat_deg: float) -> None:
    with pytest.raises(InputError, match=r"lat_deg is .*°; allowed: -90 to 90°"):
        geopotential_at_m(1000.0, lat_deg)
    with pytest.raises(InputError, match=r"lat_deg is .*°; allowed: -90 to 90°"):
        geometric_at_m(1000.0, lat_deg)
