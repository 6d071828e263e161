"""Afterwards: a glider that hangs on no whole balloon any more, and what that leaves open."""

from collections.abc import Sequence
from dataclasses import replace
from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import FloatArray
from farglide.chances.chances import Chances, chances_in
from farglide.chances.ensemble import Ensemble
from farglide.chances.falls import glider_falls, tangled
from farglide.chances.onward import Seen
from farglide.fall import StoryKind
from farglide.outlook.after import Stage
from farglide.sim.core.release import Goals
from farglide.sim.core.states import CLIMBING, FALLING, GLIDING, States, states_at
from farglide.sim.core.tracks import Trails
from farglide.sim.fly.descend import Falls, Sinks, one_eas, plunges, trails
from farglide.sim.reach.doors import floors_of
from farglide.sim.reach.spares import spares

IDLE_S: Final = (0.0, 60.0, 180.0, 360.0, 600.0, 900.0, 1500.0)
TIED_S: Final = (
    0.0, 15.0, 30.0, 60.0, 90.0, 120.0, 150.0, 180.0, 220.0, 260.0, 320.0, 400.0, 500.0, 600.0,
)  # fmt: skip
"""So long from now on fields are asked for while nobody steers, or all is still tied on."""
SETTLED_S: Final = 30.0
"""So long after its burst a fall is as fast as it gets: nine tenths come in 1.5 v / g."""
HEARD_S: Final = 60.0
"""What was heard so long ago still had its packs then; common practice, no source."""
_LEAST_ALIVE: Final = 0.05
_CIRCUIT_RATIO: Final = 0.5
_SINK_SD: Final = 0.05
"""What a sink seen over half a minute may still be off; common practice, no source."""


class Loosened(NamedTuple):
    """What is known of a flight that hangs on no whole balloon: at what, where from, how fast.

    `left`: where the balloon carried it last; `sink_mps`: as seen of what is tied on, None unseen.
    """

    stage: Stage
    left: Seen
    seen: Seen
    sink_mps: float | None = None


class Loose(NamedTuple):
    """Chances now, and from now on while nobody does anything; the first moment is now.

    `idle`: links left out; what a link costs a field now it is taken to cost later.
    """

    loosened: Loosened
    states: States
    chances: Chances
    idle: Chances
    spare_m: FloatArray  # (n_draws, n_fields): most height over each field; NaN out of reach

    @property
    def open_ratio(self) -> FloatArray:
        """Return the share open at each moment while nobody does anything, (…, n_fields)."""
        timely = self.chances.timely_ratio[0]
        holds = np.where(timely > 0.0, self.chances.open_ratio[0] / np.maximum(timely, 1e-9), 1.0)
        return np.asarray(self.idle.timely_ratio * np.minimum(holds, 1.0))


def loose(ensemble: Ensemble, loosened: Loosened, now: States) -> Loose:
    """Return what a flight leaves open. `now`: of one moment, as `states_now` or of particles."""
    if loosened.seen.after_launch_s > float(np.median(now.after_launch_s)) - HEARD_S:
        ensemble = still_powered(ensemble, loosened.seen.after_launch_s)
    states = idle_states(ensemble, loosened, now)
    goals = in_circuit(ensemble.goals, loosened.seen.amsl_m)
    floors = floors_of(
        ensemble.air.scene, ensemble.released, ensemble.reach.reaches, goals,
        ensemble.workers,
    )  # fmt: skip
    first = states_at(states, np.array([0]))
    spare_m = spares(
        ensemble.air.scene, ensemble.released, first, ensemble.reach.reaches, floors,
        ensemble.workers,
    )  # fmt: skip
    unheard = replace(ensemble, listening=None)
    return Loose(
        loosened,
        states,
        chances_in(ensemble, first, goals),
        chances_in(unheard, states, goals),
        spare_m,
    )


def still_powered(ensemble: Ensemble, heard_s: float) -> Ensemble:
    """Return the draws as it was heard at a moment: no pack had ended by then.

    A draw whose packs would have gets an end of those that had not, by its rank: so all together
    they follow the law of packs that last so long. Where hardly any does, nothing is changed.
    """
    ends_s = ensemble.draws.pack_end_s
    alive = ends_s > heard_s
    if alive.all() or alive.mean() < _LEAST_ALIVE:
        return ensemble
    left_s, order = np.sort(ends_s[alive]), np.argsort(ends_s[~alive], kind="stable")
    own_s = ends_s.copy()
    rank = np.empty(len(order))
    rank[order] = (np.arange(len(order)) + 0.5) / len(order)
    own_s[~alive] = np.quantile(left_s, rank)
    light_s = ensemble.reach.light_end_s - ensemble.grain.delay_s
    haste = ensemble.reach.haste._replace(end_s=np.minimum(own_s, light_s))
    reach = replace(ensemble.reach, haste=haste)
    return replace(ensemble, draws=ensemble.draws._replace(pack_end_s=own_s), reach=reach)


def in_circuit(goals: Goals, amsl_m: float) -> Goals:
    """Return the goals of a glider at a height: low over a field it needs less than on arrival.

    The arrival height is for the circuit; half of what is left over the ground is enough once that
    is less. Common practice, no source.
    """
    left_m = np.maximum(amsl_m - goals.ground_amsl_m, 0.0)
    arrival_m = np.minimum(goals.arrival_amsl_m, goals.ground_amsl_m + _CIRCUIT_RATIO * left_m)
    return goals._replace(arrival_amsl_m=np.ascontiguousarray(arrival_m))


