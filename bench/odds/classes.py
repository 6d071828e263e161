"""Classes of age and distance: each with one vote in the fit, and with a free fit of its own."""

from typing import Final, NamedTuple

import numpy as np
from scipy.optimize import minimize

from bench.odds.moments import Law, Moments, cost
from farglide.arrays import BoolArray, FloatArray


class Class(NamedTuple):
    """Pairs of about one age or distance, and how much they count in the fit of one law."""

    name: str
    low: float
    high: float
    vote: float


AGES_H: Final = (
    Class("6 h", 4.0, 9.0, 1.0), Class("12 h", 9.0, 15.0, 1.0), Class("18 h", 15.0, 21.0, 1.0),
    Class("24 h", 21.0, 27.0, 1.0), Class("27-40 h", 27.0, 40.0, 0.4),
    Class("40-72 h", 40.0, 73.0, 0.4),
)  # fmt: skip
DISTANCES_KM: Final = (
    Class("130-250 km", 20.0, 250.0, 1.0), Class("250-350 km", 250.0, 350.0, 1.0),
    Class("350-450 km", 350.0, 450.0, 0.7), Class("450-580 km", 450.0, 580.0, 0.4),
    Class("580-700 km", 580.0, 701.0, 0.2),
)  # fmt: skip
_FRESH: Final = (Class("fresh, 80 km", 20.0, 200.0, 4.0), Class("fresh, 5 km", 1.0, 20.0, 1.0))
SMOOTH_LAG_M: Final = 900.0
_SMOOTH_VOTE: Final = 0.3
"""Lags below count less where the error is deep: there it is smoother than any exponential."""


def members(moments: Moments) -> list[tuple[Class, BoolArray]]:
    """Return the classes that have rows, and which rows these are."""
    m = moments
    aged = (m.is_apart == 0.0) & (m.age_h >= 4.0)
    fresh = (m.is_apart == 0.0) & (m.age_h < 4.0)
    found = [(one, aged & (m.age_h >= one.low) & (m.age_h < one.high)) for one in AGES_H]
    for of, among in ((DISTANCES_KM, m.is_apart > 0.0), (_FRESH, fresh)):
        found += [
            (one, among & (m.distance_km >= one.low) & (m.distance_km < one.high)) for one in of
        ]
    return [(one, rows) for one, rows in found if rows.any()]


def votes(moments: Moments) -> FloatArray:
    """Return the weight of each row: each class as its vote says, however many pairs it has."""
    lag = np.where(moments.lag_m < SMOOTH_LAG_M, _SMOOTH_VOTE, 1.0)
    weight = np.zeros(len(lag))
    for one, rows in members(moments):
        own = np.where(one.name.startswith("fresh"), 1.0, lag[rows])
        weight[rows] = one.vote * own / (own * moments.n_layers[rows]).sum()
    return weight


class Free(NamedTuple):
    """Both errors of one class with all free."""

    shallow_mps: float
    shallow_depth_m: float
    deep_mps: float
    deep_depth_m: float
    total_mps: float
    at_500_m: float  # correlations of the difference
    at_1_km: float
    at_3_km: float


def free_fit(moments: Moments, weight: FloatArray, begin: Free | None = None) -> Free:
    """Return the sizes and depths that fit the rows best, by the composite likelihood."""
    total, *correlations = told(moments, weight)

    def off(logs: FloatArray) -> float:
        shallow, shallow_m, deep, deep_m = np.exp(logs)
        if not 100.0 < shallow_m < deep_m < 20_000.0 or shallow_m > 1000.0:
            return 1e12
        lag, v = moments.lag_m, shallow**2 + deep**2
        cov = shallow**2 * np.exp(-lag / shallow_m) + deep**2 * np.exp(-lag / deep_m)
        return cost(moments, Law(np.full(len(lag), v), cov), weight)

    starts = [begin[:4]] if begin else [(2.0, 300.0, 4.0, 2000.0), (3.0, 600.0, 3.0, 4000.0)]
    options = {"maxiter": 1500, "xatol": 3e-3, "fatol": 1e-7}
    tried = [minimize(off, np.log(s), method="Nelder-Mead", options=options) for s in starts]
    best = min(tried, key=lambda one: float(one.fun))
    s, s_m, d, d_m = (float(x) for x in np.exp(best.x))
    return Free(s, s_m, d, d_m, total, *correlations)


def told(moments: Moments, weight: FloatArray) -> tuple[float, float, float, float]:
    """Return the root mean square of the rows, and the correlation over 0.5, 1 and 3 km."""
    n, w = moments.n_layers, weight
    square = float((w * moments.squares).sum() / (w * n).sum())
    found = []
    for lag_m in (500.0, 1000.0, 3000.0):
        rows = (moments.lag_m == lag_m) & (w > 0.0)
        here = (w * moments.squares)[rows].sum()
        found.append(float((w * moments.products)[rows].sum() / here) if here > 0.0 else np.nan)
    return float(np.sqrt(square)), found[0], found[1], found[2]
