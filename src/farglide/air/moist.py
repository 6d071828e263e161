"""Moist air: vapour pressure over water, and the virtual temperature."""

import math
from typing import Final

import numpy as np

from farglide.arrays import FloatArray, SingleArray
from farglide.constants import WATER_TO_AIR_MOLAR_RATIO
from farglide.kernel import compiled

COLDEST_K: Final = 173.15
HOTTEST_K: Final = 373.15


@compiled
def _saturation_pressure_pa(t_k: float) -> float:
    """Return the vapour pressure of saturated air over a plane of liquid water, frost or not.

    Soundings and forecasts state relative humidity over liquid water below 0 C as well; the vapour
    pressure of a dew point is this function at the dew point.
    Valid: 173.15 to 373.15 K, NaN outside. Source: Sonntag, Z. Meteorol. 70 (1990), eq. 7,
    coefficients from memory; the short form in WMO-No. 8 annex 4.B rests on it, is within 0.35 %
    of it from -40 C up, and is good from -45 to 60 C only.
    """
    if not COLDEST_K <= t_k <= HOTTEST_K:
        return math.nan
    terms = -6096.9385 / t_k + 21.2409642 - 2.711193e-2 * t_k + 1.673952e-5 * t_k * t_k
    return math.exp(terms + 2.433502 * math.log(t_k))


@compiled
def _virtual_temperature_k(t_k: float, p_pa: float, humidity_ratio: float) -> float:
    """Return the temperature at which dry air would be as light as this moist air.

    `humidity_ratio` is relative humidity over water, 0 to 1. NaN where the vapour alone would
    exceed the pressure.
    Source: WMO-No. 8 annex 4.A, from Dalton's law: T / (1 - (1 - 0.62198) e / p).
    """
    if humidity_ratio == 0.0:  # dry air at any temperature, also where the vapour law ends
        return t_k
    vapour_share = humidity_ratio * _saturation_pressure_pa(t_k) / p_pa
    if not vapour_share < 1.0:
        return math.nan
    return t_k / (1.0 - (1.0 - WATER_TO_AIR_MOLAR_RATIO) * vapour_share)


def saturation_pressures_pa(t_k: FloatArray | SingleArray) -> FloatArray:
    """Return the vapour pressures of saturated air over water, of the shape of the temperatures."""
    flat = np.ascontiguousarray(t_k, np.float64).reshape(-1)
    found = np.empty_like(flat)
    _fill_saturation_pa(flat, found)
    return found.reshape(t_k.shape)


@compiled
def _fill_saturation_pa(t_k: FloatArray, found_pa: FloatArray) -> None:
    for i in range(len(t_k)):
        found_pa[i] = _saturation_pressure_pa(t_k[i])
