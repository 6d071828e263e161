"""The standard atmosphere against printed tables, another library and its own physics."""

import csv
import math
from decimal import Decimal
from pathlib import Path

import pytest
from ambiance import Atmosphere
from hypothesis import given, settings
from hypothesis import strategies as st

from farglide.air.standard import (
    HIGHEST_GPH_M,
    LOWEST_GPH_M,
    _pressure_altitude_m,
    _pressure_pa,
    _temperature_k,
    pressure_altitude_m,
    standard_air,
)
from farglide.earth.heights import _gravity_mps2, geopotential_m
from farglide.errors import InputError

# The first call may compile for seconds; the examples are the same in every run.
STEADY = settings(deadline=None, derandomize=True)

TABLE = Path(__file__).parent.parent / "authorities" / "standard_atmosphere.csv"


def _rows() -> list[dict[str, str]]:
    lines = [line for line in TABLE.read_text().splitlines() if not line.startswith("#")]
    return list(csv.DictReader(lines))


def _half_digit(text: str) -> float:
    """Half a unit of the last digit printed."""
    exponent = Decimal(text).as_tuple().exponent
    assert isinstance(exponent, int)
    return 0.5 * 10.0**exponent


def _computed(row: dict[str, str]) -> dict[str, float]:
    height_m = float(row["height_m"])
    gph_m = height_m if row["height"] == "gph" else geopotential_m(height_m)
    air = standard_air(min(gph_m, HIGHEST_GPH_M))  # 86 km is 84 852.05 m
    amsl_m = 6_356_766.0 * gph_m / (6_356_766.0 - gph_m)  # US Standard Atmosphere 1976, eq. 19
    return air._asdict() | {"gravity_mps2": _gravity_mps2(amsl_m), "gph_m": gph_m}


@pytest.mark.parametrize("row", _rows(), ids=lambda row: f"{row['document']} {row['height_m']}")
def test_printed_tables(row: dict[str, str]) -> None:
    computed = _computed(row)
    names = [name for name in list(row)[3:] if row[name]]
    assert names
    for name in names:
        printed = row[name]
        # Half of the last digit, and the 2e-5 of the constants' own rounding.
        tol = _half_digit(printed) + 2e-5 * float(printed)
        assert computed[name] == pytest.approx(float(printed), abs=tol), name


def test_agrees_with_another_library() -> None:
    # ambiance 1.3 (ICAO Doc 7488), which takes geometric heights, -5 to 81 km.
    for geometric in range(-1900, 81_000, 371):
        air = standard_air(geopotential_m(float(geometric)))
        other = Atmosphere(float(geometric))
        assert air.t_k == pytest.approx(other.temperature[0], rel=1e-6)
        assert air.p_pa == pytest.approx(other.pressure[0], rel=1e-5)
        assert air.rho_kgpm3 == pytest.approx(other.density[0], rel=1e-5)
        assert air.sound_mps == pytest.approx(other.speed_of_sound[0], rel=1e-6)
        assert air.viscosity_pas == pytest.approx(other.dynamic_viscosity[0], rel=1e-6)


@pytest.mark.parametrize(
    ("p_pa", "gph_m"),
    # Inverse of US Standard Atmosphere 1976 eq. 33, computed apart from this code.
    [
        (50_000.0, 5574.4),
        (22_632.1, 11_000.0),
        (10_000.0, 16_179.7),
        (1_000.0, 31_054.6),
        (500.0, 35_776.5),
        (300.0, 39_429.5),
    ],
)
def test_pressure_altitude(p_pa: float, gph_m: float) -> None:
    assert pressure_altitude_m(p_pa) == pytest.approx(gph_m, abs=0.1)


