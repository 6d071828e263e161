"""Regliding: the draws of a flight as its own steered glide has made them: their glide and air."""

from dataclasses import replace
from itertools import pairwise
from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import FloatArray
from farglide.chances.ensemble import Ensemble, with_winds
from farglide.chances.informed import Informed
from farglide.glider.polar import _slowest_eas, steady_glide
from farglide.sim.core.draws import normals
from farglide.sim.core.learnt import Known
from farglide.sim.core.scene import Scene
from farglide.sim.core.step import Offset, apart_m
from farglide.sim.reach.bearings import N_BEARING
from farglide.sim.reach.speeds import Speeds
from farglide.track.drift import Been
from farglide.track.filter.glided import Believed, Glide, Stretches, glided, hangs_ratio, weights_of
from farglide.track.glideair import glide_air_at, layer_at

STRETCH_S: Final = 60.0
LEAST: Final = 3
"""Fewer straight stretches tell too little to be worth summing the way home anew."""
MOST: Final = 20
"""The last ones tell most of the air below, and the sum grows with the cube of them."""
_GAP_S: Final = 30.0
_PART_S: Final = 10.0
_LEAST_FLOWN_RATIO: Final = 0.9
"""Of its slowest airspeed: circles of ten seconds pass as straight, and make no way."""
_STRAIGHT_RATIO: Final = 0.96
"""What is so much of its own way through the air in a straight line is straight: 16 degrees off to
either side. Common practice, no source."""
_SINK_LEAST_MPS: Final = 0.2
_UP_SD_RATIO: Final = 1.5
"""A receiver's height is so many times as unsure as its place; common practice, no source."""
_N_SPEEDS: Final = 32
_SEED: Final = 5_000_011


class Fixed(NamedTuple):
    """The fixes of a glide, and how unsure their places are."""

    been: Been
    place_sd_m: float


class Seen(NamedTuple):
    """What a glide has told, and the heights of its stretches."""

    glide: Glide
    amsl_m: FloatArray


class Reglided(NamedTuple):
    """The draws, and the flight without errors, as a glide has made them."""

    known: Informed
    plain: Ensemble


def glide_seen(known: Informed, plain: Ensemble, been: Been, place_sd_m: float) -> Seen | None:
    """Return what a steered glide tells of its glide ratio and of the wind; None: too little.

    `been`: its fixes, steered and settled; `plain`: the flight without errors as the climb has made
    it known, whose speeds are flown. Raises InputError.
    """
    ensemble, home = known.ensemble, known.air.home
    some = stretches_of(ensemble, plain.reach.reaches.speeds, home, Fixed(been, place_sd_m))
    if len(some.amsl_m) < LEAST:
        return None
    log_factor = np.log(ensemble.draws.glide_factor)
    sd_mps = np.interp(some.amsl_m, ensemble.air.column.middles_amsl_m, home.sd_mps)
    before = Believed(float(log_factor.mean()), float(log_factor.std()), sd_mps)
    return Seen(glided(some, before), some.amsl_m)


def reglided(known: Informed, plain: Ensemble, seen: Seen) -> Reglided:
    """Return the draws and the flight without errors as a steered glide has made them.

    Each draw keeps its own numbers and is moved by what it misses of the glide; elsewhere the winds
    move as far as they hang together. The reach is summed anew.
    """
    glide, home, at_m = seen.glide, known.air.home, seen.amsl_m
    none, n = np.zeros((1, 2 * len(at_m))), len(at_m)
    middle = weights_of(glide, none, np.array([glide.log_factor_before]), none)
    off = _reach(known, at_m, glide.wider) @ (middle @ glide.slope[:, :-1]).reshape(n, 2)
    air = known.air._replace(home=home._replace(mean_mps=home.mean_mps + off))
    moved = known._replace(ensemble=_moved(known, at_m, glide), air=air)
    return Reglided(moved, _plain(plain, off, glide))


def stretches_of(ensemble: Ensemble, speeds: Speeds, home: Known, told: Fixed) -> Stretches:
    """Return the straight stretches of a glide, a minute each, the last ones if they are many.

    `speeds`: as advised. A stretch over a gap in the fixes is left out, and so is one that turns,
    that is slower than anything flies, or that does not sink.
    """
    been, sd_m = told
    scene, rows = ensemble.air.scene, []
    for a, b in _ends(been.t_s):
        way = _way(scene, home, Been(*(one[a : b + 1] for one in been)))
        if way is not None and _is_flown(ensemble, way):
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