def states_now(ensemble: Ensemble, loosened: Loosened, now_s: float) -> States:
    """Return all draws where it was seen last.

    One that has just been let go counts as released where it left the balloon: its drop and its
    pull-out are those of the draws.
    """
    n = len(ensemble.draws.glide_factor)
    dropped = loosened.stage is Stage.DROPPED
    at, kind = loosened.seen, FALLING if loosened.stage is Stage.TIED_ON else GLIDING
    if dropped:
        at, kind = loosened.left, CLIMBING
    top_m = float(ensemble.air.column.edges_amsl_m[-1])
    t_s = at.after_launch_s if dropped else now_s
    rows = (t_s, min(at.amsl_m, top_m), at.north_rad, at.east_rad, 0.0)
    told = (np.full((n, 1), one) for one in rows)
    return States._make((np.full((n, 1), kind, np.uint8), *told))


def idle_states(ensemble: Ensemble, loosened: Loosened, now: States) -> States:
    """Return the draws now and later, nobody doing anything.

    A glider circles down as it does hands off, in the wind of its draw; what is tied on falls.
    """
    scene, swarm, workers = ensemble.air.scene, ensemble.draws.swarm, ensemble.workers
    starts = np.concatenate([one[:, :1] for one in now[1:5]], axis=1)
    low_m = ensemble.air.column.layers.base_amsl_m
    tied = loosened.stage is Stage.TIED_ON
    waits_s = np.array(TIED_S if tied else IDLE_S)
    t_s = starts[:, :1] + waits_s
    fell_s = float(np.median(starts[:, 0])) - loosened.left.after_launch_s
    if not tied:
        falls = Falls(starts, hands_off(ensemble), low_m)
        told = trails(scene, swarm, falls, float(np.median(starts[:, 0])) + waits_s, workers)
    elif fell_s < SETTLED_S:
        told = _from_rest(ensemble, loosened, starts, fell_s + waits_s)
    else:
        falls = Falls(starts, tied_sinks(ensemble, loosened), low_m)
        told = trails(scene, swarm, falls, float(np.median(starts[:, 0])) + waits_s, workers)
    rows = [np.ascontiguousarray(one) for one in told]
    for row, start in zip(rows, starts[:, 1:].T, strict=True):
        row[:, 0] = start  # now is now, wherever the clock of the fall begins
    kind = np.ascontiguousarray(np.broadcast_to(now.kind[:, :1], t_s.shape)).copy()
    if loosened.stage is Stage.DROPPED:
        kind[:, 1:] = GLIDING
    return States._make((kind, np.ascontiguousarray(t_s), *rows, np.zeros(t_s.shape)))


def _from_rest(
    ensemble: Ensemble, loosened: Loosened, starts: FloatArray, after_s: FloatArray
) -> Trails:
    """Return falls from the burst on, each moved to where it was seen since."""
    n, low_m = len(starts), ensemble.air.column.layers.base_amsl_m
    begun = np.tile(np.array(loosened.left), (n, 1))
    falls = Falls(begun, tangled(ensemble).sinks, low_m)
    scene, swarm = ensemble.air.scene, ensemble.draws.swarm
    told = plunges(scene, swarm, falls, after_s, ensemble.workers)
    return Trails._make(
        one + (start - one[:, 0])[:, None] for one, start in zip(told, starts[:, 1:].T, strict=True)
    )


def hands_off(ensemble: Ensemble) -> Sinks:
    """Return how each draw sinks that nobody steers: as measured, else at its flattest glide."""
    for one in glider_falls(ensemble):
        if one.story.kind is StoryKind.CIRCLE:
            return one.sinks
    layers, haste = ensemble.air.column.layers, ensemble.reach.haste
    eas_mps = float(np.median(haste.sink_mps / layers.tas_per_eas))
    return one_eas(eas_mps / haste.glide_factor)


def tied_sinks(ensemble: Ensemble, loosened: Loosened) -> Sinks:
    """Return how each draw falls with the remains: as fast as was seen, where that is known."""
    sinks = tangled(ensemble).sinks
    if loosened.sink_mps is None:
        return sinks
    column = ensemble.air.column
    faster = float(
        np.interp(loosened.seen.amsl_m, column.middles_amsl_m, column.layers.tas_per_eas)
    )
    thinner = np.maximum(faster / sinks.thin_from_ratio, 1.0) ** (-2.0 * sinks.thin_exponent)
    off = np.exp(_SINK_SD * ensemble.draws.story_normal[:, 1])
    return sinks._replace(eas_mps=loosened.sink_mps / (faster * thinner) * off)


def falls_below_s(
    after_s: Sequence[float] | FloatArray, ratio: FloatArray, bound: float
) -> float | None:
    """Return when a share falls below a bound for the first time, evenly between two moments.

    None where it never does.

    >>> falls_below_s((0.0, 60.0), np.array([1.0, 0.4]), 0.5)
    50.0
    """
    for k, value in enumerate(ratio.tolist()):
        if value >= bound:
            continue
        if k == 0:
            return float(after_s[0])
        before = float(ratio[k - 1])
        share = (before - bound) / (before - value)
        return float(after_s[k - 1] + share * (after_s[k] - after_s[k - 1]))
    return None
