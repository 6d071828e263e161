"""Leak fit: whether a balloon loses gas, since when and how fast, by how its climb falls off."""

from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import FloatArray
from farglide.constants import SEA_LEVEL_DENSITY_KGPM3
from farglide.errors import InputError
from farglide.track.climbfit import Timed, air_noise_m2, wave_mps
from farglide.track.drift import Been

LEAKS_RATIO: Final = 0.02
"""So many balloons leak, before anything is seen of it. Common practice, no source: a guess."""
RATIOS_PS: Final = np.geomspace(3e-5, 3e-3, 25)
"""Shares of the gas lost in a second at sea level: from three hours to five minutes for a third."""
_EVERY_S: Final = 120.0
_LEAST_LEFT: Final = 0.2
_FEWEST: Final = 4
_BRISK_RATIO: Final = 0.5


class Leaks(NamedTuple):
    """What is believed of a leak: its chance, and the grid of how fast and since when.

    `weight`: (n_ratios, n_times), of leaks alone, adds up to 1.
    """

    chance_ratio: float
    ratio_ps: FloatArray  # (n_ratios,)
    from_s: FloatArray  # (n_times,)
    weight: FloatArray


class Slowed(NamedTuple):
    """How fast a balloon climbs in the middle of each stretch with some of its gas left."""

    left_ratio: FloatArray  # (n_lefts,), rising to 1
    speed_mps: FloatArray  # (n_stretches, n_lefts)


class Losses(NamedTuple):
    """What leaks of the grid have left: when each begins, and the gas left in some moments."""

    from_s: FloatArray  # (n_from,)
    left_ratio: FloatArray  # (n_ratios, n_from, n_moments)


def losses_of(been: Been, density_kgpm3: FloatArray, at_s: FloatArray) -> Losses:
    """Return the gas left at some times by each leak that may have begun so far.

    `density_kgpm3`: of the air at each fix. Source: Bernoulli outflow, as `sim.core.step` has it.
    """
    pace = np.sqrt(density_kgpm3 / SEA_LEVEL_DENSITY_KGPM3)
    lost = np.concatenate([[0.0], np.cumsum(0.5 * (pace[1:] + pace[:-1]) * np.diff(been.t_s))])
    from_s = np.arange(float(been.t_s[0]), float(been.t_s[-1]), _EVERY_S)
    begun = np.interp(from_s, been.t_s, lost)
    since = np.maximum(np.interp(at_s, been.t_s, lost)[None, :] - begun[:, None], 0.0)
    return Losses(from_s, np.asarray(np.exp(-RATIOS_PS[:, None, None] * since)))


def leaks_of(timed: Timed, said_m: FloatArray, losses: Losses, slowed: Slowed) -> Leaks:
    """Return what is believed of a leak.

    `timed`: all stretches of the climb; `said_m` (n_draws, n_stretches): how far whole balloons
    climb in them, by what was believed before; `losses`: in the middle of each. That gas, drag and
    climb are not as told competes with a leak, and so does air that rises and sinks.
    Raises InputError. Source: Bayes' rule; `air_noise_m2`.
    """
    from_s, left_ratio = losses
    n_ratios, n_from, n = left_ratio.shape
    if said_m.shape[1:] != (n,) or slowed.speed_mps.shape != (n, len(slowed.left_ratio)):
        shapes = said_m.shape, left_ratio.shape, slowed.speed_mps.shape
        raise InputError("stretches", shapes, f"as many as were timed, {len(timed.seconds)}")
    even = np.full((n_ratios, n_from), 1.0 / max(n_ratios * n_from, 1))
    told = np.flatnonzero(np.isfinite(said_m).all(axis=0))
    if len(told) < _FEWEST or not n_from:
        return Leaks(LEAKS_RATIO, RATIOS_PS, from_s, even)
    timed, said_m = Timed(*(one[told] for one in timed)), said_m[:, told]
    whole = slowed.speed_mps[told, -1]
    factor = np.stack([
        np.interp(np.maximum(left_ratio[:, :, told[k]], _LEAST_LEFT), slowed.left_ratio,
                  slowed.speed_mps[told[k]] / whole[k])
        for k in range(len(told))
    ], axis=2)  # fmt: skip
    gain = _gain(timed, said_m, factor)
    odds = LEAKS_RATIO / (1.0 - LEAKS_RATIO) * float(gain.mean())
    # near a float the speed hangs on a little gas: since when it leaks, the brisk stretches tell
    brisk = np.flatnonzero(timed.climbed_m > _BRISK_RATIO * said_m.mean(axis=0))
    if len(brisk) >= _FEWEST:
        gain = _gain(Timed(*(one[brisk] for one in timed)), said_m[:, brisk], factor[:, :, brisk])
    return Leaks(odds / (1.0 + odds), RATIOS_PS, from_s, gain / gain.sum())


def _gain(timed: Timed, said_m: FloatArray, factor: FloatArray) -> FloatArray:
    """Return how many times as likely each leak of the grid is as none, (n_ratios, n_from)."""
    expected_m = said_m.mean(axis=0)
    noise = air_noise_m2(timed, wave_mps(timed, expected_m))
    spread = said_m - expected_m
    root = np.linalg.inv(np.linalg.cholesky(spread.T @ spread / (len(said_m) - 1) + noise))
    missed = (timed.climbed_m - expected_m * factor) @ root.T
    likely = -0.5 * (missed**2).sum(axis=2)
    sound = -0.5 * float((((timed.climbed_m - expected_m) @ root.T) ** 2).sum())
    return np.asarray(np.exp(np.clip(likely - sound, -700.0, 700.0)))
