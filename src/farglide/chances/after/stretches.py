"""Stretches: the straight parts of a glide, as its fixes have them in the air known by now."""

from itertools import pairwise
from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import FloatArray
from farglide.chances.ensemble import Ensemble
from farglide.glider.polar import _slowest_eas, steady_glide
from farglide.sim.core.learnt import Known
from farglide.sim.core.scene import Scene
from farglide.sim.core.step import Offset, _metres_per_rad, apart_m
from farglide.sim.reach.bearings import N_BEARING
from farglide.sim.reach.speeds import Speeds
from farglide.track.drift import Been
from farglide.track.filter.glided import WIDER, Stretches
from farglide.track.glideair import glide_air_at, layer_at

STRETCH_S: Final = 60.0
MOST: Final = 20
"""The last ones tell most of the air below, and the sum grows with the cube of them."""
_GAP_S: Final = 30.0
_PART_S: Final = (4.0, 10.0)
_PART_SPM: Final = 0.8
"""A stretch is looked along in parts that long, as short as errors of the fixes allow: so many
seconds for each metre of them. A circle that takes as long as a part would pass as straight."""
_LEAST_FLOWN_RATIO: Final = 0.6
"""Of its slowest airspeed, as it looks in a wind that may be off: what makes less way circles."""
_MOST_SINK_RATIO: Final = 2.0
_FEW_SD: Final = 2.0 * WIDER[-1]
"""So many times the sink at the fastest that winds doubted most allow: steeper is a spiral, a spin
or a fall. Common practice, no source."""
_NEAR_FIELD_M: Final = 4000.0
"""So near to a field it waits over it, in circles that drift; common practice, no source."""
_STRAIGHT_RATIO: Final = 0.96
"""What is so much of its own way through the air in a straight line is straight: 16 degrees off to
either side. Common practice, no source."""
_SINK_LEAST_MPS: Final = 0.2
_UP_SD_RATIO: Final = 1.5
"""A receiver's height is so many times as unsure as its place; common practice, no source."""
_N_SPEEDS: Final = 32


class Fixed(NamedTuple):
    """The fixes of a glide, and how unsure their places are."""

    been: Been
    place_sd_m: float


def on_its_way(ensemble: Ensemble, been: Been) -> Been:
    """Return the fixes away from all fields: over one, height is flown off in dives and circles.

    What stays over a place in a strong wind looks like a straight glide into it, a steep one.
    """
    goals, frame = ensemble.goals, ensemble.air.scene.frame
    meridian_m, parallel_m = _metres_per_rad(frame, 0.0)
    north_m = meridian_m * np.subtract.outer(goals.north_rad, been.north_rad)
    east_m = parallel_m * np.subtract.outer(goals.east_rad, been.east_rad)
    away = np.hypot(north_m, east_m).min(axis=0, initial=np.inf) > _NEAR_FIELD_M
    return Been(*(one[away] for one in been))


def stretches_of(ensemble: Ensemble, speeds: Speeds, home: Known, told: Fixed) -> Stretches:
    """Return the straight stretches of a glide, a minute each, the last ones if they are many.

    `speeds`: as advised. A stretch over a gap in the fixes is left out, and so is one that turns,
    that is slower than anything flies, or that does not sink.
    """
    been, sd_m = told
    scene, rows = ensemble.air.scene, []
    for a, b in _ends(been.t_s):
        way = _way(scene, home, Fixed(Been(*(one[a : b + 1] for one in been)), sd_m))
        if way is None:
            continue
        if _is_flown(ensemble, home, _fastest_eas(ensemble, speeds, way), way):
            rows.append(_row(ensemble, speeds, way, sd_m))
    n = _N_SPEEDS
    empty = (
        np.zeros(0),
        np.zeros((0, 2)),
        *(np.zeros(0) for _ in range(4)),
        *(2 * [np.zeros((0, n))]),
    )
    columns = [np.array(one) for one in zip(*rows[-MOST:], strict=True)] if rows else empty
    return Stretches(*columns)


class _Way(NamedTuple):
    """One straight stretch: where, its ground track and way through the air, its sink, how long."""

    amsl_m: float
    ground_mps: FloatArray
    air_mps: FloatArray
    sink_mps: float
    seconds: float


def _ends(t_s: FloatArray) -> list[tuple[int, int]]:
    """Return between which fixes stretches lie: whole minutes from the first on, no gap in them."""
    found, a = list[tuple[int, int]](), 0
    for b in range(1, len(t_s)):
        if t_s[b] - t_s[b - 1] > _GAP_S:
            a = b
        elif t_s[b] - t_s[a] >= STRETCH_S:
            found.append((a, b))
            a = b
    return found


