"""Chances: a case and any states in, the chance of every field out, and when it is open or shut."""

from dataclasses import dataclass
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from farglide.arrays import BoolArray, FloatArray, IntArray
from farglide.chances.case import Case
from farglide.chances.ensemble import Ensemble, within_caps
from farglide.chances.holding import Holding, holding
from farglide.outlook.fields import State
from farglide.sim.core.release import Goals
from farglide.sim.core.shares import weighted_medians
from farglide.sim.core.states import GLIDING, States, check_states, states_of_climbs
from farglide.sim.fly.aside import with_flown
from farglide.sim.reach.doors import IN_TIME, REACHED, doors, floors_of
from farglide.sortie.spec import Wish

LAST_BURST_RATIO: Final = 59.0 / 60.0
"""A climb is told to where fewer than 1 balloon in 60 gets."""
_EVERY_S: Final = 60.0


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

    @property
    def is_told(self) -> BoolArray:
        """Tell at which moments there are balloons enough left."""
        return np.asarray(self.burst_ratio < LAST_BURST_RATIO)


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
    top_m = float(ensemble.air.column.edges_amsl_m[-1])
    check_states(states, len(ensemble.draws.swarm.gas_kg), top_m)
    flying = ~np.isnan(states.amsl_m)
    n_flying, whole = np.maximum(flying.sum(axis=0), 1), 1.0 - states.burst_ratio
    given, middle_m = _given_whole(whole, flying), weighted_medians(states.amsl_m, whole)
    by_height, in_time = reached(ensemble, states, goals)
    # who drops must get into the glide within stall, top EAS and Mach limit
    flyable = states.amsl_m <= ensemble.craft.ceiling_amsl_m
    flyable &= within_caps(ensemble, states.amsl_m)
    flyable |= states.kind == GLIDING
    by_height &= flyable[:, :, None]
    in_time &= flyable[:, :, None]
    held = holding(ensemble, states, goals)
    opened = in_time if held is None else in_time * held.ratio
    return Chances(
        after_launch_s=np.median(states.after_launch_s, axis=0),
        amsl_m=middle_m,
        burst_ratio=states.burst_ratio.mean(axis=0),
        reach_ratio=np.minimum(_weighted(by_height, given), 1.0),
        timely_ratio=np.minimum(_weighted(in_time, given), 1.0),
        open_ratio=np.minimum(_weighted(opened, given), 1.0),
        chance_ratio=_weighted(opened, whole) / n_flying[:, None],
        any_open_ratio=np.minimum((opened.max(axis=2, initial=0) * given).sum(axis=0), 1.0),
        holding=held,
    )


def reached(ensemble: Ensemble, states: States, goals: Goals) -> tuple[BoolArray, BoolArray]:
    """Tell what each draw reaches by height, and what before packs or light end.

    Shapes (n_draws, n_moments, n_goals); speed limits are not asked here.
    """
    reaches, workers = ensemble.reach.reaches, ensemble.workers
    scene, releases = ensemble.air.scene, ensemble.released
    floors = floors_of(scene, releases, reaches, goals, workers)
    told = doors(scene, releases, states, reaches, floors, workers)
    state = with_flown(scene, releases, states, reaches, floors, told, workers).state
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
    return np.asarray(np.where(total > 1e-3, weight / np.maximum(total, 1e-9), alike))


def told_moments(chances: Chances) -> IntArray:
    """Return the moments of every minute that there are balloons enough left to tell of."""
    step_s = _step_s(chances.after_launch_s)
    every = max(round(_EVERY_S / step_s), 1) if step_s else 1
    return np.arange(0, int(chances.is_told.sum()), every)


def state_of(open_ratio: float, wish: Wish) -> State:
    """Return the state that a share of draws stands for."""
    if open_ratio >= wish.open_ratio:
        return "open"
    return "doubtful" if open_ratio >= wish.doubtful_ratio else "shut"


def worth(chances: Chances, wish: Wish) -> BoolArray:
    """Tell when and for which field a release is worth it, shape (n_moments, n_fields).

    The field is open and the chance, the burst counted, not worse than doubtful.
    """
    is_open = chances.open_ratio >= wish.open_ratio
    return np.asarray(is_open & (chances.chance_ratio >= wish.doubtful_ratio))


def runs(states: list[State]) -> list[tuple[State, int, int]]:
    """Return stretches of one state as (state, first, one past the last)."""
    found: list[tuple[State, int, int]] = []
    for i, state in enumerate(states):
        if found and found[-1][0] == state:
            found[-1] = (state, found[-1][1], i + 1)
        else:
            found.append((state, i, i + 1))
    return found


def stretches(holds: BoolArray) -> list[tuple[int, int]]:
    """Return where something holds as (first, one past the last).

    >>> stretches(np.array([True, False, True, True]))
    [(0, 1), (2, 4)]
    """
    edges = np.flatnonzero(np.diff(np.concatenate([[0], holds.astype(np.int8), [0]])))
    return [(first, past) for first, past in edges.reshape(-1, 2).tolist()]


def gaps_s(chances: Chances, wish: Wish, median_burst_s: float) -> list[tuple[float, float]]:
    """Return the stretches from the first open field to the median burst with no field open."""
    t = chances.after_launch_s
    is_open = (chances.open_ratio >= wish.open_ratio).any(axis=1)
    if not is_open.any() or t[np.argmax(is_open)] >= median_burst_s:
        return [(0.0, median_burst_s)]
    shut = ~is_open & (t >= t[np.argmax(is_open)]) & (t <= median_burst_s)
    step = _step_s(t)
    return [(float(t[a]), float(t[a]) + step * (b - a)) for a, b in stretches(shut)]


def shut_s(chances: Chances, field: int, wish: Wish, median_burst_s: float) -> float:
    """Return how long a field is not open between T+3 min and the median burst."""
    t = chances.after_launch_s
    inside = (t >= 180.0) & (t <= median_burst_s)
    closed = inside & (chances.open_ratio[:, field] < wish.open_ratio)
    return float(closed.sum() * _step_s(t))


def _step_s(t: FloatArray) -> float:
    return float(t[1] - t[0]) if len(t) > 1 else 0.0
