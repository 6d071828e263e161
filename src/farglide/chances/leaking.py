"""Leaking: draws of a flight whose balloon may lose gas, by how its climb falls off."""

from dataclasses import replace
from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import FloatArray, IntArray
from farglide.balloon.bands import hats
from farglide.chances.ensemble import Ensemble
from farglide.constants import SEA_LEVEL_DENSITY_KGPM3
from farglide.rig.gear import bursting_of
from farglide.sim.core.draws import normals
from farglide.sim.core.scene import Swarm
from farglide.sim.core.shares import burst_shares_since
from farglide.sim.core.tracks import Burst, Tracks
from farglide.sim.fly.climb import Aloft, Climbed, Clock, climb_on
from farglide.sim.fly.rising import rises_mps
from farglide.track.climbfit import Timed, air_noise_m2, climbs_m, timed_stretches, wave_mps
from farglide.track.drift import Been
from farglide.track.leakfit import Leaks, Losses, Slowed, leaks_of, losses_of

_LEFTS: Final = np.linspace(0.2, 1.0, 33)
N_SAMPLES: Final = 16
_FEWEST: Final = 4
_RATIOS_PS: Final = (1e-6, 1e-2)
"""Slower a leak is none, faster the balloon is down in minutes."""
_MOST_WAVE_MPS: Final = 0.5
"""A climb that falls off is unsteady too: no more of that is taken for moving air."""
_SPEED_SEED: Final = 3_000_003
_SOUND_RATIO: Final = 0.1
"""A leak less likely than that is no story yet: all draws stay whole."""


class Holed(NamedTuple):
    """How fast each draw loses gas, and how much of a whole balloon's it has left, (n_draws,)."""

    ratio_ps: FloatArray
    left_ratio: FloatArray


class Told(NamedTuple):
    """What is believed of a leak, and samples of it."""

    leaks: Leaks
    holed: Holed


def leaks_in(before: Ensemble, been: Been) -> Leaks:
    """Return what is believed of a leak of the balloon that a flight was planned with."""
    timed = timed_stretches(been)
    scene, balloon = before.air.scene, before.climbs.balloon
    middle_m = np.maximum(timed.low_amsl_m + 0.5 * timed.climbed_m, scene.layers.base_amsl_m)
    gas_kg = balloon.envelope.gas_kg
    slowed = Slowed(_LEFTS, rises_mps(scene, balloon, middle_m, _LEFTS * gas_kg))
    said_m = climbs_m(before.climbs.tracks, timed)
    return leaks_of(timed, said_m, _losses(before, been, timed.middle_s), slowed)


def begun_s(leaks: Leaks) -> float:
    """Return since when it leaks, if it does: one tenth of what is believed lies before."""
    if not len(leaks.from_s):
        return 0.0
    by_start = np.cumsum(leaks.weight.sum(axis=0))
    return float(leaks.from_s[min(int(np.searchsorted(by_start, 0.1)), len(by_start) - 1)])


def holed_of(before: Ensemble, swarm: Swarm, been: Been, leaks: Leaks) -> Holed:
    """Return by how much each draw of the `swarm` leaks, so that it climbs as was seen.

    A draw's speed over each stretch since the leak began tells the gas that it had left there; how
    fast that falls off is its leak, where the line ends what it has left now. So near a float,
    where a little gas decides between climbing and sinking, all draws climb as the balloon does.
    """
    begun = begun_s(leaks)
    timed = timed_stretches(been)
    since = np.flatnonzero(timed.middle_s > begun)
    n_draws = len(swarm.gas_kg)
    if len(since) < _FEWEST:
        typical = float((leaks.weight.sum(axis=1) * leaks.ratio_ps).sum())
        return Holed(np.full(n_draws, typical), np.ones(n_draws))
    timed = Timed(*(one[since] for one in timed))
    logs, weight = _gas_left(before, swarm, timed)
    lost = _lost_by(before, been, np.append(timed.middle_s, been.t_s[-1]))
    at, now = lost[:-1], lost[-1]
    mean = weight @ at / weight.sum()
    slope = ((logs - (logs @ weight / weight.sum())[:, None]) * weight) @ (at - mean)
    slope = slope / (weight @ (at - mean) ** 2)
    left = np.exp(logs @ weight / weight.sum() + slope * (now - mean))
    return Holed(np.clip(-slope, *_RATIOS_PS), np.clip(left, _LEFTS[0], 1.2))


