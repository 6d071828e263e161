"""Moist air: vapour pressure over water, virtual temperature and density."""

import math
from typing import Final

from farglide.constants import AIR_GAS_CONSTANT_JPKGK, WATER_TO_AIR_MOLAR_RATIO
from farglide.errors import ContradictionError, InputError
from farglide.kernel import compiled

COLDEST_K: Final = 173.15
HOTTEST_K: Final = 373.15
_MOST_HUMIDITY_RATIO: Final = 1.1  # over water, air is seldom a few parts in a hundred above 1


def saturation_pressure_pa(t_k: float) -> float:
    """Return the vapour pressure of saturated air over a plane of liquid water, frost or not.

    Soundings and forecasts state relative humidity over liquid water below 0 C as well; the vapour
    pressure of a dew point is this function at the dew point.
    Valid: 173.15 to 373.15 K. Source: Sonntag, Z. Meteorol. 70 (1990), eq. 7, coefficients from
    memory; the short form in WMO-No. 8 annex 4.B rests on it and is good from -45 to 60 C only.

    >>> round(saturation_pressure_pa(273.16), 1)
    611.7
    """
    _check_temperature(t_k)
    return _saturation_pressure_pa(float(t_k))


def virtual_temperature_k(t_k: float, p_pa: float, humidity_ratio: float) -> float:
    """Return the temperature at which dry air would be as light as this moist air.

    `humidity_ratio` is relative humidity over water, 0 to 1.
    Valid: 173.15 to 373.15 K, vapour pressure below the air pressure.
    Source: WMO-No. 8 annex 4.A, from Dalton's law: T / (1 - (1 - 0.62198) e / p).
    """
    _check_moist(t_k, p_pa, humidity_ratio)
    return _virtual_temperature_k(float(t_k), float(p_pa), float(humidity_ratio))


def virtual_temperature_of_mixture_k(t_k: float, mixing_ratio: float) -> float:
    """Return the virtual temperature of air with so many kilograms of vapour per kilogram dry air.

    Valid: 173.15 to 373.15 K, mixing ratio 0 to 0.1.
    Source: WMO-No. 8 annex 4.A, from Dalton's law: T (1 + r / 0.62198) / (1 + r).

    >>> round(virtual_temperature_of_mixture_k(303.15, 0.020) - 273.15, 2)
    33.61
    """
    _check_temperature(t_k)
    if not 0.0 <= mixing_ratio <= 0.1:
        remedy = "Divide grams per kilogram by 1000."
        raise InputError("mixing_ratio", f"{mixing_ratio} kg/kg", "0 to 0.1 kg/kg", remedy)
    return _virtual_temperature_of_mixture_k(float(t_k), float(mixing_ratio))


def moist_density_kgpm3(p_pa: float, t_k: float, humidity_ratio: float) -> float:
    """Return the density of moist air as an ideal gas.

    Valid: as `virtual_temperature_k`; real air is denser by 0.04 % at sea level.
    Source: gas law with the virtual temperature, WMO-No. 8 annex 4.A.

    >>> round(moist_density_kgpm3(101_325.0, 303.15, 0.0), 4)
    1.1644
    """
    _check_moist(t_k, p_pa, humidity_ratio)
    return _moist_density_kgpm3(float(p_pa), float(t_k), float(humidity_ratio))


def _check_temperature(t_k: float) -> None:
    if not COLDEST_K <= t_k <= HOTTEST_K:
        allowed = f"{COLDEST_K} to {HOTTEST_K} K"
        raise InputError("t_k", f"{t_k} K", allowed, "Add 273.15 to degrees Celsius.")


def _check_moist(t_k: float, p_pa: float, humidity_ratio: float) -> None:
    _check_temperature(t_k)
    if not 0.0 < p_pa < 2.0e5:
        raise InputError(
            "p_pa", f"{p_pa} Pa", "0 to 200 000 Pa", "Check the unit: 1 hPa is 100 Pa."
        )
    if not 0.0 <= humidity_ratio <= _MOST_HUMIDITY_RATIO:
        allowed = f"0 to {_MOST_HUMIDITY_RATIO}"
        raise InputError("humidity_ratio", humidity_ratio, allowed, "Divide percent by 100.")
    if math.isnan(_virtual_temperature_k(float(t_k), float(p_pa), float(humidity_ratio))):
        vapour_pa = humidity_ratio * _saturation_pressure_pa(float(t_k))
        raise ContradictionError(
            f"humidity_ratio {humidity_ratio} at {t_k} K is a vapour pressure of "
            f"{vapour_pa:.0f} Pa, not possible in air of {p_pa} Pa. "
            "Take humidity 0 in the stratosphere."
        )


@compiled
def _saturation_pressure_pa(t_k: float) -> float:
    """Return the vapour pressure over water, NaN outside 173.15 to 373.15 K."""
    if not COLDEST_K <= t_k <= HOTTEST_K:
        return math.nan
    terms = -6096.9385 / t_k + 21.2409642 - 2.711193e-2 * t_k + 1.673952e-5 * t_k * t_k
    return math.exp(terms + 2.433502 * math.log(t_k))


@compiled
def _virtual_temperature_k(t_k: float, p_pa: float, humidity_ratio: float) -> float:
    """Return the virtual temperature, NaN where the vapour alone would exceed the pressure."""
    if humidity_ratio == 0.0:  # dry air at any temperature, also where the vapour law ends
        return t_k
    vapour_share = humidity_ratio * _saturation_pressure_pa(t_k) / p_pa
    if not vapour_share < 1.0:
        return math.nan
    return t_k / (1.0 - (1.0 - WATER_TO_AIR_MOLAR_RATIO) * vapour_share)


@compiled
def _virtual_temperature_of_mixture_k(t_k: float, mixing_ratio: float) -> float:
    return t_k * (1.0 + mixing_ratio / WATER_TO_AIR_MOLAR_RATIO) / (1.0 + mixing_ratio)


@compiled
def _moist_density_kgpm3(p_pa: float, t_k: float, humidity_ratio: float) -> float:
    """Return the density of moist air, NaN as the virtual temperature."""
    return p_pa / (AIR_GAS_CONSTANT_JPKGK * _virtual_temperature_k(t_k, p_pa, humidity_ratio))
