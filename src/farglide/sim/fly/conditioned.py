"""Conditioned: particles corrected by a place or a height, by what each does not know of itself."""

import math
from typing import NamedTuple

import numpy as np

from farglide.arrays import BoolArray, FloatArray
from farglide.kernel import compiled, inner
from farglide.sim.core.step import Frame, _metres_per_rad
from farglide.sim.fly.particles import Cloud

_LEVEL, _UP = 0, 1


class Sight(NamedTuple):
    """Where something was seen, from the launch, NaN for what is not told, and variances of that.

    `log_sound`, `log_wild`: how likely it is right, and wrong and anywhere, in natural logarithms.
    """

    north_rad: float
    east_rad: float
    amsl_m: float
    level_m2: float
    up_m2: float
    log_sound: float
    log_wild: float


class Conditioned(NamedTuple):
    """Particles after what was seen: corrected, how well each foresaw it, and whether it did.

    `log_fit` (n,), `fits` (n,): which of them a sound fix may come from; only those are corrected.
    """

    amsl_m: FloatArray
    north_rad: FloatArray
    east_rad: FloatArray
    off_mps: FloatArray
    spread: FloatArray
    log_fit: FloatArray
    fits: BoolArray


class _Missed(NamedTuple):
    """How far what was seen is from a particle, to east, north and up, NaN where it is not told."""

    east_m: float
    north_m: float
    up_m: float


class _Variance(NamedTuple):
    """Of what was seen of a particle: a place on the circle that it flies, and a height."""

    level_m2: float
    up_m2: float


class _Metres(NamedTuple):
    """Metres per radian of latitude and of longitude, where something was seen."""

    meridian_m: float
    parallel_m: float


@inner
def _log_normal(missed_m: float, variance_m2: float) -> float:
    """Return the logarithm of a normal density."""
    return -0.5 * (missed_m * missed_m / variance_m2 + math.log(2.0 * math.pi * variance_m2))


@inner
def _log_sum(one: float, other: float) -> float:
    """Return the logarithm of the sum of what two logarithms are of."""
    return max(one, other) + math.log1p(math.exp(-abs(one - other)))


@inner
def _narrow(spread: FloatArray, gain: float) -> None:
    """Take out of variances what was seen. `gain`: the inverse of the variance of what was missed.

    Source: Kalman update of place and speed by a place.
    """
    place, both = spread[0], spread[1]
    spread[0] = place - place * place * gain
    spread[1] = both - place * both * gain
    spread[2] = spread[2] - both * both * gain


@inner
def _correct(
    out: Conditioned, i: int, missed: _Missed, metres: _Metres, variance: _Variance
) -> None:
    """Move a particle and its speed towards what was seen."""
    spread, off = out.spread[i], out.off_mps[i]
    if not math.isnan(missed.east_m):
        place, both = spread[_LEVEL, 0], spread[_LEVEL, 1]
        gain = 1.0 / (place + variance.level_m2)
        out.north_rad[i] += place * gain * missed.north_m / metres.meridian_m
        out.east_rad[i] += place * gain * missed.east_m / metres.parallel_m
        off[0] += both * gain * missed.east_m
        off[1] += both * gain * missed.north_m
        _narrow(spread[_LEVEL], gain)
    if not math.isnan(missed.up_m):
        place, both = spread[_UP, 0], spread[_UP, 1]
        gain = 1.0 / (place + variance.up_m2)
        out.amsl_m[i] += place * gain * missed.up_m
        off[2] += both * gain * missed.up_m
        _narrow(spread[_UP], gain)


@compiled
def _condition(
    frame: Frame, sight: Sight, around_m2: FloatArray, out: Conditioned, always: bool
) -> None:
    """Correct the particles in `out` that fit, or all of them `always`."""
    is_place, is_height = not math.isnan(sight.north_rad), not math.isnan(sight.amsl_m)
    metres = _Metres(*_metres_per_rad(frame, sight.north_rad if is_place else 0.0))
    for i in range(len(out.log_fit)):
        log_sound, east_m, north_m, up_m = sight.log_sound, math.nan, math.nan, math.nan
        if is_place:
            east_m = metres.parallel_m * (sight.east_rad - out.east_rad[i])
            north_m = metres.meridian_m * (sight.north_rad - out.north_rad[i])
            variance_m2 = out.spread[i, _LEVEL, 0] + sight.level_m2 + around_m2[i]
            log_sound += _log_normal(east_m, variance_m2) + _log_normal(north_m, variance_m2)
        if is_height:
            up_m = sight.amsl_m - out.amsl_m[i]
            log_sound += _log_normal(up_m, out.spread[i, _UP, 0] + sight.up_m2)
        out.log_fit[i] = _log_sum(log_sound, sight.log_wild)
        out.fits[i] = log_sound > sight.log_wild
        if out.fits[i] or always:
            missed = _Missed(east_m, north_m, up_m)
            variance = _Variance(sight.level_m2 + around_m2[i], sight.up_m2)
            _correct(out, i, missed, metres, variance)


def conditioned(
    frame: Frame, cloud: Cloud, sight: Sight, around_m2: FloatArray, always: bool = False
) -> Conditioned:
    """Return particles after something was seen of them; those that it fits are corrected by it.

    `around_m2` (n,): variance of a place on the circle that each flies, about its middle;
    `always`: all are corrected. What each does not know of its own place and speed is Gaussian, so
    both are exact. Source: Kalman update, and its predictive likelihood as weight: Doucet, Godsill
    & Andrieu, Statistics and Computing 10 (2000), 197, from memory.
    """
    n = len(cloud.story)
    out = Conditioned(
        amsl_m=cloud.amsl_m.copy(),
        north_rad=cloud.north_rad.copy(),
        east_rad=cloud.east_rad.copy(),
        off_mps=cloud.off_mps.copy(),
        spread=cloud.spread.copy(),
        log_fit=np.empty(n),
        fits=np.empty(n, np.bool_),
    )
    _condition(frame, sight, around_m2, out, always)
    return out