def _gas_left(before: Ensemble, swarm: Swarm, timed: Timed) -> tuple[FloatArray, FloatArray]:
    """Return the logarithm of each draw's share of gas in each stretch, and what each counts."""
    scene, balloon = before.air.scene, before.climbs.balloon
    middle_m = np.maximum(timed.low_amsl_m + 0.5 * timed.climbed_m, scene.layers.base_amsl_m)
    gas_kg = balloon.envelope.gas_kg
    table = np.maximum.accumulate(rises_mps(scene, balloon, middle_m, _LEFTS * gas_kg), axis=1)
    wave = wave_mps(timed, timed.climbed_m.mean() + 0.0 * timed.climbed_m)
    root = np.linalg.cholesky(air_noise_m2(timed, min(wave, _MOST_WAVE_MPS)))
    n_draws = len(swarm.gas_kg)
    own = normals(n_draws, len(timed.seconds), before.grain.seed + _SPEED_SEED)
    wanted = (timed.climbed_m + own @ root.T) / timed.seconds
    # a draw that climbs faster than the middle one with all its gas does so with some of it too
    bands = hats(middle_m)
    factor = swarm.climb_factor @ bands.T / np.sqrt(swarm.drag_factor)[:, None]
    factor = factor / (bands @ balloon.climb_factor)
    logs = np.empty((n_draws, len(middle_m)))
    steep = np.empty(len(middle_m))
    for k, speeds in enumerate(table):
        left = np.interp(wanted[:, k] / factor[:, k], speeds, _LEFTS)
        logs[:, k] = np.log(left * gas_kg / swarm.gas_kg)
        middle = float(np.median(left))
        near = np.interp([middle - 0.01, middle + 0.01], _LEFTS, speeds)
        steep[k] = max(float(near[1] - near[0]) / 0.02 * middle, 0.1)
    return logs, steep**2


def _lost_by(before: Ensemble, been: Been, at_s: FloatArray) -> FloatArray:
    """Return for how long, at sea level's density, a hole has let out gas by some times."""
    pace = np.sqrt(_density_kgpm3(before, been) / SEA_LEVEL_DENSITY_KGPM3)
    lost = np.concatenate([[0.0], np.cumsum(0.5 * (pace[1:] + pace[:-1]) * np.diff(been.t_s))])
    return np.asarray(np.interp(at_s, been.t_s, lost))


def leaking_ahead(
    known: Ensemble, now: Aloft, widest_m: FloatArray, until_s: float, told: Told
) -> Ensemble:
    """Return climbs that go on from now, leaking in as many draws as a leak is likely.

    As `chances.ahead`, whose balloons are whole; `now`: with the gas of a whole balloon. Draws keep
    their places: each takes the same sample as long as no other is more likely.
    """
    leaks, holed = told
    sample = _samples(holed.ratio_ps, leaks.chance_ratio)
    climbs, scene, swarm = known.climbs, known.air.scene, known.draws.swarm
    clock = Clock(float("nan"), known.grain.clock_s, until_s)
    rows, bursts = list[Tracks](), list[Burst]()
    for k in np.unique(sample).tolist():
        mine = sample == k
        states = np.where(mine[:, None], now.states, np.nan)
        envelope, gas_kg = climbs.balloon.envelope, now.gas_kg
        if k >= 0:
            ratio = float(np.median(holed.ratio_ps[mine]))
            envelope = envelope._replace(leak_ratio_ps=ratio, leak_from_s=0.0)
            gas_kg = np.ascontiguousarray(gas_kg * holed.left_ratio)
        balloon = climbs.balloon._replace(envelope=envelope)
        found = climb_on(scene, swarm, balloon, Aloft(states, gas_kg), clock, known.workers)
        rows.append(found.tracks)
        bursts.append(found.burst)
    tracks, burst = _joined(rows, bursts)
    share = burst_shares_since(tracks, widest_m, bursting_of(known.sortie, climbs.fill))
    return replace(known, climbs=replace(climbs, tracks=tracks, burst=burst, burst_share=share))


def _joined(rows: list[Tracks], bursts: list[Burst]) -> Climbed:
    """Return the rows of climbs of which each has other draws: elsewhere all are NaN."""
    joined = (np.stack(some) for some in zip(*(one[1:] for one in rows), strict=True))
    tracks = Tracks(rows[0].step_s, *(_first_known(one) for one in joined))
    ends = (np.stack(some) for some in zip(*bursts, strict=True))
    return Climbed(tracks, Burst(*(_first_known(one) for one in ends)))


def _first_known(stacked: FloatArray) -> FloatArray:
    found = stacked[0]
    for one in stacked[1:]:
        found = np.where(np.isnan(found), one, found)
    return np.ascontiguousarray(found)


def _samples(ratio_ps: FloatArray, chance_ratio: float) -> IntArray:
    """Return in which group each draw leaks, by how fast; -1 for those that do not.

    As many leak as a leak is likely, spread evenly over the draws.
    """
    n = len(ratio_ps)
    if chance_ratio < _SOUND_RATIO:
        return np.full(n, -1)
    rank = np.argsort(np.argsort(ratio_ps, kind="stable"), kind="stable")
    order = (np.arange(n) * 0.618_033_988_75) % 1.0
    return np.where(order < chance_ratio, rank * N_SAMPLES // n, -1)


def _losses(before: Ensemble, been: Been, at_s: FloatArray) -> Losses:
    return losses_of(been, _density_kgpm3(before, been), at_s)


def _density_kgpm3(before: Ensemble, been: Been) -> FloatArray:
    """Return the density of the air at each fix."""
    layers = before.air.scene.layers
    middles_m = layers.base_amsl_m + layers.step_m * (np.arange(len(layers.rho_kgpm3)) + 0.5)
    return np.asarray(np.interp(been.amsl_m, middles_m, layers.rho_kgpm3))
