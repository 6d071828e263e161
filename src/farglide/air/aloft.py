"""Aloft: how much less winds of the stratosphere are doubted than those of the weather below."""

from typing import Final

import numpy as np

from farglide.arrays import FloatArray

LOW_M: Final = 12_000.0
HIGH_M: Final = 18_000.0
"""Below and above these heights, m AMSL, one figure holds; between them it goes over."""
SIZE_RATIO: Final = 0.78
DEPTH_RATIO: Final = 0.25


def aloft_ratio(height_m: FloatArray) -> FloatArray:
    """Return how far each height, m AMSL, is up in the stratosphere: 0 below it to 1 above."""
    ratio: FloatArray = np.clip((height_m - LOW_M) / (HIGH_M - LOW_M), 0.0, 1.0)
    return ratio


def size_ratio(height_m: FloatArray, high_ratio: float = SIZE_RATIO) -> FloatArray:
    """Return the size of the deep error at each height, of that in the troposphere."""
    return 1.0 + (high_ratio - 1.0) * aloft_ratio(height_m)


def depth_ratio(height_m: FloatArray, high_ratio: float = DEPTH_RATIO) -> FloatArray:
    """Return over how much the deep error hangs together, of its depth in the troposphere."""
    return 1.0 + (high_ratio - 1.0) * aloft_ratio(height_m)
