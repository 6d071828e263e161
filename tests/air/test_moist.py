"""Moist air against other formulae for the same thing and against its limits."""

import math

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from CoolProp.HumidAirProp import HAPropsSI

from farglide.air.moist import (
    _saturation_pressure_pa,
    _virtual_temperature_k,
    saturation_pressures_pa,
)
from farglide.air.standard import _density_kgpm3
from farglide.constants import AIR_GAS_CONSTANT_JPKGK, STANDARD_GRAVITY_MPS2


def moist_density_kgpm3(p_pa: float, t_k: float, humidity_ratio: float) -> float:
    """Gas law with the virtual temperature, WMO-No. 8 annex 4.A."""
    return _density_kgpm3(p_pa, _virtual_temperature_k(t_k, p_pa, humidity_ratio))


def _short_form_pa(t_c: float) -> float:
    """WMO-No. 8 annex 4.B: over water, -45 to 60 C."""
    return 611.2 * math.exp(17.62 * t_c / (243.12 + t_c))


def _supercooled_pa(t_k: float) -> float:
    """Murphy and Koop, Q. J. R. Meteorol. Soc. 131 (2005), eq. 10, 123 to 332 K (from memory)."""
    log_t = math.log(t_k)
    plain = 54.842763 - 6763.22 / t_k - 4.210 * log_t + 0.000367 * t_k
    cold = 53.878 - 1331.22 / t_k - 9.44523 * log_t + 0.014025 * t_k
    return math.exp(plain + math.tanh(0.0415 * (t_k - 218.8)) * cold)


def test_vapour_pressure_agrees_with_the_short_form() -> None:
    # The short form smooths the long one: 0.3 % apart from -40 to 60 C, 0.4 % at -45 C.
    for t_c in range(-45, 61):
        assert _saturation_pressure_pa(t_c + 273.15) == pytest.approx(
            _short_form_pa(t_c), rel=3.5e-3 if t_c >= -40 else 5e-3
        ), t_c


@pytest.mark.parametrize(
    ("t_c", "short_pa"),
    # the short form, printed to 6 digits: computed for the table of check values
    [(-40.0, 19.021), (25.0, 3160.06), (40.0, 7367.46)],
)
def test_short_form_by_its_printed_values(t_c: float, short_pa: float) -> None:
    assert _short_form_pa(t_c) == pytest.approx(short_pa, rel=3e-5)
    assert _saturation_pressure_pa(t_c + 273.15) == pytest.approx(short_pa, rel=3.5e-3)


def test_vapour_pressure_of_a_newer_law() -> None:
    # Ambaum 2020, eq. 13, at 25 C: 31.623456 hPa, documentation of MetPy. Ours is 0.24 % more, and
    # within 0.01 % of the steam tables below.
    assert _saturation_pressure_pa(298.15) == pytest.approx(1.0024 * 3162.3456, rel=1e-4)


def test_vapour_pressure_agrees_with_steam_tables() -> None:
    # CoolProp: IAPWS-95 saturation pressure of pure water.
    for t_c in range(1, 100):
        reference = PropsSI("P", "T", t_c + 273.15, "Q", 0.0, "Water")
        assert _saturation_pressure_pa(t_c + 273.15) == pytest.approx(reference, rel=2e-3), t_c


def test_vapour_pressure_over_supercooled_water() -> None:
    # The two laws extrapolate different data: 1 % apart at -45 C, 2 % at -50 C, 13 % at -80 C.
    # There saturated air holds 0.1 Pa of vapour and the density does not feel it.
    for t_k in range(193, 274):
        rel = 0.01 if t_k >= 233 else 0.13
        assert _saturation_pressure_pa(t_k) == pytest.approx(_supercooled_pa(t_k), rel=rel), t_k


def test_mixing_ratio_row() -> None:
    # 1013.25 hPa, 30 C, 20 g/kg: 33.61 C and 1.1507 kg/m3, computed with MetPy 1.7.
    vapour_pa = 101_325.0 * 0.020 / (0.62198 + 0.020)  # WMO-No. 8 annex 4.A
    humidity_ratio = vapour_pa / _saturation_pressure_pa(303.15)
    t_virtual_k = _virtual_temperature_k(303.15, 101_325.0, humidity_ratio)
    assert t_virtual_k - 273.15 == pytest.approx(33.61, abs=0.02)
    assert _density_kgpm3(101_325.0, t_virtual_k) == pytest.approx(1.1507, abs=0.0005)


def test_thickness_row() -> None:
    # Hypsometric equation, 1000 to 500 hPa at 273.15 K: 5542.0 gpm with R = 287.053.
    t_virtual_k = _virtual_temperature_k(273.15, 75_000.0, 0.0)
    scale_m = AIR_GAS_CONSTANT_JPKGK * t_virtual_k / STANDARD_GRAVITY_MPS2
    assert scale_m * math.log(2.0) == pytest.approx(5542.0, abs=1.0)


@pytest.mark.parametrize("humidity_ratio", [0.0, 0.5, 1.0])
def test_density_agrees_with_real_humid_air(humidity_ratio: float) -> None:
    # CoolProp, ASHRAE RP-1485 real-gas humid air: volume per kg of DRY air, so (1 + W) / V.
    for t_k, p_pa in ((303.15, 101_325.0), (288.15, 95_000.0), (275.15, 70_000.0)):
        state = ("T", t_k, "P", p_pa, "R", humidity_ratio)
        reference = (1.0 + HAPropsSI("W", *state)) / HAPropsSI("V", *state)
        computed = moist_density_kgpm3(p_pa, t_k, humidity_ratio)
        assert computed == pytest.approx(reference, rel=7e-4)


def test_vapour_makes_air_lighter() -> None:
    dry = moist_density_kgpm3(101_325.0, 303.15, 0.0)
    assert dry == _density_kgpm3(101_325.0, 303.15)
    assert dry > moist_density_kgpm3(101_325.0, 303.15, 0.5)


def test_dry_air_is_known_at_any_temperature() -> None:
    assert moist_density_kgpm3(100.0, 150.0, 0.0) == _density_kgpm3(100.0, 150.0)
    assert math.isnan(moist_density_kgpm3(100.0, 150.0, 0.1))
    assert math.isnan(moist_density_kgpm3(100.0, 250.0, math.nan))


@pytest.mark.parametrize("t_k", [15.0, 173.0, 373.2, math.nan])
def test_vapour_of_other_temperatures_is_not_known(t_k: float) -> None:
    assert math.isnan(_saturation_pressure_pa(t_k))


def test_there_is_never_more_vapour_than_air() -> None:
    # Saturated at 270 K is 480 Pa; the air of 47 km has 111 Pa.
    assert math.isnan(_virtual_temperature_k(270.0, 111.0, 1.0))


def test_saturation_of_many_is_that_of_each() -> None:
    t_k = np.array([[250.0, 273.16], [300.0, 100.0]])
    found = saturation_pressures_pa(t_k)
    assert found.shape == t_k.shape
    assert found[:, 0].tolist() == [_saturation_pressure_pa(250.0), _saturation_pressure_pa(300.0)]
    assert np.isnan(found[1, 1])
