"""Climb fit: fill, drag and climb of every draw, moved by how fast the balloon really climbs."""

from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import FloatArray
from farglide.errors import InputError
from farglide.sim.core.scene import Swarm
from farglide.sim.core.tracks import Tracks
from farglide.track.drift import Been

STRETCH_S: Final = 90.0
"""A climb is told over so long: over less, waves in the air hide it. Over even heights instead, the
fast stretches would be the short ones, and a climb look faster than it is."""
_WAVE_MPS: Final = 0.3
_WAVE_WEIGHT: Final = 4.0
"""So fast air rises and sinks before anything is seen of it; the belief weighs so many stretches.

Common practice, no source: outside waves behind hills some tenths of a metre a second."""
_WAVE_S: Final = 180.0
"""Over so long such air hangs together: it is no fault of the balloon."""
_HEIGHT_SD_M: Final = 10.0
"""Of one fix by satellites, some metres more than along the ground. Common practice, no source."""
_LEAST_FACTOR: Final = 0.2
"""No balloon climbs at a fifth of what its drag says and is still one that climbs."""
_LEAST_MPS: Final = 0.3
_AHEAD_RATIO: Final = 1.6
"""What is left of the doubt about a climb is so much wider than its law has it: real balloons
change their pace aloft by more. Source: 51 pairs of open soundings replayed (``bench/replays``)."""


class Timed(NamedTuple):
    """How far a balloon climbed over some stretches of time, arrays (n_stretches,)."""

    low_amsl_m: FloatArray
    climbed_m: FloatArray
    seconds: FloatArray
    middle_s: FloatArray

    @property
    def speed_mps(self) -> FloatArray:
        """Return the mean speed over each stretch."""
        return self.climbed_m / self.seconds


def timed_climb(been: Been) -> Timed:
    """Return how far a balloon climbed in each `STRETCH_S`, or between two fixes farther apart.

    Stretches in which it hardly climbs (under 0.3 m/s) are left out: they tell of a leak or a
    float, not of drag. What is left over at the end is not told yet.
    """
    every = timed_stretches(been)
    brisk = np.flatnonzero(every.climbed_m > _LEAST_MPS * every.seconds)
    return Timed(*(one[brisk] for one in every))


def timed_stretches(been: Been) -> Timed:
    """Return the same of all stretches, whether it climbs or sinks."""
    ends = np.array(_ends(been.t_s), dtype=np.int64)
    z, t = been.amsl_m[ends], been.t_s[ends]
    return Timed(z[:-1], np.diff(z), np.diff(t), 0.5 * (t[1:] + t[:-1]))


def wave_mps(timed: Timed, expected_m: FloatArray) -> float:
    """Return how fast the air rises and sinks, one standard deviation, by how unsteady a climb is.

    `expected_m` (n_stretches,): climbs as believed. What differs from one stretch to the next is
    the air's; what stays is the balloon's.
    """
    typical_mps = float(timed.speed_mps.mean()) if len(timed.seconds) else 0.0
    leaps = np.diff(typical_mps * timed.climbed_m / expected_m)
    x, apart = timed.seconds[1:] / _WAVE_S, np.diff(timed.middle_s) / _WAVE_S
    shared = ((1.0 - np.exp(-x)) / np.maximum(x, 1e-6)) ** 2 * np.exp(-np.maximum(apart - x, 0.0))
    seen = leaps**2 - 4.0 * (_HEIGHT_SD_M / timed.seconds[1:]) ** 2
    left = 2.0 * (_wave_share(timed.seconds[1:]) - shared)
    each = np.maximum(seen, 0.0) / np.maximum(left, 1e-3)
    total = each.sum() + _WAVE_WEIGHT * _WAVE_MPS**2
    return float(np.sqrt(total / (len(each) + _WAVE_WEIGHT)))