def _way(scene: Scene, home: Known, told: Fixed) -> _Way | None:
    """Return a stretch, None where it turns on its way or does not sink."""
    been, part_s = told[0], float(np.clip(_PART_SPM * told[1], *_PART_S))
    a, b = 0, len(been.t_s) - 1
    layers, parts = scene.layers, [a]
    for j in range(a + 1, b + 1):
        if been.t_s[j] - been.t_s[parts[-1]] >= part_s or j == b:
            parts.append(j)
    heights_m = layers.base_amsl_m + layers.step_m * (np.arange(len(layers.p_pa)) + 0.5)
    u = layers.u_mps[0] + home.mean_mps[:, 0]
    v = layers.v_mps[0] + home.mean_mps[:, 1]
    ground = np.zeros((len(parts) - 1, 2))
    air = np.zeros_like(ground)
    for k, (i, j) in enumerate(pairwise(parts)):
        here, there = (Offset(float(been.north_rad[m]), float(been.east_rad[m])) for m in (i, j))
        z, seconds = 0.5 * (been.amsl_m[i] + been.amsl_m[j]), been.t_s[j] - been.t_s[i]
        over = np.array(apart_m(scene.frame, here, there))
        ground[k] = over / np.interp(z, heights_m, layers.shortening_ratio)
        air[k] = ground[k] - seconds * np.array([np.interp(z, heights_m, w) for w in (u, v)])
    whole, seconds = air.sum(axis=0), float(been.t_s[b] - been.t_s[a])
    sink = float(been.amsl_m[a] - been.amsl_m[b]) / seconds
    if np.hypot(*whole) < _STRAIGHT_RATIO * np.hypot(*air.T).sum() or sink < _SINK_LEAST_MPS:
        return None
    middle = 0.5 * float(been.amsl_m[a] + been.amsl_m[b])
    return _Way(middle, ground.sum(axis=0) / seconds, whole / seconds, sink, seconds)


def _fastest_eas(ensemble: Ensemble, speeds: Speeds, way: _Way) -> float:
    """Return the fastest EAS that may be flown on a stretch."""
    fastest = float(speeds.fastest_mps[layer_at(ensemble.air.scene, way.amsl_m)])
    return max(fastest, 1.05 * float(_slowest_eas(ensemble.craft.polar)))


def _is_flown(ensemble: Ensemble, home: Known, fastest_eas_mps: float, way: _Way) -> bool:
    """Tell whether a stretch may be a straight glide: what circles is slower, a fall is steeper."""
    polar, air = ensemble.craft.polar, glide_air_at(ensemble.air.scene, way.amsl_m)
    slowest_eas = float(_slowest_eas(polar))
    slowest_mps, level_mps = steady_glide(polar, slowest_eas, air)[0], np.hypot(*way.air_mps)
    if level_mps < _LEAST_FLOWN_RATIO * slowest_mps:
        return False
    sd_mps = np.interp(way.amsl_m, ensemble.air.column.middles_amsl_m, home.sd_mps)
    most_eas = slowest_eas * (level_mps + _FEW_SD * sd_mps) / slowest_mps
    steepest = steady_glide(polar, float(np.clip(most_eas, slowest_eas, fastest_eas_mps)), air)
    return bool(way.sink_mps < _MOST_SINK_RATIO * steepest[1])


def _row(
    ensemble: Ensemble, speeds: Speeds, way: _Way, sd_m: float
) -> tuple[FloatArray | float, ...]:
    """Return a stretch as `Stretches` has it."""
    scene, polar = ensemble.air.scene, ensemble.craft.polar
    k, air = layer_at(scene, way.amsl_m), glide_air_at(scene, way.amsl_m)
    slowest = float(_slowest_eas(polar))
    eas = np.linspace(slowest, _fastest_eas(ensemble, speeds, way), _N_SPEEDS)
    flown = np.array([steady_glide(polar, float(one), air) for one in eas])
    angle = np.arctan2(way.ground_mps[1], way.ground_mps[0]) * N_BEARING / (2.0 * np.pi)
    around = np.append(speeds.eas_mps[0, k], speeds.eas_mps[0, k, 0])
    told_eas = float(np.interp(angle % N_BEARING, np.arange(N_BEARING + 1.0), around))
    told = float(np.interp(told_eas, eas, flown[:, 0]))
    sd_mps = np.sqrt(2.0) * sd_m / way.seconds
    return (
        way.amsl_m, way.air_mps, sd_mps, way.sink_mps, _UP_SD_RATIO * sd_mps, told,
        np.log(flown[:, 0]), np.log(flown[:, 1]),
    )  # fmt: skip
