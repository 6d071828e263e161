"""Tropopause: where it lies, and a factor of the climb by the height over it or over the sea."""

from collections.abc import Sequence
from typing import Final

import numpy as np

from farglide.air.sounding import Sounding
from farglide.arrays import FloatArray

_STEP_M: Final = 100.0
_LOWEST_M: Final = 5_000.0
_THICK_M: Final = 2_000.0
_OVER_M: Final = 500.0
"""A lapse rate is told over so much: over less, samples of a second tell their own noise."""
_LAPSE_KPM: Final = 0.002
_BIN_M: Final = 2_500.0
_HELD: Final = 3.0
"""So many cells without an error stand against those of each bin."""


def tropopause_m(sounding: Sounding) -> float:
    """Return the height of the first tropopause, NaN where the sounding ends below 2 km over it.

    Source: WMO, the lowest level above which the temperature falls by 2 K/km or less, and by no
    more in the mean over any stretch up to 2 km above it; from 500 m on here.
    """
    z = np.arange(_LOWEST_M, float(sounding.gph_m[-1]) - _THICK_M, _STEP_M)
    rises = np.arange(_OVER_M, _THICK_M + 1.0, _STEP_M)
    for height_m in z.tolist():
        at, above = (np.interp(one, sounding.gph_m, sounding.t_k)
                     for one in (height_m, height_m + rises))  # fmt: skip
        if ((at - above) / rises <= _LAPSE_KPM).all():
            return float(height_m)
    return float("nan")


def factor_log(
    above_m: Sequence[FloatArray], missed: Sequence[FloatArray], wanted_m: FloatArray
) -> FloatArray:
    """Return the mean of what climbs miss at some heights above what counts as their zero."""
    heights, errors = np.concatenate(above_m), np.concatenate(missed)
    edges = np.arange(-20_000.0, 40_001.0, _BIN_M)
    n = np.histogram(heights, edges)[0]
    total = np.histogram(heights, edges, weights=errors)[0]
    return np.interp(wanted_m, edges[:-1] + 0.5 * _BIN_M, total / (n + _HELD))
