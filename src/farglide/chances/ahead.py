"""Ahead: an ensemble whose balloons go on from where they are now, instead of from the hand."""

from dataclasses import replace
from statistics import NormalDist
from typing import Final

import numpy as np

from farglide.arrays import FloatArray
from farglide.balloon.burst import Bursting, _burst_ratio, _whole_ratio, burst_diameters_m
from farglide.chances.ensemble import Ensemble
from farglide.errors import InputError
from farglide.fall import Story, remains_story
from farglide.rig.gear import bursting_of
from farglide.sim.core.shares import burst_shares_since
from farglide.sim.core.states import FALLING, States
from farglide.sim.fly.climb import Aloft, Clock, climb_on
from farglide.sim.fly.descend import Falls, Sinks, plunges

_LEAST_RATIO: Final = 1e-9
_WIDEST_SD: Final = 2.0
"""No fall is as much faster aloft as the tails of a normal law would have it."""


def aloft_at(ensemble: Ensemble, moment: int) -> Aloft:
    """Return every draw's balloon at a moment of its climb, with the gas it has left."""
    tracks = ensemble.climbs.tracks
    t_s = np.full(len(tracks.amsl_m), moment * tracks.step_s)
    states = np.stack([t_s, *(one[:, moment] for one in tracks.places)], axis=1)
    return Aloft(states, np.ascontiguousarray(tracks.gas_kg[:, moment]))


def ahead(ensemble: Ensemble, now: Aloft, widest_m: FloatArray, until_s: float) -> Ensemble:
    """Return the ensemble with climbs that go on from now, on the clock of the launch.

    `widest_m` (n_draws,): the widest each film has been, which it has survived; `until_s`: the end
    of the tracks, after the launch. The tracks are NaN before now. A share that has burst is that
    of the balloons whole now, and a draw that by its own diameter would have burst already gets
    one that it may still have. The air, what is known of it included, is the ensemble's own. A leak
    goes on where the envelope says that it leaks.
    """
    n = len(ensemble.draws.swarm.gas_kg)
    shapes = {"states": (n, 4), "gas_kg": (n,), "widest_m": (n,)}
    for (name, shape), array in zip(shapes.items(), (*now, widest_m), strict=True):
        if array.shape != shape:
            raise InputError(name, f"{array.shape} values", f"{shape}, a row for each draw")
    if not until_s > np.nanmin(now.states[:, 0]):
        raise InputError("until_s", f"{until_s:g} s", "later than now", "Give a later end.")
    climbs, scene = ensemble.climbs, ensemble.air.scene
    law = bursting_of(ensemble.sortie, climbs.fill)
    own_m = still_whole_m(ensemble.draws.swarm.burst_diameter_m, widest_m, law)
    swarm = ensemble.draws.swarm._replace(burst_diameter_m=own_m)
    clock = Clock(float("nan"), ensemble.grain.clock_s, until_s)
    tracks, burst = climb_on(scene, swarm, climbs.balloon, now, clock, ensemble.workers)
    share = burst_shares_since(tracks, widest_m, law)
    climbs = replace(climbs, tracks=tracks, burst=burst, burst_share=share)
    return replace(ensemble, draws=ensemble.draws._replace(swarm=swarm), climbs=climbs)


def still_whole_m(own_m: FloatArray, widest_m: FloatArray, law: Bursting) -> FloatArray:
    """Return bursting diameters of balloons that were whole at their widest, (n_draws,).

    One that is larger stays. One that is not is taken from the law of those still whole, by the
    rank that it had among the burst: so all of them together follow that law.
    """
    found, normal = own_m.copy(), NormalDist()
    for i in np.flatnonzero(own_m <= widest_m):
        burst = max(float(_burst_ratio(widest_m[i], law)), _LEAST_RATIO)
        rank = min(float(_burst_ratio(own_m[i], law)) / burst, 1.0)
        left = (1.0 - rank) * float(_whole_ratio(widest_m[i], law))
        share = min(max(left, _LEAST_RATIO), 1.0 - _LEAST_RATIO)
        found[i] = burst_diameters_m(law, np.array([-normal.inv_cdf(share)]))[0]
    return found


def falling(ensemble: Ensemble, bursts: FloatArray, sinks: Sinks, after_s: FloatArray) -> States:
    """Return the states of draws that fall from rest with all tied on, seconds after their bursts.

    `bursts` (n_draws, 4): time, height and offsets, NaN for none; `sinks`: of the settled fall;
    `after_s`: rising, (n_moments,), or of each draw its own, (n_draws, n_moments). Gone where the
    air ends.
    """
    scene, swarm = ensemble.air.scene, ensemble.draws.swarm
    falls = Falls(bursts, sinks, scene.layers.base_amsl_m)
    found = plunges(scene, swarm, falls, after_s, ensemble.workers)
    kind = np.full(found.amsl_m.shape, FALLING, np.uint8)
    return States(kind, bursts[:, :1] + after_s, *found, np.zeros(found.amsl_m.shape))


def sinks_of(ensemble: Ensemble, story: Story, shares: FloatArray) -> Sinks:
    """Return the sink of each draw, so many times that of a story, slower in thin air as it says.

    `shares`: (n_draws,).
    """
    normal = np.clip(ensemble.draws.story_normal[:, 2], -_WIDEST_SD, _WIDEST_SD)
    exponent = np.asarray(story.thin_exponent + story.thin_exponent_sd * normal)
    return Sinks(story.sink_eas_mps * shares, exponent, story.thin_from_ratio)


def remains_shares(ensemble: Ensemble) -> FloatArray:
    """Return by how much each draw's remains sink faster: as the root of their drag area."""
    area = ensemble.sortie.train.remains_drag_area_m2
    return np.exp(-0.5 * area.spread_ratio * ensemble.draws.story_normal[:, 1])


def remains_story_of(ensemble: Ensemble) -> Story:
    """Return the fall of all together after a burst, as the middle draw has it."""
    sortie = ensemble.sortie
    mass_kg = sortie.balloon.mass_kg + sortie.hanging_kg
    return remains_story(mass_kg, sortie.train.remains_drag_area_m2.value)


def let_go_after_bursts(ensemble: Ensemble) -> States:
    """Return where each draw's crew lets go after its own burst, as one moment of all draws.

    The crew sees the burst and releases after its reaction time, all tied on until then.
    """
    bursts = np.stack(ensemble.climbs.burst, axis=1)
    sinks = sinks_of(ensemble, remains_story_of(ensemble), remains_shares(ensemble))
    return falling(ensemble, bursts, sinks, ensemble.draws.reaction_s[:, None])
