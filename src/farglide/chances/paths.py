"""Paths: how each draw has come since the last fix, through heights that were read."""

from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import FloatArray, IntArray
from farglide.chances.ensemble import Ensemble
from farglide.sim.core.airerrors import AirErrors
from farglide.sim.core.cube import Lines, apart_along
from farglide.sim.core.draws import normals
from farglide.sim.core.scene import Scene, Swarm
from farglide.sim.core.step import Frame
from farglide.sim.fly.climb import Aloft, Clock, climb_on
from farglide.track.read import Read

_HEIGHT_SEED: Final = 4_000_003
_LONGEST_S: Final = 30_000.0
_LEVEL_M: Final = 1.0


class Since(NamedTuple):
    """An ensemble at its last fix, with its balloons fitted, and what was read since."""

    before: Ensemble
    swarm: Swarm
    last: FloatArray  # (4,): time, height and offsets of the last fix
    read: Read


class Paths(NamedTuple):
    """How each draw climbs from the last fix to what was read last."""

    t_s: FloatArray  # (n_times,), after the launch; the first is that of the fix
    amsl_m: FloatArray  # (n_draws, n_times)
    at: IntArray  # (n_readings,): at which time each place or direction was read


def paths_of(since: Since) -> Paths:
    """Return each draw's climb since the last fix, through the heights that were read.

    Between two heights a draw keeps the shape of its own climb; behind the last one it goes on as
    it would. Each has read the heights with an error of its own.
    """
    before, swarm, last, read = since
    n_draws, end_s = len(swarm.gas_kg), read.times_s[-1]
    clock_s = before.grain.clock_s
    even = np.arange(np.ceil(last[0] / clock_s) + 1.0, np.ceil(end_s / clock_s)) * clock_s
    t_s = np.unique(np.concatenate([[last[0]], even, read.times_s]))
    now = Aloft(np.tile(last, (n_draws, 1)), np.ascontiguousarray(swarm.gas_kg))
    until_s = min(end_s + 2.0 * clock_s, _LONGEST_S)
    clock = Clock(float("nan"), clock_s, until_s)
    tracks = climb_on(
        before.air.scene, swarm, before.climbs.balloon, now, clock, before.workers
    ).tracks
    at_s = tracks.step_s * np.arange(tracks.amsl_m.shape[1])
    amsl_m = np.empty((n_draws, len(t_s)))
    for i, own_m in enumerate(tracks.amsl_m):
        known = np.flatnonzero(np.isfinite(own_m) & (at_s > last[0]))
        amsl_m[i] = np.interp(t_s, [last[0], *at_s[known]], [last[1], *own_m[known]])
    heights = read.heights
    if len(heights.t_s):
        own = normals(n_draws, len(heights.t_s), before.grain.seed + _HEIGHT_SEED)
        wanted_m = heights.amsl_m + heights.sd_m * own
        k = np.searchsorted(t_s, heights.t_s)
        off_m = np.concatenate([np.zeros((n_draws, 1)), wanted_m - amsl_m[:, k]], axis=1)
        knots_s = np.concatenate([last[:1], heights.t_s])
        amsl_m += np.stack([np.interp(t_s, knots_s, one) for one in off_m])
    layers = before.air.scene.layers
    top_m = layers.base_amsl_m + layers.step_m * len(layers.rho_kgpm3)
    amsl_m = np.clip(amsl_m, layers.base_amsl_m, top_m)
    return Paths(t_s, amsl_m, np.searchsorted(t_s, read.place_times_s))


