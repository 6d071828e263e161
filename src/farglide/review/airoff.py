"""Air off: how far the winds of a day were off those told, and off what was told of that."""

import math
from itertools import pairwise
from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import FloatArray
from farglide.outlook.review import WindOff
from farglide.review.pooled import Shown
from farglide.sim.core.airerrors import AirDoubts
from farglide.sim.core.learnt import (
    Measured,
    add_noise,
    crossed_with,
    missed_mps,
    scaled,
    seen_with,
)
from farglide.sim.core.scene import Scene

JET_MPS: Final = 15.0
"""From this speed on the fastest wind below the stratosphere's is a jet to look at by itself."""
_JET_M: Final = (5000.0, 16_000.0)
_JET_HALF_M: Final = 1500.0
_BANDS_M: Final = (0.0, 3000.0, 8000.0, 12_000.0, 18_000.0, 24_000.0, 50_000.0)
_RATIOS: Final = np.exp(np.linspace(np.log(0.3), np.log(3.5), 21))
LOG_SPREAD: Final = 0.35
"""So much campaigns differ in how well they are told, ``docs/odds``: as `sim.core.spread`."""
_MOST: Final = 24
LEAST: Final = 5
"""Stretches without which the winds' errors are not sized."""


class _Band(NamedTuple):
    where: str
    low_m: float
    high_m: float


class Sizes(NamedTuple):
    """How many times as wide as told errors look, and the spread of the logarithm of each."""

    shallow_ratio: float
    shallow_log_sd: float
    deep_ratio: float
    deep_log_sd: float


def winds_off(scene: Scene, doubts: AirDoubts, measured: Measured) -> tuple[WindOff, ...]:
    """Return how far winds were off, by heights, the jet first where there is one.

    `measured`: over stretches of the climb (`track.drift`). Mean of the stretches, by their time.
    """
    layers = scene.layers
    n_layers = len(layers.p_pa)
    middles_m: FloatArray = np.asarray(
        layers.base_amsl_m + layers.step_m * (np.arange(n_layers) + 0.5), np.float64
    )
    heights_m = measured.share_ratio @ middles_m
    told = np.stack([layers.u_mps[0], layers.v_mps[0]], axis=1)
    rows = list[WindOff]()
    for band in (*_jet(middles_m, np.hypot(*told.T)), *_bands()):
        inside = np.flatnonzero((heights_m >= band.low_m) & (heights_m < band.high_m))
        if len(inside):
            some = measured.rows(inside)
            rows.append(_row(band, doubts, some, told))
    return tuple(rows)


def sizes_of(doubts: AirDoubts, measured: Measured) -> Sizes | None:
    """Return how many times as wide as told the shallow and the deep errors look; None unmeasured.

    Both have a logarithm that is normal about 0 before; what was measured is normal with the
    covariance that the doubts make of each pair of ratios. Weighed on a grid.
    Source: Bayes' rule for the scales of a normal law, any textbook.
    """
    n = len(measured.sd_mps)
    if n < LEAST:
        return None
    some = np.unique(np.linspace(0, n - 1, _MOST).round().astype(int))
    few = measured.rows(some)
    noise = np.zeros((2 * len(some), 2 * len(some)))
    add_noise(noise, few, 1.0)
    no_shallow = doubts._replace(shallow_mps=0.0 * doubts.shallow_mps)
    shallow = seen_with(crossed_with(scaled(doubts, 0.0), few.share_ratio), few) - noise
    deep = seen_with(crossed_with(no_shallow, few.share_ratio), few) - noise
    missed = missed_mps(doubts, few).reshape(-1)
    score = np.array([[_score(missed, a * a * shallow + b * b * deep + noise) for b in _RATIOS]
                      for a in _RATIOS])  # fmt: skip
    logs = np.log(_RATIOS)
    score += -0.5 * ((logs[:, None] / LOG_SPREAD) ** 2 + (logs / LOG_SPREAD) ** 2)
    weight = np.exp(score - score.max())
    weight /= weight.sum()
    (shallow_mean, shallow_sd), (deep_mean, deep_sd) = (
        _moments(logs, weight.sum(axis=axis)) for axis in (1, 0)
    )
    return Sizes(float(np.exp(shallow_mean)), shallow_sd, float(np.exp(deep_mean)), deep_sd)


def deep_shown(sizes: Sizes | None) -> Shown | None:
    """Return the logarithm of how wide the deep errors looked, what was believed of it taken off.

    None where a day says next to nothing. So days can be pooled.
    """
    if sizes is None or sizes.deep_log_sd >= 0.98 * LOG_SPREAD:
        return None
    left = 1.0 / sizes.deep_log_sd**2 - 1.0 / LOG_SPREAD**2
    return Shown(math.log(sizes.deep_ratio) / sizes.deep_log_sd**2 / left, left**-0.5)


def _score(missed: FloatArray, covariance: FloatArray) -> float:
    root = np.linalg.cholesky(covariance)
    apart = np.linalg.solve(root, missed)
    return float(-0.5 * apart @ apart - np.log(np.diag(root)).sum())


def _moments(logs: FloatArray, weight: FloatArray) -> tuple[float, float]:
    mean = float(weight @ logs)
    return mean, float(np.sqrt(weight @ (logs - mean) ** 2))


def _jet(middles_m: FloatArray, speed_mps: FloatArray) -> list[_Band]:
    inside = np.flatnonzero((middles_m >= _JET_M[0]) & (middles_m <= _JET_M[1]))
    if not len(inside):
        return []
    top = inside[int(np.argmax(speed_mps[inside]))]
    if speed_mps[top] < JET_MPS:
        return []
    at_m = float(middles_m[top])
    return [_Band("the jet", at_m - _JET_HALF_M, at_m + _JET_HALF_M)]


def _bands() -> list[_Band]:
    return [_Band(_span_words(low, high), low, high) for low, high in pairwise(_BANDS_M)]


def _span_words(low_m: float, high_m: float) -> str:
    """Return heights in words.

    >>> _span_words(0.0, 3000.0), _span_words(3000.0, 8000.0), _span_words(24_000.0, 50_000.0)
    ('below 3 km', '3 to 8 km', 'above 24 km')
    """
    low, high = f"{low_m / 1000.0:.0f}", f"{high_m / 1000.0:.0f} km"
    if low_m <= _BANDS_M[0]:
        return f"below {high}"
    return f"above {low} km" if high_m >= _BANDS_M[-1] else f"{low} to {high}"


def _row(band: _Band, doubts: AirDoubts, some: Measured, told: FloatArray) -> WindOff:
    share = some.share_ratio.mean(axis=0)
    wind, off = share @ told, some.off_mps.mean(axis=0)
    speed = float(np.hypot(*wind))
    along = wind / speed if speed > 0.0 else np.array([0.0, 1.0])
    variance = doubts.shallow_mps**2 + 0.5 * (doubts.deep_mps**2 + doubts.deep_along_mps**2)
    return WindOff(
        where=band.where,
        from_amsl_m=band.low_m,
        to_amsl_m=band.high_m,
        told_mps=speed,
        faster_mps=float(off @ along),
        to_right_mps=float(off @ np.array([along[1], -along[0]])),
        sd_mps=float(np.sqrt((some.sd_mps**2).sum()) / len(some.sd_mps)),
        told_sd_mps=float(np.sqrt(share @ variance)),
        n_stretches=len(some.sd_mps),
    )
