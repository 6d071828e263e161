"""Moments: what the differences of pairs are told by, and the likelihood of a law of them.

The likelihood is that of each two layers at a few lags, added up (a composite one): the error of a
whole profile is smoother from layer to layer than exp(-dz / depth), and a likelihood of whole
profiles would fit that smoothness instead of how far errors add up over kilometres.
Source: Varin, Reid & Firth, Statistica Sinica 21 (2011) 5, from memory.
"""

from collections.abc import Sequence
from itertools import product
from typing import Final, NamedTuple

import numpy as np

from bench.odds.pairs import EDGES_M, Pair, layer_winds
from farglide.air.layers import LAYER_M
from farglide.air.stratosphere import STRATOSPHERE_FROM_M, TROPOSPHERE_TO_M
from farglide.arrays import FloatArray, IntArray

LAGS_M: Final = (500.0, 1000.0, 1500.0, 2000.0, 3000.0, 4000.0, 6000.0, 8000.0)
SPEEDS_MPS: Final = (0.0, 5.0, 10.0, 15.0, 20.0, 30.0, 40.0, 50.0, 60.0, 200.0)
"""Layers are told apart by the speed of the forecast: a share of it may be wrong, along it."""
HEIGHTS_M: Final = (
    0.0,
    TROPOSPHERE_TO_M,
    0.5 * (TROPOSPHERE_TO_M + STRATOSPHERE_FROM_M),
    STRATOSPHERE_FROM_M,
    50_000.0,
)
"""And by their height: winds above the tropopause miss by less."""


class Moments(NamedTuple):
    """Sums over layers of one pair, at one lag, about one speed and height, along or across the
    wind told, (n_rows,) each."""

    age_h: FloatArray
    distance_km: FloatArray
    lag_m: FloatArray
    speed_mps: FloatArray  # root of the mean square
    height_m: FloatArray  # mean, above the sea
    is_along: FloatArray  # 1: along the wind told, 0: across it
    sums: FloatArray  # sum of (a + b) / 2 over layers a lag apart, m/s
    squares: FloatArray  # sum of (a^2 + b^2) / 2, (m/s)^2
    products: FloatArray  # sum of a b
    n_layers: FloatArray  # how many were summed
    group: IntArray  # drawn together by a bootstrap
    is_apart: FloatArray  # 1: of the network, where shallow errors are not sampled


class Law(NamedTuple):
    """What a law says of each row: the variance of a layer, the covariance at its lag, the mean."""

    variance: FloatArray
    covariance: FloatArray
    mean_mps: FloatArray | float = 0.0


def moments_of(pairs: Sequence[Pair]) -> Moments:
    """Return the moments of pairs, of errors along the wind told and of those across it."""
    names = sorted({pair.group for pair in pairs})
    rows = [row for pair in pairs for row in _rows(pair, names.index(pair.group))]
    *columns, group, is_apart = np.array(rows).T
    return Moments(*columns, group.astype(np.int64), is_apart)


def _rows(pair: Pair, group: int) -> list[tuple[float, ...]]:
    forecast = layer_winds(pair.forecast)
    error, speed = forecast - layer_winds(pair.truth), np.hypot(*forecast)
    is_apart = float(pair.distance_km > 1.0)
    rows = []
    for lag_m in LAGS_M:
        n = round(lag_m / LAYER_M)
        mean_square = 0.5 * (speed[:-n] ** 2 + speed[n:] ** 2)
        known = np.isfinite((error[:, :-n] + error[:, n:]).sum(axis=0))
        which = np.digitize(np.sqrt(np.where(known, mean_square, 0.0)), SPEEDS_MPS)
        height_m = EDGES_M[: -n - 1] + 0.5 * (lag_m + LAYER_M)
        band = np.digitize(height_m, HEIGHTS_M)
        turned = _along_and_across(error, forecast, n)
        for k, j in product(range(1, len(SPEEDS_MPS)), range(1, len(HEIGHTS_M))):
            here = known & (which == k) & (band == j)
            if here.any():
                about = np.sqrt(mean_square[here].mean())
                place = pair.age_h, pair.distance_km, lag_m, about, float(height_m[here].mean())
                for is_along, (a, b) in zip((1.0, 0.0), turned, strict=True):
                    told = _sums(a[here], b[here])
                    rows.append((*place, is_along, *told, group, is_apart))
    return rows


def _along_and_across(
    error: FloatArray, forecast: FloatArray, n: int
) -> tuple[tuple[FloatArray, FloatArray], ...]:
    """Return errors of layers and of those n above, along the wind of both told, and across it."""
    both = forecast[:, :-n] + forecast[:, n:]
    east, north = both / np.maximum(np.hypot(*both), 1e-6)
    ends = error[:, :-n], error[:, n:]
    a, b = ((u * east + v * north, u * north - v * east) for u, v in ends)
    return (a[0], b[0]), (a[1], b[1])


def _sums(a: FloatArray, b: FloatArray) -> tuple[float, float, float, float]:
    """Return sums, squares and products, and of how many layers."""
    squares = 0.5 * (a**2 + b**2).sum()
    return float(0.5 * (a + b).sum()), float(squares), float((a * b).sum()), float(len(a))


def cost(moments: Moments, law: Law, weight: FloatArray | float = 1.0) -> float:
    """Return minus the composite log likelihood of a law, weighted row by row."""
    v = law.variance
    r = np.clip(law.covariance / v, -0.999, 0.999)
    left = 1.0 - r * r
    spread = moments.n_layers * (np.log(v) + 0.5 * np.log(left))
    off = law.mean_mps * (moments.n_layers * law.mean_mps - 2.0 * moments.sums)
    squares, products = moments.squares + off, moments.products + off
    return float((weight * (spread + (squares - r * products) / (v * left))).sum())


def joined(*parts: Moments) -> Moments:
    """Return the rows of all, their groups kept apart."""
    shift, out = 0, []
    for part in parts:
        out.append(part._replace(group=part.group + shift))
        shift += int(part.group.max()) + 1
    return Moments(*(np.concatenate(columns) for columns in zip(*out, strict=True)))