def _way(scene: Scene, home: Known, been: Been) -> _Way | None:
    """Return a stretch, None where it turns on its way or does not sink."""
    a, b = 0, len(been.t_s) - 1
    layers, parts = scene.layers, [a]
    for j in range(a + 1, b + 1):
        if been.t_s[j] - been.t_s[parts[-1]] >= _PART_S or j == b:
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


def _is_flown(ensemble: Ensemble, way: _Way) -> bool:
    """Tell whether a stretch is as fast as anything that flies straight: what circles is not."""
    polar, air = ensemble.craft.polar, glide_air_at(ensemble.air.scene, way.amsl_m)
    slowest_mps = float(steady_glide(polar, float(_slowest_eas(polar)), air)[0])
    return bool(np.hypot(*way.air_mps) > _LEAST_FLOWN_RATIO * slowest_mps)


def _row(
    ensemble: Ensemble, speeds: Speeds, way: _Way, sd_m: float
) -> tuple[FloatArray | float, ...]:
    """Return a stretch as `Stretches` has it."""
    scene, polar = ensemble.air.scene, ensemble.craft.polar
    k, air = layer_at(scene, way.amsl_m), glide_air_at(scene, way.amsl_m)
    slowest = float(_slowest_eas(polar))
    eas = np.linspace(slowest, max(float(speeds.fastest_mps[k]), 1.05 * slowest), _N_SPEEDS)
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


def _moved(known: Informed, at_m: FloatArray, glide: Glide) -> Ensemble:
    """Return the draws moved by what each of them misses of the glide."""
    ensemble, home = known.ensemble, known.air.home
    draws, heights_m = ensemble.draws, ensemble.air.column.middles_amsl_m
    swarm, n = draws.swarm, len(at_m)
    were = [one.astype(np.float64) for one in (swarm.home_east_mps, swarm.home_north_mps)]
    wider = _wider(known, at_m, glide.wider)
    own = [wider * (one - home.mean_mps[:, j]) for j, one in enumerate(were)]
    layer = np.clip(np.searchsorted(heights_m, at_m), 0, len(heights_m) - 1)
    winds = np.stack([one[:, layer] for one in own], axis=2).reshape(len(own[0]), 2 * n)
    log_factor = np.log(draws.glide_factor)
    noise = normals(len(winds), 2 * n, ensemble.grain.seed + _SEED)
    weights = weights_of(glide, winds, log_factor, noise)
    by_wind = weights @ glide.slope[:, :-1]
    by_factor = weights @ glide.slope[:, -1] * glide.covariance[-1, -1]
    reach = _reach(known, at_m, glide.wider)
    east, north = (
        home.mean_mps[:, j] + one + by_wind[:, j::2] @ reach.T for j, one in enumerate(own)
    )
    swarm = swarm._replace(
        home_east_mps=np.ascontiguousarray(east, np.float32),
        home_north_mps=np.ascontiguousarray(north, np.float32),
    )
    factor = np.ascontiguousarray(np.exp(log_factor + by_factor))
    return with_winds(ensemble, ensemble.air, draws._replace(swarm=swarm, glide_factor=factor))


def _wider(known: Informed, at_m: FloatArray, wider: float) -> FloatArray:
    """Return how many times as far as told the winds are doubted in each layer, (n_layers,).

    By `wider` at the stretches, and less the less a layer hangs together with the nearest of them.
    """
    near = hangs_ratio(known.ensemble.air.column.middles_amsl_m, at_m).max(axis=1)
    return np.asarray(1.0 + (wider - 1.0) * near)


def _reach(known: Informed, at_m: FloatArray, wider: float) -> FloatArray:
    """Return the covariance of the winds' errors in all layers with those at some heights."""
    heights_m, sd_mps = known.ensemble.air.column.middles_amsl_m, known.air.home.sd_mps
    near, at_mps = hangs_ratio(heights_m, at_m), np.interp(at_m, heights_m, sd_mps)
    doubted_mps = _wider(known, at_m, wider) * sd_mps
    return np.asarray(near * np.outer(doubted_mps, wider * at_mps))


def _plain(plain: Ensemble, off_mps: FloatArray, glide: Glide) -> Ensemble:
    """Return the flight without errors in the air and with the glide as they are known now."""
    layers = plain.air.column.layers
    layers = layers._replace(
        u_mps=np.ascontiguousarray(layers.u_mps + off_mps[None, :, 0]),
        v_mps=np.ascontiguousarray(layers.v_mps + off_mps[None, :, 1]),
    )
    scene = plain.air.scene._replace(layers=layers)
    air = replace(plain.air, column=replace(plain.air.column, layers=layers), scene=scene)
    factor = np.full(len(plain.draws.glide_factor), np.exp(glide.log_factor))
    return with_winds(plain, air, plain.draws._replace(glide_factor=factor))
