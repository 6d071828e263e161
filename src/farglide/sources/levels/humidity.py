"""Relative humidity from temperature and dew point, as upper-air reports give them."""

import numpy as np

from farglide.arrays import FloatArray
from farglide.units import CELSIUS_ZERO_K


def relative_humidity_ratio(t_k: FloatArray, dew_point_k: FloatArray) -> FloatArray:
    """Return the vapour pressure at the dew point over that of saturation, both over water.

    Valid: -45 to 60 degrees Celsius; below it humidity no longer matters for density, and the
    formula stays smooth. Source: WMO-No. 8, volume I, annex 4.B, e_w = 6.112 exp(17.62 t /
    (243.12 + t)) hPa, from memory.

    >>> float(relative_humidity_ratio(np.array([293.15]), np.array([283.15])).round(3)[0])
    0.526
    """
    with np.errstate(over="ignore", divide="ignore", invalid="ignore"):
        ratio = np.exp(_exponent(dew_point_k) - _exponent(t_k))
    return np.where(dew_point_k <= t_k + 0.05, np.minimum(ratio, 1.0), np.nan)


def _exponent(t_k: FloatArray) -> FloatArray:
    t_c = t_k - CELSIUS_ZERO_K
    return np.where(t_c > -120.0, 17.62 * t_c / (243.12 + t_c), np.nan)
