"""Glided: what straight stretches of a steered glide tell of its glide ratio and the wind."""

from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import BoolArray, FloatArray
from farglide.errors import InputError

SPEED_SD: Final = 0.05
"""So far, as one deviation, all of a glide is flown faster or slower than told: eyes and habit.
Common practice, no source."""
ONE_WAY_SD: Final = 0.2
"""The same while all headings are alike: no wind on another one tells then that it is off."""
_ONE_WAY_RATIO: Final = 0.95
"""So long is the mean of headings 36 degrees apart, each of length 1."""
RISES_MPS: Final = 0.3
"""Air that rises and sinks, in the mean of a minute: as the stories' 0.5 m/s, which holds less."""
STEADY_RISES_MPS: Final = 0.4
STEADY_DEPTH_M: Final = 1000.0
"""The rest of the stories' 0.5 m/s holds on over so much height, some minutes, as the vertical
motion of the plan does: air that rises all along looks like a better glide. A guess, no source."""
DEPTH_M: Final = 3000.0
"""Over so much height the wind's error hangs together, as its deep part does."""
_UNLIKE_SD: Final = 2.5
_UNLIKE_WIDER: Final = 1.5
_UNLIKE_LOG: Final = 1.0
"""A stretch that was plainly flown at another speed tells of its sink alone."""
_N_LOOKS: Final = 6
WIDER: Final = (1.0, 1.5, 2.0, 3.0, 4.5)
"""By one of these the winds are doubted more, if that makes likelier what was seen."""
STEADIER: Final = (0.05, 0.03, 0.015)
"""And one of these is how far each minute is flown off the others: a hand, or a good one."""
_LEAST_MPS: Final = 1.0


class Stretches(NamedTuple):
    """Straight stretches of a glide, arrays (n,): what was seen, and what the polar says to it.

    `air_mps` (n, 2): over the ground less the wind told, to east and north; `sd_mps`: of that;
    `told_mps`: the airspeed that is flown as advised; `log_speed`, `log_sink` (n, n_speeds): the
    polar in that air, airspeeds rising.
    """

    amsl_m: FloatArray
    air_mps: FloatArray
    sd_mps: FloatArray
    sink_mps: FloatArray
    sink_sd_mps: FloatArray
    told_mps: FloatArray
    log_speed: FloatArray
    log_sink: FloatArray


class Believed(NamedTuple):
    """What was believed before: the logarithm of the glide ratio's factor, and the wind's error."""

    log_factor: float
    log_factor_sd: float
    wind_sd_mps: FloatArray  # (n,) at each stretch, each component
    speed_sd: float = SPEED_SD
    steady_rises_mps: float = STEADY_RISES_MPS


class Glide(NamedTuple):
    """What a glide has told: the factor's logarithm, the wind's error at each stretch, and how.

    `slope` (2 n, 2 n + 1): by how much what was seen goes with the winds (east, north of each
    stretch) and with the factor; `seen`: what was seen, as far as it hangs on both; `noise` its
    covariance, `covariance` that of winds and factor as believed before, the winds by `wider` times
    their deviation.
    """

    log_factor: float
    log_factor_sd: float
    wind_mps: FloatArray  # (n, 2)
    wind_sd_mps: FloatArray  # (n,)
    slope: FloatArray
    seen: FloatArray
    noise: FloatArray
    covariance: FloatArray
    log_factor_before: float
    wider: float = 1.0


def glided(some: Stretches, before: Believed) -> Glide:
    """Return what a steered glide tells. Two things are seen of each stretch.

    How fast it flew through the air, which is told within some per cent by what was advised: so the
    wind along each heading. And how fast it sank, which the polar has at that speed but for one
    factor. On one heading alone wind and speed cannot be told apart, and the errors say so. How far
    the winds are to be doubted, and how steadily it is flown, is what makes it likeliest.
    Source: Gauss-Newton and the Kalman update, any textbook. Raises InputError.
    """
    if not len(some.amsl_m):
        raise InputError("stretches", "none", "one or more", "Wait for a minute of straight glide.")
    before = before._replace(speed_sd=_speed_sd(some))
    unlike = _unlike(some, before)

    def own_sd(wander_sd: float) -> FloatArray:
        return np.where(unlike, _UNLIKE_LOG, wander_sd)

    told = [
        (
            _solved(some, before._replace(wind_sd_mps=ratio * before.wind_sd_mps), own_sd(wander)),
            ratio,
        )
        for ratio in WIDER
        for wander in STEADIER
    ]
    best, wider = max(told, key=lambda one: one[0].log_evidence)
    return best.glide._replace(wider=wider)


class _Solved(NamedTuple):
    log_evidence: float
    glide: Glide


def _solved(some: Stretches, before: Believed, own_sd: FloatArray) -> _Solved:
    """Return what a glide tells by one belief, and how likely that belief made it."""
    n, covariance = len(some.amsl_m), _believed(some, before)
    middle = np.zeros(2 * n + 1)
    middle[-1] = before.log_factor
    at = middle.copy()
    for _ in range(_N_LOOKS):
        missed, slope, noise = _looked(some, at, own_sd, before)
        seen, whole = missed + slope @ at, slope @ covariance @ slope.T + noise
        off = seen - slope @ middle
        at = middle + covariance @ slope.T @ np.linalg.solve(whole, off)
    gain = np.linalg.solve(whole, slope @ covariance).T
    kept = np.maximum(np.diag(covariance - gain @ slope @ covariance), 0.0)
    wind_sd = np.sqrt(0.5 * kept[:-1].reshape(n, 2).sum(axis=1))
    log_evidence = -0.5 * (off @ np.linalg.solve(whole, off) + np.linalg.slogdet(whole)[1])
    return _Solved(float(log_evidence), Glide(
        float(at[-1]), float(np.sqrt(kept[-1])), at[:-1].reshape(n, 2), wind_sd,
        slope, seen, noise, covariance, before.log_factor,
    ))  # fmt: skip


