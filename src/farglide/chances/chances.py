"""Chances: a case and any states in, the chance of every field out; all faces ask here."""

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from farglide.arrays import BoolArray, FloatArray, IntArray
from farglide.chances.case import Case
from farglide.chances.ensemble import Ensemble, within_caps
from farglide.chances.holding import Holding, holding
from farglide.sim.core.release import Goals
from farglide.sim.core.shares import weighted_medians
from farglide.sim.core.states import GLIDING, States, states_of_climbs
from farglide.sim.reach.doors import IN_TIME, REACHED, doors, floors_of


@dataclass(frozen=True, slots=True, kw_only=True)
class Chances:
    """Chances of a flight on from each of some moments; shapes (n_moments,) or (…, n_fields).

    What still hangs on a balloon is released then; what glides goes on.
    """

    after_launch_s: FloatArray
    amsl_m: FloatArray  # median of the balloons still whole
    burst_ratio: FloatArray
    reach_ratio: FloatArray  # in reach by height and holdable, given a whole balloon
    timely_ratio: FloatArray  # and packs and light last, given a whole balloon
    open_ratio: FloatArray  # and command and picture hold, given a whole balloon
    chance_ratio: FloatArray  # and the balloon is still whole then
    any_open_ratio: FloatArray  # (n_moments,) at least one field open
    holding: Holding | None  # None where no links are stated


def chances_of(case: Case, states: States, goals: Goals) -> Chances:
    """Return the chances of every goal for the draws of a case in any states."""
    return chances_in(case.drawn, states, goals)


def chances_of_climb(ensemble: Ensemble, moments: IntArray, goals: Goals | None = None) -> Chances:
    """Return the chances for a release at moments of the climb; without goals, of the fields.

    `moments`: indices on the clock of the climb's tracks.
    """
    states = states_of_climb(ensemble, moments)
    return chances_in(ensemble, states, ensemble.goals if goals is None else goals)


def states_of_climb(ensemble: Ensemble, moments: IntArray) -> States:
    """Return where the draws are at moments of their climb. `moments`: on the tracks' clock."""
    climbs = ensemble.climbs
    return states_of_climbs(climbs.tracks, climbs.burst_share, moments)


def chances_in(ensemble: Ensemble, states: States, goals: Goals) -> Chances:
    """Return the chances of every goal for the draws of an ensemble in any states.

    The burst is independent of what is drawn for the glide, but not of the climb: open and whole
    are multiplied draw by draw.
    """
    flying = ~np.isnan(states.amsl_m)
    n_flying = np.maximum(flying.sum(axis=0), 1)
    flyable = _flyable(ensemble, states)[:, :, None]
    reached, in_time = _reached(ensemble, states, goals)
    reached &= flyable
    in_time &= flyable
    held = holding(ensemble, states, goals)
    opened = in_time if held is None else in_time * held.ratio
    whole = 1.0 - states.burst_ratio
    given = _given_whole(whole, flying)
    return Chances(
        after_launch_s=np.median(states.after_launch_s, axis=0),
        amsl_m=weighted_medians(states.amsl_m, whole),
        burst_ratio=states.burst_ratio.mean(axis=0),
        reach_ratio=np.minimum(_weighted(reached, given), 1.0),
        timely_ratio=np.minimum(_weighted(in_time, given), 1.0),
        open_ratio=np.minimum(_weighted(opened, given), 1.0),
        chance_ratio=_weighted(opened, whole) / n_flying[:, None],
        any_open_ratio=np.minimum((opened.max(axis=2, initial=0) * given).sum(axis=0), 1.0),
        holding=held,
    )


def _flyable(ensemble: Ensemble, states: States) -> BoolArray:
    """Tell which draws get into a glide from their states within stall, top EAS and Mach limit."""
    drops = (states.amsl_m <= ensemble.craft.ceiling_amsl_m) & within_caps(ensemble, states.amsl_m)
    flyable: BoolArray = drops | (states.kind == GLIDING)
    return flyable


def _reached(ensemble: Ensemble, states: States, goals: Goals) -> tuple[BoolArray, BoolArray]:
    """Tell what each draw reaches by height, and what before packs or light end."""
    ways, workers = ensemble.reach.ways, ensemble.workers
    floors = floors_of(ways, goals, workers)
    state = doors(ensemble.air.scene, ensemble.released, states, ways, floors, workers).state
    return (state & REACHED) > 0, (state & IN_TIME) > 0


def _weighted(held: NDArray[Any], weight: FloatArray) -> FloatArray:
    """Return the weighted sum over the draws, field by field to spare the room for them all."""
    sums = [(held[:, :, f] * weight).sum(axis=0) for f in range(held.shape[2])]
    return np.stack(sums, axis=1) if sums else np.zeros((held.shape[1], 0))


def _given_whole(whole: FloatArray, flying: BoolArray) -> FloatArray:
    """Return the weight of each draw at each moment among the balloons still whole then."""
    weight = np.where(flying, whole, 0.0)
    total = weight.sum(axis=0)
    alike = flying / np.maximum(flying.sum(axis=0), 1)
    weights: FloatArray = np.where(total > 1e-3, weight / np.maximum(total, 1e-9), alike)
    return weights
