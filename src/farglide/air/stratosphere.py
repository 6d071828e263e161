"""Stratosphere: how much less its winds are doubted than those of the weather below."""

from typing import Final

import numpy as np

from farglide.arrays import FloatArray

TROPOSPHERE_TO_M: Final = 12_000.0
STRATOSPHERE_FROM_M: Final = 18_000.0
"""Below and above these heights, m AMSL, one figure holds; between them it goes over."""
SIZE_RATIO: Final = 0.78
DEPTH_RATIO: Final = 0.25


def stratosphere_ratio(amsl_m: FloatArray) -> FloatArray:
    """Return how far up in the stratosphere each height is: 0 below it, 1 where it is alone.

    The two heights are chosen, not fitted. From memory: tropopauses lie at 9 to 17 km.
    """
    span_m = STRATOSPHERE_FROM_M - TROPOSPHERE_TO_M
    ratio: FloatArray = np.clip((amsl_m - TROPOSPHERE_TO_M) / span_m, 0.0, 1.0)
    return ratio


def deep_size_ratio(amsl_m: FloatArray, high_ratio: float = SIZE_RATIO) -> FloatArray:
    """Return the size of the deep error at each height, of that in the troposphere.

    Valid: to 32 km, as high as the fit looks.
    Source: differences of open soundings, fitted by ``bench/odds`` (5 to 95 %: 0.62 to 0.90).
    """
    return _going_over(amsl_m, high_ratio)


def deep_depth_ratio(amsl_m: FloatArray, high_ratio: float = DEPTH_RATIO) -> FloatArray:
    """Return over how much the deep error hangs together, of its depth in the troposphere.

    Valid: to 32 km, as high as the fit looks.
    Source: differences of open soundings, fitted by ``bench/odds`` (5 to 95 %: 0.16 to 0.35).
    """
    return _going_over(amsl_m, high_ratio)


def _going_over(amsl_m: FloatArray, high_ratio: float) -> FloatArray:
    """Return 1 in the troposphere, a ratio in the stratosphere, and between them in between."""
    return 1.0 + (high_ratio - 1.0) * stratosphere_ratio(amsl_m)
