"""Afterwards: a glider that hangs on no whole balloon any more, now and if it is let alone."""

from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import FloatArray
from farglide.chances.after.storylaws import story_sinks
from farglide.chances.ensemble import Ensemble
from farglide.chances.falls import tangled
from farglide.chances.onward import Seen
from farglide.outlook.after import Stage, StoryName
from farglide.sim.core.release import Goals
from farglide.sim.core.states import CLIMBING, FALLING, GLIDING, States
from farglide.sim.core.tracks import Trails
from farglide.sim.fly.descend import Falls, Sinks, plunges, trails

IDLE_S: Final = (
    0.0, 30.0, 60.0, 120.0, 180.0, 270.0, 360.0, 480.0, 600.0, 750.0, 900.0, 1200.0, 1500.0,
)  # fmt: skip
TIED_S: Final = (
    0.0, 15.0, 30.0, 60.0, 90.0, 120.0, 150.0, 180.0, 220.0, 260.0, 320.0, 400.0, 500.0, 600.0,
)  # fmt: skip
"""So long from now on fields are asked for while nobody steers, or all is still tied on."""
SETTLED_S: Final = 30.0
"""So long after its burst a fall is as fast as it gets: nine tenths come in 1.5 v / g."""
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


def idle_states(
    ensemble: Ensemble,
    loosened: Loosened,
    now: States,
    story: StoryName | None = None,
    waits_s: FloatArray | None = None,
) -> States:
    """Return the draws now and later, nobody doing anything.

    They come down in the wind of their draw as `story` has it; None: hands off, or with the
    remains while all is tied on. `waits_s`: rising, from 0; None: those of the stage.
    """
    scene, swarm, workers = ensemble.air.scene, ensemble.draws.swarm, ensemble.workers
    starts = np.concatenate([one[:, :1] for one in now[1:5]], axis=1)
    low_m = ensemble.air.column.layers.base_amsl_m
    is_tied = loosened.stage is Stage.TIED_ON
    story = story or ("falling with remains" if is_tied else "hands off")
    waits_s = np.array(TIED_S if is_tied else IDLE_S) if waits_s is None else waits_s
    t_s = starts[:, :1] + waits_s
    now_s = float(np.median(starts[:, 0]))
    fell_s = now_s - loosened.left.after_launch_s
    if is_tied and fell_s < SETTLED_S:
        told = _from_rest(ensemble, loosened, starts, fell_s + waits_s)
    else:
        falls = Falls(starts, sinks_alone(ensemble, loosened, story), low_m)
        told = trails(scene, swarm, falls, now_s + waits_s, workers)
    rows = [np.ascontiguousarray(one) for one in told]
    for row, start in zip(rows, starts[:, 1:].T, strict=True):
        row[:, 0] = start  # now is now, wherever the clock of the fall begins
    kind = np.ascontiguousarray(np.broadcast_to(now.kind[:, :1], t_s.shape)).copy()
    kind[:, 1:] = FALLING if story == "falling with remains" else GLIDING
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


def sinks_alone(ensemble: Ensemble, loosened: Loosened, story: StoryName) -> Sinks:
    """Return how each draw sinks as a story has it: as timed or seen, else as the stories guess."""
    if story == "falling with remains":
        return tied_sinks(ensemble, loosened)
    gentle, firm, spun, _ = story_sinks(ensemble)
    if story == "spin":
        return spun
    return firm if story == "spiral" else gentle


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
