"""Held: how far winds miss that are held on above a height, beside what the doubt says of them."""

from typing import Final

import numpy as np

from bench.odds.pairs import EDGES_M, aged_pairs, apart_pairs, layer_winds
from farglide.air.doubt import Apart, wind_doubt
from farglide.air.layerdoubt import by_layer
from farglide.air.layers import LAYER_M
from farglide.arrays import FloatArray

SPANS_M: Final = ((1e3, 10e3), (12e3, 20e3), (16e3, 24e3), (18e3, 25e3))
"""From where the last wind is held, and how far up it is looked at."""
_AGE_S: Final = 3.0 * 3600.0
_MIDDLES_M: Final = 0.5 * (EDGES_M[1:] + EDGES_M[:-1])


def held_rows() -> list[str]:
    """Return for each span how many soundings know it, how far held winds miss, and what is said.

    Errors are those of the mean over the span, root mean square of a component.
    """
    known = {id(one): one for pair in (*aged_pairs(), *apart_pairs())
             for one in (pair.forecast, pair.truth)}  # fmt: skip
    winds = [layer_winds(one) for one in known.values()]
    rows = ["Winds held on above a height: the mean over the span misses by, and is said to."]
    for low_m, high_m in SPANS_M:
        missed = held_errors(winds, low_m, high_m)
        real = float(np.sqrt((missed**2).mean()))
        said = said_mps(low_m, high_m)
        span = f"{low_m / 1e3:.0f} to {high_m / 1e3:.0f} km"
        rows.append(f"{span:13s}{len(missed):5d} soundings  {real:5.1f} m/s  said {said:5.1f} m/s")
    return rows


def held_errors(winds: list[FloatArray], low_m: float, high_m: float) -> FloatArray:
    """Return mean winds of a span less the wind at its foot, (n_known, 2), where both are known."""
    inside, foot = (low_m < _MIDDLES_M) & (high_m > _MIDDLES_M), _foot(low_m)
    found = [wind[:, inside].mean(axis=1) - wind[:, foot] for wind in winds]
    return np.array([one for one in found if np.isfinite(one).all()]).reshape(-1, 2)


def said_mps(low_m: float, high_m: float) -> float:
    """Return the standard deviation of the mean error of winds 3 h old, told in calm air."""
    levels_m = _MIDDLES_M[: _foot(low_m) + 1]
    doubt = by_layer(wind_doubt(Apart(age_s=_AGE_S)), _MIDDLES_M, 0.0 * _MIDDLES_M, levels_m)
    inside = (low_m < _MIDDLES_M) & (high_m > _MIDDLES_M)
    lags = np.concatenate([[0.0], np.cumsum(LAYER_M / doubt.deep_depth_m[1:])])[inside]
    hang = np.exp(-np.abs(lags[:, None] - lags))
    sd = doubt.deep_mps[inside]
    return float(np.sqrt((sd[:, None] * sd * hang).mean()))


def _foot(low_m: float) -> int:
    return int(np.argmin(np.abs(_MIDDLES_M - low_m)))