def fitted(swarm: Swarm, tracks: Tracks, timed: Timed, normals: FloatArray) -> Swarm:
    """Return the draws with gas, drag and climb moved as far as their climbs were off.

    `tracks`: the draws' own climbs from the launch, by what was believed before; so a fit begins
    from that belief each time, and more stretches move it on. `normals`: standard normal numbers of
    the air's own rise, (n_draws, n_stretches). Burst and air stay as they were.
    Raises InputError. Source: ensemble Kalman analysis with perturbed observations, Evensen, Data
    Assimilation (2009), 4.3, from memory.
    """
    n_draws, n = len(swarm.gas_kg), len(timed.seconds)
    if normals.shape != (n_draws, n):
        raise InputError("normals", normals.shape, f"({n_draws}, {n}), one a stretch and draw")
    said_m = climbs_m(tracks, timed)
    told = np.flatnonzero(np.isfinite(said_m).all(axis=0))
    if not len(told):
        return swarm
    said_m, timed = said_m[:, told], Timed(*(one[told] for one in timed))
    expected_m = said_m.mean(axis=0)
    noise = air_noise_m2(timed, wave_mps(timed, expected_m))
    seen_m = timed.climbed_m + normals[:, told] @ np.linalg.cholesky(noise).T
    before = np.column_stack([np.log(swarm.gas_kg), np.log(swarm.drag_factor),
                              np.log(swarm.climb_factor)])  # fmt: skip
    after = before + _moves(before, said_m, noise, seen_m - said_m)
    return swarm._replace(
        gas_kg=np.exp(after[:, 0]),
        drag_factor=np.exp(after[:, 1]),
        climb_factor=np.maximum(np.exp(_widened(after[:, 2:])), _LEAST_FACTOR),
    )


def _widened(logs: FloatArray) -> FloatArray:
    """Return the draws' logarithms farther from their mean."""
    mean = logs.mean(axis=0)
    return np.asarray(mean + _AHEAD_RATIO * (logs - mean))


def _ends(t_s: FloatArray) -> list[int]:
    """Return the fixes at which a stretch ends: the first `STRETCH_S` after the last end."""
    ends = [0] if len(t_s) else []
    for k in range(1, len(t_s)):
        if t_s[k] >= t_s[ends[-1]] + STRETCH_S:
            ends.append(k)
    return ends


def _wave_share(seconds: FloatArray) -> FloatArray:
    """Return the variance that is left in the mean over some time of what hangs together."""
    x = np.maximum(seconds / _WAVE_S, 1e-6)
    return np.asarray(2.0 * (x - 1.0 + np.exp(-x)) / x**2)


def climbs_m(tracks: Tracks, timed: Timed) -> FloatArray:
    """Return how far each draw climbs in the stretches from where they begin, or NaN."""
    t_s = tracks.step_s * np.arange(tracks.amsl_m.shape[1])
    found = np.full((len(tracks.amsl_m), len(timed.seconds)), np.nan)
    for i, amsl_m in enumerate(tracks.amsl_m):
        known = np.flatnonzero(np.isfinite(amsl_m))
        if not len(known):
            continue
        rising = np.maximum.accumulate(amsl_m[known])
        begin_s = np.interp(timed.low_amsl_m, rising, t_s[known], left=np.nan, right=np.nan)
        end_m = np.interp(begin_s + timed.seconds, t_s[known], rising, right=np.nan)
        found[i] = end_m - timed.low_amsl_m
    return found


def air_noise_m2(timed: Timed, wave_mps: float) -> FloatArray:
    """Return the covariance of what air and heights make of the climbs, m2."""
    hang = np.exp(-np.abs(np.subtract.outer(timed.middle_s, timed.middle_s)) / _WAVE_S)
    waves_m = wave_mps * np.sqrt(_wave_share(timed.seconds)) * timed.seconds
    heights = np.full(len(waves_m), 2.0 * _HEIGHT_SD_M**2)
    return np.asarray(hang * np.outer(waves_m, waves_m) + np.diag(heights))


def _moves(
    before: FloatArray, said: FloatArray, noise: FloatArray, missed: FloatArray
) -> FloatArray:
    """Return by how much each draw's numbers move, (n_draws, n_numbers)."""
    spread, told = before - before.mean(axis=0), said - said.mean(axis=0)
    seen = told.T @ told / (len(told) - 1) + noise
    crossed = told.T @ spread / (len(told) - 1)
    return np.asarray(missed @ np.linalg.solve(seen, crossed))
