"""Fit the law of the wind's doubt: `python -m bench.odds.fit_wind` prints it with intervals."""

import sys
from collections.abc import Sequence
from typing import Final

import numpy as np
from scipy.optimize import minimize

from bench.odds.classes import Free, free_fit, members, told, votes
from bench.odds.law import WindLaw, column_covariance, said_by
from bench.odds.moments import Moments, cost, joined, moments_of
from bench.odds.pairs import EDGES_M, Pair, aged_pairs, apart_pairs, layer_winds
from bench.odds.resample import drawn_weights, interval, numbered
from farglide.arrays import FloatArray

BEGIN: Final = WindLaw(2.0, 4.9, 0.75, 2000.0, 4.2, 1.6, 3200.0, 42.0)
_LOW_M: Final = 10_000.0
_OLDEST_H: Final = 27.0
_FRESH_ROWS: Final = 500.0
_FRESH_SPEED_MPS: Final = 8.0
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
            rows.append((age_h, away_km, lag_m, _FRESH_SPEED_MPS, n * v, n * v * r, n, i, 0.0))
    columns = np.array(rows).T
    return Moments(*columns[:7], columns[7].astype(np.int64), columns[8])


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
        often = np.concatenate([times, np.ones(len(tried.count) - len(times))])
        drawn = tried._replace(count=tried.count * np.maximum(often, 1e-9))
        drawn = drawn._replace(squares=drawn.squares * often, products=drawn.products * often)
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
        speed = np.hypot(*forecast)[known]
        spread = column_covariance(law, pair.age_h, pair.distance_km, speed, middle_m[known]).sum()
        found.append(error[:, known].sum(axis=1) / np.sqrt(spread))
    return np.array(found)


def with_whole_climbs(law: WindLaw, pairs: Sequence[Pair]) -> WindLaw:
    """Return the law with the depth by age at which whole climbs miss as far as it says.

    Errors hang together a little more over a kilometre or two than an exponential through all lags,
    and less over ten. What drifts a balloon is the sum, so the depth is widened until sums to 10 km
    and to the top miss by one standard deviation, in the geometric mean of the two. The depth by
    distance stays as fitted: widened by far pairs it would spoil near ones.
    """
    aged = [pair for pair in pairs if pair.distance_km < 1.0 and pair.age_h <= _OLDEST_H]
    for _ in range(4):  # the shallow error has its share in the sums
        law = law._replace(age_depth_m=law.age_depth_m * _wider(law, aged))
    return law


def _wider(law: WindLaw, pairs: Sequence[Pair]) -> float:
    """Return the mean square of misses: the geometric mean of low and whole climbs."""
    low, whole = ((climb_misses(law, pairs, top) ** 2).mean() for top in (_LOW_M, np.inf))
    return float(np.sqrt(low * whole))


def main(n_times: int = 60) -> None:
    """Print free fits by class, the one law with intervals, and how it fares where left out."""
    pairs = [*aged_pairs(), *apart_pairs()]
    moments = all_moments(pairs)
    weight = votes(moments)
    fitted = fit_law(moments, weight)
    law = with_whole_climbs(fitted, pairs)
    again = np.array(resampled_laws(moments, fitted, n_times))
    low, high = np.quantile(again, [0.05, 0.95], axis=0)
    print("the law (5 to 95 %, days and places drawn anew, before the depth by age is widened)")
    for name, value, a, b in zip(WindLaw._fields, law, low, high, strict=True):
        print(f"  {name:18s} {value:8.2f}  {a:8.2f} to {b:8.2f}")
    print("\nby class: free fit, and what the law says")
    said = said_by(law, moments)
    for one, rows in members(moments):
        here = Moments(*(column[rows] for column in moments))
        ours = here._replace(squares=(said.variance * moments.count)[rows],
                             products=(said.covariance * moments.count)[rows])  # fmt: skip
        flat = np.ones(len(here.count))
        print(f"  {one.name:12s} {_words(free_fit(here, flat))}  law {_told(told(ours, flat))}")
    print("\nscale of the mean over a climb, to 10 km and to the top")
    for name, some in by_span(pairs):
        cells = [_scale_words(law, some, top) for top in (_LOW_M, np.inf)]
        print(f"  {name:12s} {len(some):4d} pairs  {cells[0]}  {cells[1]}")
    print("\nleft out: scale of the mean over a climb, law fitted without the campaign")
    for name in campaigns(pairs):
        rest = [pair for pair in pairs if half_of(pair) != name]
        out = [pair for pair in pairs if half_of(pair) == name and pair.age_h <= 27.0]
        kept = all_moments(rest)
        without = with_whole_climbs(fit_law(kept, votes(kept), fitted), rest)
        scales = [_scale(without, out, top) for top in (_LOW_M, np.inf)]
        print(f"  {name:22s} {len(out):4d} pairs  {scales[0]:.2f}  {scales[1]:.2f}")


def by_span(pairs: Sequence[Pair]) -> list[tuple[str, list[Pair]]]:
    """Return the pairs by age and distance as the tables of honesty tell them."""
    aged = [
        (name, 0.0, 1.0, low, high) for name, low, high in (("2-7 h", 2, 7.5), ("9-27 h", 9, 27))
    ]
    apart = [("130-250 km", 20.0, 250.0, -1, 2), ("250-450 km", 250.0, 450.0, -1, 2)]
    return [
        (name, [p for p in pairs if near <= p.distance_km < far and young <= p.age_h < old])
        for name, near, far, young, old in (*aged, *apart)
    ]


def _scale(law: WindLaw, pairs: Sequence[Pair], top_m: float) -> float:
    return float(np.sqrt((climb_misses(law, pairs, top_m) ** 2).mean()))


def _scale_words(law: WindLaw, pairs: Sequence[Pair], top_m: float) -> str:
    square = (climb_misses(law, pairs, top_m) ** 2).mean(axis=1)

    def root(weight: FloatArray) -> float:
        return float(np.sqrt((weight * square).sum() / weight.sum()))

    low, high = interval(root, numbered([pair.group for pair in pairs]), 400, 1)
    return f"{np.sqrt(square.mean()):.2f} ({low:.2f} to {high:.2f})"


def half_of(pair: Pair) -> str:
    """Return what is left out together: a campaign, Darwin in two halves three days apart."""
    if pair.forecast.campaign != "Darwin":
        return pair.forecast.campaign
    return "Darwin, first half" if int(pair.forecast.day) < 13_170 else "Darwin, second half"


def campaigns(pairs: Sequence[Pair]) -> list[str]:
    """Return what can be left out and has pairs enough to tell of."""
    names = [half_of(pair) for pair in pairs]
    return [name for name in sorted(set(names)) if names.count(name) >= 5]


def _words(free: Free) -> str:
    return (
        f"{free.shallow_mps:4.1f} m/s {free.shallow_depth_m / 1e3:4.2f} km, {free.deep_mps:4.1f} "
        f"m/s {free.deep_depth_m / 1e3:4.1f} km; found {_told((free.total_mps, *free[5:]))}"
    )


def _told(figures: tuple[float, ...]) -> str:
    return f"{figures[0]:4.1f} m/s " + " ".join(f"{figure:5.2f}" for figure in figures[1:])


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 60)