@pytest.mark.parametrize(
    ("geometric", "m_per_hpa"), [(0.0, 8.3), (20_000.0, 115.4), (30_000.0, 559.1)]
)
def test_height_of_one_hectopascal(geometric: float, m_per_hpa: float) -> None:
    # Hydrostatic equation, 100 Pa / (rho g).
    air = standard_air(geopotential_m(geometric))
    computed = 100.0 / (air.rho_kgpm3 * _gravity_mps2(geometric))
    assert computed == pytest.approx(m_per_hpa, rel=0.01)


def test_true_airspeed_factor_at_30_km() -> None:
    # 1 / sqrt(density ratio) at 30 km geometric, from the table density 0.0184101 kg/m3.
    air = standard_air(geopotential_m(30_000.0))
    assert math.sqrt(1.225 / air.rho_kgpm3) == pytest.approx(8.157, abs=0.001)


@STEADY
@given(st.floats(LOWEST_GPH_M, HIGHEST_GPH_M))
def test_pressure_altitude_undoes_pressure(gph_m: float) -> None:
    assert pressure_altitude_m(_pressure_pa(gph_m)) == pytest.approx(gph_m, abs=1e-5)


@STEADY
@given(st.floats(LOWEST_GPH_M + 1.0, HIGHEST_GPH_M - 1.0))
def test_air_carries_its_own_weight(gph_m: float) -> None:
    # Hydrostatic balance in geopotential metres: dp/dH = -rho g0 (ISO 2533:1975, 2.4).
    slope = (_pressure_pa(gph_m + 0.01) - _pressure_pa(gph_m - 0.01)) / 0.02
    assert slope == pytest.approx(-standard_air(gph_m).rho_kgpm3 * 9.80665, rel=1e-6)


def test_nothing_jumps_between_layers() -> None:
    for foot_m in (11_000.0, 20_000.0, 32_000.0, 47_000.0, 51_000.0, 71_000.0):
        below_m = math.nextafter(foot_m, 0.0)
        assert _temperature_k(below_m) == pytest.approx(_temperature_k(foot_m), abs=1e-9)
        assert _pressure_pa(below_m) == pytest.approx(_pressure_pa(foot_m), rel=1e-12)


@pytest.mark.parametrize("gph_m", [-2000.1, 84_852.1, math.nan, math.inf])
def test_refuses_heights_outside(gph_m: float) -> None:
    assert math.isnan(_temperature_k(gph_m))
    assert math.isnan(_pressure_pa(gph_m))
    with pytest.raises(InputError, match=r"gph_m is .* m; allowed: -2000 to 84852 m"):
        standard_air(gph_m)


@pytest.mark.parametrize("p_pa", [0.373, 127_800.0, 0.0, -5.0, math.nan, math.inf])
def test_refuses_pressures_outside(p_pa: float) -> None:
    assert math.isnan(_pressure_altitude_m(p_pa))
    with pytest.raises(InputError, match=r"p_pa is .* Pa; allowed: 0\.3734 to 127774 Pa"):
        pressure_altitude_m(p_pa)


def test_mass_of_the_air_above_a_square_metre() -> None:
    # US Standard Atmosphere 1976, tests of an open fluids library, whole kilograms: 10 356, on a
    # way 60 deg above the horizon 11 954; its bent way at 5 deg (106 837) is no law of ours
    n, step_m = 8600, 10.0
    heights = [step_m * (k + 0.5) for k in range(n)]
    masses = [
        step_m * standard_air(min(geopotential_m(h), HIGHEST_GPH_M)).rho_kgpm3 for h in heights
    ]
    above = sum(masses)
    assert above == pytest.approx(10_356.0, abs=1.0)
    # 60 deg above the horizon: 1 / sine, less where the round earth steepens the way
    cosine = math.cos(math.radians(60.0))
    slant = sum(
        mass / math.sqrt(1.0 - (cosine * 6_371_000.0 / (6_371_000.0 + h)) ** 2)
        for mass, h in zip(masses, heights, strict=True)
    )
    assert slant == pytest.approx(11_954.0, rel=3e-4)
