"""Chances: a case and any states in, the chance of every field out, and when it is open or shut."""

from dataclasses import dataclass
from typing import Any, Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from farglide.arrays import BoolArray, FloatArray, IntArray
from farglide.chances.ensemble import Ensemble, within_caps
from farglide.chances.holding import Holding, HoldingAlong, holding, times_s
from farglide.sim.core.release import Goals
from farglide.sim.core.shares import weighted_medians
from farglide.sim.core.states import GLIDING, States, check_states, states_of_climbs
from farglide.sim.fly.aside import with_flown
from farglide.sim.reach.doors import IN_TIME, REACHED, Floors, doors, floors_of

LAST_BURST_RATIO: Final = 59.0 / 60.0
"""A climb is told to where fewer than 1 balloon in 60 gets."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Chances:
    """Chances of a flight on from each of some moments; shapes (n_moments,) or (…, n_fields).

    What still hangs on a balloon is released then; what glides goes on. A moment is one time for
    all draws, or the one at which a rule of release lets each of them go.
    """

    after_launch_s: FloatArray  # median of the balloons still whole
    amsl_m: FloatArray  # median of the balloons still whole; of a rule the height it names
    until_s: FloatArray  # the time at which the last are released
    by_height: BoolArray  # the height leads, not the time
    burst_ratio: FloatArray
    reach_ratio: FloatArray  # in reach by height and holdable, given a whole balloon
    timely_ratio: FloatArray  # and packs and light last, given a whole balloon
    open_ratio: FloatArray  # and command and picture hold, given a whole balloon
    chance_ratio: FloatArray  # of all draws: still whole and open, or let go after a burst and open
    any_open_ratio: FloatArray  # (n_moments,) at least one field open
    holding: Holding | None  # None where no links are stated

    @property
    def is_told(self) -> BoolArray:
        """Tell at which moments there are balloons enough left."""
        return np.asarray(self.burst_ratio < LAST_BURST_RATIO)


class AfterBurst(NamedTuple):
    """When each draw's own balloon bursts, and the chance of what is let go after that."""

    burst_s: FloatArray  # (n_draws,), NaN where it never does
    ratio: FloatArray  # (n_draws, n_goals)


class Beforehand(NamedTuple):
    """What is known of some goals before their chances are asked; None: not yet.

    `after`: what is released after a burst, else it counts for nothing; `floors` of the goals;
    `along`: what holds of releases at times round those asked of, by balloons hardly elsewhere.
    """

    after: AfterBurst | None = None
    floors: Floors | None = None
    along: HoldingAlong | None = None


NOTHING_KNOWN: Final = Beforehand()


class Opened(NamedTuple):
    """What is open to each draw, by how much of the question; (n_draws, n_moments, n_goals)."""

    by_height: BoolArray
    in_time: BoolArray
    ratio: NDArray[Any]  # and command and picture hold
    held: Holding | None


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


def chances_in(
    ensemble: Ensemble,
    states: States,
    goals: Goals,
    known: Beforehand = NOTHING_KNOWN,
) -> Chances:
    """Return the chances of every goal for the draws of an ensemble in any states.

    Every draw counts: those that are gone by then with nothing, those that burst before with what a
    release after the burst still brings. The bursting diameter is independent of what is drawn for
    the glide, but not of the climb: open and whole are multiplied draw by draw. What comes after is
    counted for the one diameter that each draw has.
    """
    whole, flying = 1.0 - states.burst_ratio, ~np.isnan(states.amsl_m)
    opened, after = opened_of(ensemble, states, goals, known), known.after
    given = _given_whole(whole, flying)
    chance = _weighted(opened.ratio, np.where(flying, whole, 0.0))
    if after is not None:
        burst = after.burst_s[:, None] < states.after_launch_s
        chance += burst.T.astype(np.float64) @ after.ratio
    return Chances(
        after_launch_s=weighted_medians(states.after_launch_s, np.where(flying, whole, 0.0)),
        amsl_m=weighted_medians(states.amsl_m, whole),
        until_s=states.after_launch_s.max(axis=0),
        by_height=np.zeros(states.amsl_m.shape[1], dtype=np.bool_),
        burst_ratio=states.burst_ratio.mean(axis=0),
        reach_ratio=np.minimum(_weighted(opened.by_height, given), 1.0),
        timely_ratio=np.minimum(_weighted(opened.in_time, given), 1.0),
        open_ratio=np.minimum(_weighted(opened.ratio, given), 1.0),
        chance_ratio=np.minimum(chance / len(whole), 1.0),
        any_open_ratio=np.minimum((opened.ratio.max(axis=2, initial=0) * given).sum(axis=0), 1.0),
        holding=opened.held,
    )


def opened_of(
    ensemble: Ensemble, states: States, goals: Goals, known: Beforehand = NOTHING_KNOWN
) -> Opened:
    """Return what is open to each draw in any states, the burst left out."""
    top_m = float(ensemble.air.column.edges_amsl_m[-1])
    check_states(states, len(ensemble.draws.swarm.gas_kg), top_m)
    by_height, in_time = reached(ensemble, states, goals, known.floors)
    # who drops must get into the glide within stall, top EAS and Mach limit
    flyable = states.amsl_m <= ensemble.craft.ceiling_amsl_m
    flyable &= within_caps(ensemble, states.amsl_m)
    flyable |= states.kind == GLIDING
    by_height &= flyable[:, :, None]
    in_time &= flyable[:, :, None]
    if known.along is None:
        held = holding(ensemble, states, goals)
    else:
        held = known.along.at(times_s(states))
    return Opened(by_height, in_time, in_time if held is None else in_time * held.ratio, held)


def reached(
    ensemble: Ensemble, states: States, goals: Goals, floors: Floors | None = None
) -> tuple[BoolArray, BoolArray]:
    """Tell what each draw reaches by height, and what before packs or light end.

    Shapes (n_draws, n_moments, n_goals); speed limits are not asked here.
    """
    reaches, workers = ensemble.reach.reaches, ensemble.workers
    scene, releases = ensemble.air.scene, ensemble.released
    floors = floors_under(ensemble, goals) if floors is None else floors
    told = doors(scene, releases, states, reaches, floors, workers)
    most = ensemble.grain.most_flown
    state = with_flown(scene, releases, states, reaches, floors, told, workers, most).state
    return (state & REACHED) > 0, (state & IN_TIME) > 0


def floors_under(ensemble: Ensemble, goals: Goals) -> Floors:
    """Return how far each draw gets down to goals, the same whatever state it is asked in."""
    scene, releases, reaches = ensemble.air.scene, ensemble.released, ensemble.reach.reaches
    return floors_of(scene, releases, reaches, goals, ensemble.workers)


def _weighted(held: NDArray[Any], weight: FloatArray) -> FloatArray:
    """Return the weighted sum over the draws, field by field to spare the room for them all."""
    sums = [(held[:, :, f] * weight).sum(axis=0) for f in range(held.shape[2])]
    return np.stack(sums, axis=1) if sums else np.zeros((held.shape[1], 0))


def _given_whole(whole: FloatArray, flying: BoolArray) -> FloatArray:
    """Return the weight of each draw at each moment among the balloons still whole then."""
    weight = np.where(flying, whole, 0.0)
    total = weight.sum(axis=0)
    alike = flying / np.maximum(flying.sum(axis=0), 1)
    return np.asarray(np.where(total > 1e-3, weight / np.maximum(total, 1e-9), alike))
