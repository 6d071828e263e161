"""Regliding: the draws of a flight as its own steered glide has made them: their glide and air."""

from dataclasses import replace
from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import FloatArray
from farglide.chances.after.stretches import Fixed, on_its_way, stretches_of
from farglide.chances.ensemble import Ensemble, with_winds
from farglide.chances.informed import Informed
from farglide.sim.core.draws import normals
from farglide.track.drift import Been
from farglide.track.filter.glided import (
    STEADY_RISES_MPS,
    Believed,
    Glide,
    glided,
    hangs_ratio,
    weights_of,
)

LEAST: Final = 3
"""Fewer straight stretches tell too little to be worth summing the way home anew."""
_SEED: Final = 5_000_011


class Seen(NamedTuple):
    """What a glide has told, and the heights of its stretches."""

    glide: Glide
    amsl_m: FloatArray

    def tells_as(self, other: "Seen") -> bool:
        """Tell whether another glide told the very same, so that draws move by it as they did."""
        own, others = (
            [np.asarray(each) for each in (one.amsl_m, *one.glide)] for one in (self, other)
        )
        return all(np.array_equal(a, b) for a, b in zip(own, others, strict=True))


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
    on_way = Fixed(on_its_way(ensemble, been), place_sd_m)
    some = stretches_of(ensemble, plain.reach.reaches.speeds, home, on_way)
    if len(some.amsl_m) < LEAST:
        return None
    log_factor = np.log(ensemble.draws.glide_factor)
    sd_mps = np.interp(some.amsl_m, ensemble.air.column.middles_amsl_m, home.sd_mps)
    rises_mps = max(STEADY_RISES_MPS, ensemble.sortie.doubt.vertical_mps)
    before = Believed(
        float(log_factor.mean()), float(log_factor.std()), sd_mps, steady_rises_mps=rises_mps
    )
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
