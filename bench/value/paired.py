"""Two policies on the same sorties: the share each brings home and the difference, with bounds."""

from typing import NamedTuple

import numpy as np

from farglide.arrays import BoolArray, FloatArray, IntArray

N_BOOTSTRAPS = 4000


class Interval(NamedTuple):
    """A mean with the bounds between which 95 % of the means of redrawn regions lie."""

    mean: float
    low: float
    high: float


def clustered(values: FloatArray, region: IntArray, seed: int = 1) -> Interval:
    """Return the mean of values and its interval, whole regions drawn anew with replacement.

    Sorties of one region meet one weather: they count together or not at all.
    Source: Cameron, Gelbach & Miller, Review of Economics and Statistics 90 (2008) 414: pairs
    cluster bootstrap (from memory).
    """
    names = np.unique(region)
    total = np.array([values[region == name].sum() for name in names])
    count = np.array([(region == name).sum() for name in names])
    drawn = np.random.default_rng(seed).integers(0, len(names), (N_BOOTSTRAPS, len(names)))
    means = total[drawn].sum(axis=1) / count[drawn].sum(axis=1)
    low, high = np.percentile(means, [2.5, 97.5])
    return Interval(float(values.mean()), float(low), float(high))


def share(won: BoolArray, region: IntArray) -> Interval:
    """Return the share of sorties won."""
    return clustered(won.astype(np.float64), region)


def gained(won: BoolArray, other: BoolArray, region: IntArray) -> Interval:
    """Return by how much one policy wins more of the same sorties than another."""
    return clustered(won.astype(np.float64) - other.astype(np.float64), region)
