"""Stratosphere: its winds are doubted less, and their errors hang together over less."""

import numpy as np
import pytest

from farglide.air.stratosphere import (
    BY_AGE,
    BY_DISTANCE,
    STRATOSPHERE_FROM_M,
    TROPOSPHERE_TO_M,
    Aloft,
    going_over,
    stratosphere_ratio,
)


def test_below_and_above_one_figure_holds_and_between_it_goes_over() -> None:
    heights_m = np.array(
        [
            -100.0,
            TROPOSPHERE_TO_M,
            0.5 * (TROPOSPHERE_TO_M + STRATOSPHERE_FROM_M),
            STRATOSPHERE_FROM_M,
            40_000.0,
        ]
    )
    np.testing.assert_allclose(stratosphere_ratio(heights_m), [0.0, 0.0, 0.5, 1.0, 1.0])
    np.testing.assert_allclose(going_over(heights_m, 0.6), [1.0, 1.0, 0.8, 0.6, 0.6])


@pytest.mark.parametrize(
    ("aloft", "depth_m", "found"),
    [(BY_AGE, 3110.0, (0.3, 0.55)), (BY_DISTANCE, 3354.0, (0.5, 0.75))],
)
def test_the_stratosphere_is_doubted_less(
    aloft: Aloft, depth_m: float, found: tuple[float, float]
) -> None:
    # Differences of open soundings over 3 km of height: above 18 km those of one place miss by 0.4
    # of what they do below 12 km, those of neighbours by 0.6 (``bench/odds``).
    thick_m = 3000.0

    def mean_size(size: float, depth_m: float) -> float:
        x = depth_m / thick_m
        return float(size * np.sqrt(2.0 * x * (1.0 - x * (1.0 - np.exp(-1.0 / x)))))

    low, high = found
    there = mean_size(aloft.size_ratio, aloft.depth_ratio * depth_m)
    assert low < there / mean_size(1.0, depth_m) < high
