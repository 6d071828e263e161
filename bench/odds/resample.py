"""Resample: intervals of what was found, whole days and places drawn together."""

from collections.abc import Callable

import numpy as np

from farglide.arrays import FloatArray, IntArray


def drawn_weights(group: IntArray, rng: np.random.Generator) -> FloatArray:
    """Return how often each row counts when its groups are drawn anew, with replacement.

    Source: the bootstrap of clusters, Davison & Hinkley, Bootstrap Methods (1997) 3.8, from memory.
    """
    n = int(group.max()) + 1
    times = np.bincount(rng.integers(0, n, n), minlength=n)
    return times[group].astype(np.float64)


def numbered(names: list[str]) -> IntArray:
    """Return the group number of each name."""
    return np.unique(names, return_inverse=True)[1].astype(np.int64)


def interval(
    told: Callable[[FloatArray], float], group: IntArray, n_times: int, seed: int
) -> tuple[float, float]:
    """Return the 5 and 95 % points of a figure over resampled groups.

    `told` takes the weight of each row. Figures that a resample does not define (NaN) are left out.
    """
    rng = np.random.default_rng(seed)
    found = [told(drawn_weights(group, rng)) for _ in range(n_times)]
    low, high = np.nanquantile(found, [0.05, 0.95])
    return float(low), float(high)
