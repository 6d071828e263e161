"""Fit the law of the wind's doubt to all pairs, and by days and places drawn anew."""

from collections.abc import Sequence
from typing import Final

import numpy as np
from scipy.optimize import minimize

from bench.odds.classes import votes
from bench.odds.law import WindLaw, column_law, said_by
from bench.odds.moments import Moments, cost, joined, moments_of
from bench.odds.pairs import EDGES_M, Pair, layer_winds
from bench.odds.resample import drawn_weights
from farglide.arrays import FloatArray

BEGIN: Final = WindLaw(2.0, 4.9, 0.75, 2000.0, 4.2, 1.6, 3200.0, 42.0, 15.0, 0.8, 0.2, 0.8, 0.5)
LOW_M: Final = 10_000.0
OLDEST_H: Final = 27.0
_FRESH_ROWS: Final = 500.0
_FRESH_SPEED_MPS: Final = 8.0
_FRESH_HEIGHT_M: Final = 9000.0
_FRESH_CORRELATION: Final = ((500.0, 0.22), (1000.0, 0.0), (3000.0, 0.03))
FRESH_80_KM_MPS: Final = 2.35  # 2.0 to 2.7 at all heights
FRESH_5_KM_MPS: Final = 1.0
"""Figures of pairs under an hour apart, which the open sets do not hold: sizes and correlations.

Source: an earlier look at satellite-positioned flights 38 to 151 km, and 5 km, apart; not repeated.
"""


def fresh_moments(scatter: tuple[float, float] = (1.0, 1.0)) -> Moments:
    """Return the figures of fresh pairs as moments, their variances times `scatter`."""
    rows = []
    for i, (age_h, away_km, size) in enumerate(
        ((0.1, 80.0, FRESH_80_KM_MPS), (0.05, 5.0, FRESH_5_KM_MPS))
    ):
        v = scatter[i] * size**2
        for lag_m, r in _FRESH_CORRELATION:
            n = _FRESH_ROWS
            at = age_h, away_km, lag_m, _FRESH_SPEED_MPS, _FRESH_HEIGHT_M
            rows.append((*at, 0.0, 0.0, n * v, n * v * r, n, i, 0.0))
    *columns, group, is_apart = np.array(rows).T
    return Moments(*columns, group.astype(np.int64), is_apart)


def fit_law(moments: Moments, weight: FloatArray, begin: WindLaw = BEGIN) -> WindLaw:
    """Return the law that fits best by the weighted composite likelihood."""

    def off(logs: FloatArray) -> float:
        law = WindLaw(*np.exp(logs))
        return cost(moments, said_by(law, moments), weight)

    at = np.log(begin)
    for _ in range(2):  # begun anew, the simplex leaves a ridge
        options = {"maxiter": 1500, "xatol": 2e-3, "fatol": 1e-6, "adaptive": True}
        at = minimize(off, at, method="Nelder-Mead", options=options).x
    return WindLaw(*(float(x) for x in np.exp(at)))


def all_moments(pairs: Sequence[Pair]) -> Moments:
    """Return the moments of pairs and the figures of fresh ones."""
    return joined(moments_of(pairs), fresh_moments())


def resampled_laws(moments: Moments, begin: WindLaw, n_times: int, seed: int = 1) -> list[WindLaw]:
    """Return laws fitted to days and places drawn anew; figures of fresh pairs scatter by 20 %."""
    rng, found = np.random.default_rng(seed), []
    n_real = int(moments.group.max()) - 1  # the last two groups are figures, not days
    real = moments.group < n_real
    for _ in range(n_times):
        again = Moments(*(column[real] for column in moments))
        times = drawn_weights(again.group, rng)
        scatter = np.exp(rng.normal(0.0, 0.2, 2))
        tried = joined(again, fresh_moments((float(scatter[0]), float(scatter[1]))))
        often = np.concatenate([times, np.ones(len(tried.n_layers) - len(times))])
        drawn = tried._replace(n_layers=tried.n_layers * np.maximum(often, 1e-9))
        summed = {name: getattr(drawn, name) * often for name in ("sums", "squares", "products")}
        drawn = drawn._replace(**summed)
        found.append(fit_law(drawn, votes(drawn), begin))
    return found


def climb_misses(law: WindLaw, pairs: Sequence[Pair], top_m: float = np.inf) -> FloatArray:
    """Return by how many standard deviations the mean over a climb misses, (n_pairs, 2).

    `top_m`: up to where the climb is told, at most to where both winds are known.
    """
    middle_m = 0.5 * (EDGES_M[1:] + EDGES_M[:-1])
    found = []
    for pair in pairs:
        forecast = layer_winds(pair.forecast)
        error = forecast - layer_winds(pair.truth)
        known = np.isfinite(error[0]) & (middle_m < top_m)
        said = column_law(law, pair.age_h, pair.distance_km, forecast[:, known], middle_m[known])
        missed = (error[:, known] - said.mean_mps).sum(axis=1)
        found.append(missed / np.sqrt(said.covariance.sum(axis=(1, 2))))
    return np.array(found)
