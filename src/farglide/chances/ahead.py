"""Ahead: an ensemble whose balloons go on from where they are now, instead of from the hand."""

from dataclasses import replace
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from farglide.chances.ensemble import Ensemble
from farglide.errors import InputError
from farglide.sim.core.odds import burst_shares, burst_shares_since
from farglide.sim.fly.climb import climb_on

FloatArray = NDArray[np.float64]


class Aloft(NamedTuple):
    """Each draw's balloon now, shape (n_draws,); NaN heights for one that is no more.

    Offsets are radians from the launch; `widest_m`: the widest its film has been, which it has
    survived.
    """

    after_launch_s: FloatArray
    amsl_m: FloatArray
    north_rad: FloatArray
    east_rad: FloatArray
    gas_kg: FloatArray
    widest_m: FloatArray


def aloft_at(ensemble: Ensemble, moment: int) -> Aloft:
    """Return the balloons of an ensemble at a moment of its climbs, whole and not leaking yet."""
    tracks, swarm = ensemble.climbs.tracks, ensemble.draws.swarm
    return Aloft(
        after_launch_s=np.full(len(swarm.gas_kg), moment * tracks.step_s),
        amsl_m=tracks.amsl_m[:, moment].copy(),
        north_rad=tracks.north_rad[:, moment].copy(),
        east_rad=tracks.east_rad[:, moment].copy(),
        gas_kg=swarm.gas_kg.copy(),
        widest_m=np.nanmax(tracks.diameter_m[:, : moment + 1], axis=1),
    )


def ahead(ensemble: Ensemble, now: Aloft, until_s: float) -> Ensemble:
    """Return the ensemble with climbs that go on from now, on the clock of the launch.

    The tracks are NaN before now. A share that has burst is that of the balloons whole now. The
    air, what is known of it included, is the ensemble's own. A leak goes on where the envelope
    says that it leaks. `until_s`: the end of the tracks, after the launch.
    """
    n = len(ensemble.draws.swarm.gas_kg)
    for name, array in zip(Aloft._fields, now, strict=True):
        if array.shape != (n,):
            raise InputError(name, f"{array.shape} values", f"({n},), one for each draw")
    if not until_s > np.nanmin(now.after_launch_s):
        raise InputError("until_s", f"{until_s:g} s", "later than now", "Give a later end.")
    starts = np.stack([now.after_launch_s, now.amsl_m, now.north_rad, now.east_rad], axis=1)
    swarm = ensemble.draws.swarm._replace(gas_kg=now.gas_kg)
    climbs, clock_s = ensemble.climbs, ensemble.grain.clock_s
    tracks, burst = climb_on(
        ensemble.air.scene, swarm, climbs.balloon, (starts, clock_s, until_s), ensemble.workers
    )
    known = ensemble.sortie.balloon.burst_diameter_m
    of_all = burst_shares(tracks, known.value, known.sd)
    share = burst_shares_since(of_all, now.widest_m, (known.value, known.sd))
    return replace(
        ensemble,
        draws=ensemble.draws._replace(swarm=swarm),
        climbs=replace(climbs, tracks=tracks, burst=burst, burst_share=share),
    )
