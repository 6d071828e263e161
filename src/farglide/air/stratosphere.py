"""Stratosphere: how much less its winds are doubted than those of the weather below."""

from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import FloatArray

TROPOSPHERE_TO_M: Final = 12_000.0
STRATOSPHERE_FROM_M: Final = 18_000.0
"""Below and above these heights, m AMSL, one figure holds; between them it goes over."""


class Aloft(NamedTuple):
    """What the stratosphere makes of an error: its size and depth, of those in the troposphere."""

    size_ratio: float
    depth_ratio: float


BY_AGE: Final = Aloft(0.88, 0.11)
BY_DISTANCE: Final = Aloft(0.76, 0.55)
"""Of errors that age makes, and distance.

Valid: to 32 km, as high as the fit looks.
Source: differences of open soundings, fitted by ``bench/odds`` (5 to 95 %: by age 0.62-0.99 and
0-0.18, by distance 0.53-1.00 and 0.33-0.81).
"""


def stratosphere_ratio(amsl_m: FloatArray) -> FloatArray:
    """Return how far up in the stratosphere each height is: 0 below it, 1 where it is alone.

    The two heights are chosen, not fitted. From memory: tropopauses lie at 9 to 17 km.
    """
    span_m = STRATOSPHERE_FROM_M - TROPOSPHERE_TO_M
    ratio: FloatArray = np.clip((amsl_m - TROPOSPHERE_TO_M) / span_m, 0.0, 1.0)
    return ratio


def going_over(amsl_m: FloatArray, high_ratio: float) -> FloatArray:
    """Return 1 in the troposphere, a ratio in the stratosphere, and between them in between."""
    return 1.0 + (high_ratio - 1.0) * stratosphere_ratio(amsl_m)