def drifts_m(scene: Scene, errors: AirErrors, last: FloatArray, paths: Paths) -> FloatArray:
    """Return metres east and north of the last fix along each draw's path, (n_draws, n_times, 2).

    Each draw moves with its own air, as it is told at the last fix, at an even climb between two
    times of its path. A metre east is one at the latitude of that fix (`offsets_of` undoes it).
    """
    numbers, shape = np.arange(len(errors.out_east_mps)), errors.out_east_mps.shape
    there = Lines(*(np.full(shape, last[k]) for k in (0, 2, 3)))
    steps = [
        _steps_m(scene, (told[0] + apart + own) * scene.layers.shortening_ratio, paths)
        for told, apart, own in zip(
            (scene.layers.u_mps, scene.layers.v_mps),
            apart_along(scene.cube, numbers, there),
            (errors.out_east_mps, errors.out_north_mps),
            strict=True,
        )
    ]
    found = np.zeros((*paths.amsl_m.shape, 2))
    meridian, parallel = metres_per_rad(scene.frame, last[2])
    found[:, 1:, 1] = np.cumsum(steps[1], axis=1)
    middle_rad = last[2] + 0.5 * (found[:, 1:, 1] + found[:, :-1, 1]) / meridian
    found[:, 1:, 0] = np.cumsum(
        steps[0] * parallel / metres_per_rad(scene.frame, middle_rad)[1], axis=1
    )
    return found


def _steps_m(scene: Scene, wind_mps: FloatArray, paths: Paths) -> FloatArray:
    """Return how far a wind by draw and layer moves each draw in each step, (n_draws, n_steps)."""
    layers, (t_s, amsl_m, _) = scene.layers, paths
    edges_m = layers.base_amsl_m + layers.step_m * np.arange(wind_mps.shape[1] + 1.0)
    summed = np.zeros((len(wind_mps), len(edges_m)))
    np.cumsum(wind_mps * layers.step_m, axis=1, out=summed[:, 1:])
    rows = zip(amsl_m, summed, strict=True)
    along = np.stack([np.interp(z, edges_m, one) for z, one in rows])
    climbed = np.diff(amsl_m, axis=1)
    level = np.abs(climbed) < _LEVEL_M
    k = np.clip((amsl_m[:, :-1] - edges_m[0]) / layers.step_m, 0, wind_mps.shape[1] - 1)
    here = np.take_along_axis(wind_mps, k.astype(np.int64), axis=1)
    mean = np.where(level, here, np.diff(along, axis=1) / np.where(level, 1.0, climbed))
    return np.asarray(mean * np.diff(t_s))


def offsets_of(frame: Frame, last: FloatArray, metres: FloatArray) -> FloatArray:
    """Return offsets north and east of the launch of metres as `drifts_m` has them, (…, 2)."""
    meridian, parallel = metres_per_rad(frame, last[2])
    return np.stack([last[2] + metres[..., 1] / meridian, last[3] + metres[..., 0] / parallel], -1)


def metres_per_rad(frame: Frame, north_rad: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Return metres per radian of latitude and longitude, as `sim.core.step` has them."""
    cosine = np.cos(frame.lat_rad + north_rad)
    meridian = frame.meridian_m + frame.meridian_slope_m * north_rad
    parallel = (frame.normal_m + frame.normal_slope_m * north_rad) * cosine
    return np.asarray(meridian), np.asarray(parallel)


def aloft_by(since: Since, paths: Paths, errors: AirErrors) -> Aloft:
    """Return all draws when something was read last, each where its own air has brought it."""
    scene = since.before.air.scene
    drift_m = drifts_m(scene, errors, since.last, paths)[:, -1]
    offsets = offsets_of(scene.frame, since.last, drift_m)
    t_s = np.full(len(drift_m), paths.t_s[-1])
    states = np.column_stack([t_s, paths.amsl_m[:, -1], offsets])
    return Aloft(np.ascontiguousarray(states), np.ascontiguousarray(since.swarm.gas_kg))


def aloft_at_fix(since: Since) -> Aloft:
    """Return all draws at the last fix."""
    gas_kg = since.swarm.gas_kg
    return Aloft(np.tile(since.last, (len(gas_kg), 1)), np.ascontiguousarray(gas_kg))
