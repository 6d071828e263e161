"""Shares: of balloons still whole, with the spread of the bursting diameter integrated out.

The bursting diameter is independent of all else that is drawn, so a draw need not burst at its own
diameter: each carries, at each moment, the probability that its balloon is still whole.
"""

import math

import numpy as np

from farglide.arrays import FloatArray
from farglide.balloon.burst import Bursting, _burst_ratio, _whole_ratio
from farglide.errors import InputError
from farglide.kernel import compiled
from farglide.sim.core.tracks import Tracks


@compiled
def _burst_rows(diameter_m: FloatArray, law: Bursting, out: FloatArray) -> None:
    for i in range(diameter_m.shape[0]):
        worst = 0.0
        for j in range(diameter_m.shape[1]):
            if not np.isnan(diameter_m[i, j]):
                worst = max(worst, _burst_ratio(diameter_m[i, j], law))
            elif j > 0:
                worst = 1.0 if worst > 0.5 else worst
            out[i, j] = worst


def burst_shares(tracks: Tracks, law: Bursting) -> FloatArray:
    """Return for each draw and moment the probability that its balloon has burst by then.

    A diameter once passed cannot be unpassed: the share never falls, also when a leak lets the
    balloon shrink. A balloon that leaves the column with worse than even chance counts as burst.
    Shape (n_draws, n_times).
    """
    out = np.empty_like(tracks.diameter_m)
    _burst_rows(tracks.diameter_m, law, out)
    return out


@compiled
def _since_rows(
    diameter_m: FloatArray, widest_m: FloatArray, law: Bursting, out: FloatArray
) -> None:
    for i in range(diameter_m.shape[0]):
        before, worst = _whole_ratio(widest_m[i], law), 0.0
        for j in range(diameter_m.shape[1]):
            if diameter_m[i, j] > widest_m[i]:
                now = _whole_ratio(diameter_m[i, j], law)
                worst = max(worst, 1.0 - now / before if before > 0.0 else 1.0)
            elif np.isnan(diameter_m[i, j]):
                worst = 1.0 if worst > 0.5 else worst
            out[i, j] = worst


def burst_shares_since(tracks: Tracks, widest_m: FloatArray, law: Bursting) -> FloatArray:
    """Return the shares that have burst, (n_draws, n_times), of the balloons that are whole now.

    `widest_m` (n_draws,): how wide each draw's film has been by now. A film that has outlived all
    that its belief (`mean_m`, `sd_m`) allows bursts as soon as it grows.
    """
    out = np.empty_like(tracks.diameter_m)
    _since_rows(tracks.diameter_m, widest_m, law, out)
    return out


def quantile_moment_s(share: FloatArray, step_s: float, wanted: float) -> float:
    """Return when a rising share first reaches the wanted value, NaN if it never does."""
    above = np.nonzero(share >= wanted)[0]
    if len(above) == 0:
        return float("nan")
    j = int(above[0])
    if j == 0:
        return 0.0
    part = (wanted - share[j - 1]) / max(share[j] - share[j - 1], 1e-12)
    return float(step_s * (j - 1 + part))


def failure_bound_ratio(n_tried: int, n_failed: int, confidence_ratio: float = 0.95) -> float:
    """Return the highest failure rate that a record does not rule out, NaN for an empty record.

    The exact one-sided binomial bound: the rate at which so few failures would come up only
    1 - confidence of the time. Source: Clopper & Pearson, Biometrika 26 (1934) 404; about 3/n
    after n trials without a failure.

    >>> round(failure_bound_ratio(30, 0), 3), round(failure_bound_ratio(10, 0), 2)
    (0.095, 0.26)
    """
    if n_tried < 0 or not 0 <= n_failed <= max(n_tried, 0):
        raise InputError("record", (n_tried, n_failed), "0 or more tries, failures among them")
    if not 0.0 < confidence_ratio < 1.0:
        raise InputError("confidence_ratio", confidence_ratio, "more than 0, less than 1")
    if n_tried == 0:
        return float("nan")
    if n_failed == n_tried:
        return 1.0
    k = np.arange(n_failed + 1)
    log_ways = np.array(  # logarithms: the binomials of thousands of tries overflow
        [math.lgamma(n_tried + 1) - math.lgamma(j + 1) - math.lgamma(n_tried - j + 1) for j in k]
    )
    low, high = 0.0, 1.0
    for _ in range(60):
        rate = 0.5 * (low + high)
        logs = log_ways + k * math.log(rate) + (n_tried - k) * math.log1p(-rate)
        few = float(np.exp(logs).sum())
        low, high = (rate, high) if few > 1.0 - confidence_ratio else (low, rate)
    return 0.5 * (low + high)


def weighted_medians(values: FloatArray, weights: FloatArray) -> FloatArray:
    """Return the median of each column of draws, each draw counting by its weight.

    As `weighted_points`, at one half.
    """
    return weighted_points(values, weights, 0.5)


def weighted_points(values: FloatArray, weights: FloatArray, wanted: float) -> FloatArray:
    """Return of each column of draws what a wanted share of their weight does not pass.

    NaN draws are left out; a column whose weights have all but vanished counts every draw alike.
    Shapes (n_draws, n_columns) -> (n_columns,).
    """
    counted = np.where(np.isnan(values), 0.0, weights)
    vanished = counted.sum(axis=0) < 1e-6
    counted[:, vanished] = ~np.isnan(values[:, vanished])
    order = np.argsort(values, axis=0)  # NaN last
    sorted_values = np.take_along_axis(values, order, axis=0)
    share = np.cumsum(np.take_along_axis(counted, order, axis=0), axis=0)
    total = share[-1]
    row = np.minimum((share < wanted * total).sum(axis=0), len(values) - 1)
    points: FloatArray = sorted_values[row, np.arange(values.shape[1])]
    return np.where(total > 0.0, points, np.nan)
