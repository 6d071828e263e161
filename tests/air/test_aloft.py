"""Aloft: winds of the stratosphere are doubted less, and their errors hang together over less."""

import numpy as np

from farglide.air.aloft import HIGH_M, LOW_M, aloft_ratio, depth_ratio, size_ratio


def test_below_and_above_one_figure_holds_and_between_it_goes_over() -> None:
    heights_m = np.array([-100.0, LOW_M, 0.5 * (LOW_M + HIGH_M), HIGH_M, 40_000.0])
    np.testing.assert_allclose(aloft_ratio(heights_m), [0.0, 0.0, 0.5, 1.0, 1.0])
    np.testing.assert_allclose(size_ratio(heights_m, 0.6), [1.0, 1.0, 0.8, 0.6, 0.6])
    np.testing.assert_allclose(depth_ratio(heights_m, 0.2), [1.0, 1.0, 0.6, 0.2, 0.2])


def test_the_stratosphere_is_doubted_less() -> None:
    # Differences of open soundings over 3 km of height miss by 0.5 to 0.7 of what a law of one size
    # at all heights says above 18 km, and by 1.0 to 1.3 below 12 km (``bench/odds``).
    thick_m, low_m = 3000.0, 2876.0

    def mean_size(size: float, depth_m: float) -> float:
        x = depth_m / thick_m
        return float(size * np.sqrt(2.0 * x * (1.0 - x * (1.0 - np.exp(-1.0 / x)))))

    at = np.array([LOW_M, HIGH_M])
    low, high = (
        mean_size(*one) for one in zip(size_ratio(at), low_m * depth_ratio(at), strict=True)
    )
    assert 0.45 < high / low < 0.65