def weights_of(
    glide: Glide, winds_mps: FloatArray, log_factor: FloatArray, normals: FloatArray
) -> FloatArray:
    """Return what each draw misses of what was seen, by the covariance of that, (n_draws, 2 n).

    Times the covariance of anything with what was seen, that thing moves by it. `winds_mps`
    (n_draws, 2 n): each draw's own error at the stretches, east and north in turn; `log_factor`
    (n_draws,); `normals` (n_draws, 2 n): standard normal numbers of the errors of seeing.
    Source: conditioning by kriging, Chilès & Delfiner, Geostatistics, 7.3.1, from memory.
    """
    own = np.column_stack([winds_mps, log_factor])
    noise = normals @ np.linalg.cholesky(glide.noise).T
    whole = glide.slope @ glide.covariance @ glide.slope.T + glide.noise
    missed = glide.seen - own @ glide.slope.T - noise
    return np.asarray(np.linalg.solve(whole, missed.T).T)


def hangs_ratio(amsl_m: FloatArray, other_m: FloatArray, depth_m: float = DEPTH_M) -> FloatArray:
    """Return how far errors at some heights hang together with those at others."""
    return np.asarray(np.exp(-np.abs(np.subtract.outer(amsl_m, other_m)) / depth_m))


def _believed(some: Stretches, before: Believed) -> FloatArray:
    sd = np.repeat(before.wind_sd_mps, 2)
    near = np.kron(hangs_ratio(some.amsl_m, some.amsl_m), np.eye(2))
    found = np.zeros((len(sd) + 1, len(sd) + 1))
    found[:-1, :-1] = near * np.outer(sd, sd)
    found[-1, -1] = before.log_factor_sd**2
    return found


class _Look(NamedTuple):
    missed: FloatArray
    slope: FloatArray
    noise: FloatArray


def _looked(some: Stretches, at: FloatArray, own_sd: FloatArray, before: Believed) -> _Look:
    """Return what is missed at some winds and factor, how that moves with them, and its errors."""
    n = len(some.amsl_m)
    air = some.air_mps - at[:-1].reshape(n, 2)
    level = np.maximum(np.hypot(*air.T), _LEAST_MPS)
    nose = air / level[:, None]
    log_level = np.log(level)
    off = log_level - np.log(some.told_mps)
    sink, steeper = _polar(some, log_level)
    slope = np.zeros((2 * n, 2 * n + 1))
    for k in range(n):
        # a wind in the nose makes the airspeed that is seen smaller, and the sink told by it
        slope[k, 2 * k : 2 * k + 2] = nose[k] / level[k]
        slope[n + k, 2 * k : 2 * k + 2] = -steeper[k] * nose[k] / level[k]
        slope[n + k, -1] = -1.0
    missed = np.concatenate([off, np.log(some.sink_mps) - sink + at[-1]])
    noise = _noise(some, level, steeper, before.speed_sd**2 + np.diag(own_sd**2))
    noise[n:, n:] += _steady_rises(some, before.steady_rises_mps)
    return _Look(missed, slope, noise)


def _noise(
    some: Stretches, level: FloatArray, steeper: FloatArray, speed: FloatArray
) -> FloatArray:
    n = len(level)
    fix = (some.sd_mps / level) ** 2
    found = np.zeros((2 * n, 2 * n))
    found[:n, :n] = speed + np.diag(fix)
    sink = (some.sink_sd_mps**2 + RISES_MPS**2) / some.sink_mps**2
    found[n:, n:] = np.diag(sink + steeper**2 * fix)
    both = np.diag(-steeper * fix)
    found[:n, n:], found[n:, :n] = both, both
    return found


def _steady_rises(some: Stretches, steady_mps: float) -> FloatArray:
    """Return the covariance of the sinks' logarithms by air that rises for minutes."""
    near = hangs_ratio(some.amsl_m, some.amsl_m, STEADY_DEPTH_M)
    return np.asarray(steady_mps**2 * near / np.outer(some.sink_mps, some.sink_mps))


def _speed_sd(some: Stretches) -> float:
    """Return how far all of a glide may be flown off its told speed, as its headings tell."""
    nose = some.air_mps / np.maximum(np.hypot(*some.air_mps.T), _LEAST_MPS)[:, None]
    return ONE_WAY_SD if np.hypot(*nose.mean(axis=0)) > _ONE_WAY_RATIO else SPEED_SD


def _unlike(some: Stretches, before: Believed) -> BoolArray:
    """Tell which stretches were flown at another speed than told, by the winds as believed."""
    level = np.maximum(np.hypot(*some.air_mps.T), _LEAST_MPS)
    wind = _UNLIKE_WIDER * before.wind_sd_mps / level
    sd = np.sqrt(before.speed_sd**2 + STEADIER[0] ** 2 + wind**2)
    return np.asarray(np.abs(np.log(level / some.told_mps)) > _UNLIKE_SD * sd)


def _polar(some: Stretches, log_level: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Return the logarithm of the sink at an airspeed, and by how much it goes with that of it."""
    rows = range(len(log_level))
    sink = np.array([np.interp(log_level[k], some.log_speed[k], some.log_sink[k]) for k in rows])
    step = 0.05
    low, high = (
        np.array([np.interp(log_level[k] + d, some.log_speed[k], some.log_sink[k]) for k in rows])
        for d in (-step, step)
    )
    return sink, (high - low) / (2.0 * step)
