"""Loose: what a flight leaves open that hangs on no whole balloon, steered or let alone."""

from collections.abc import Collection, Sequence
from dataclasses import replace
from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import FloatArray
from farglide.chances.after.afterwards import IDLE_S, TIED_S, Loosened, idle_states, in_circuit
from farglide.chances.after.closing import closer
from farglide.chances.after.powered import still_powered
from farglide.chances.chances import Beforehand, Chances, chances_in, floors_under
from farglide.chances.ensemble import Ensemble
from farglide.outlook.after import Stage, StoryName, StoryNow
from farglide.sim.core.release import Goals
from farglide.sim.core.states import States, states_at
from farglide.sim.reach.spares import spares

HEARD_S: Final = 60.0
"""What was heard so long ago still had its packs then; common practice, no source."""
LIKELY_RATIO: Final = 0.2
"""A story that is so likely counts for the time in hand; common practice, no source."""
STAYS_RATIO: Final = 0.15
"""And one that a field was told to be shut by counts on until it is less likely than this."""
_N_CLOSER: Final = 7
"""So many moments are asked for between the two between which a field shuts."""
_ALONE: Final[tuple[StoryName, ...]] = ("hands off", "spiral", "spin", "falling with remains")


class Idle(NamedTuple):
    """What is left while nobody does anything, as one story has it; the first moment is now.

    Links are left out; what a link costs a field now it is taken to cost later.
    """

    story: StoryName
    t_s: FloatArray  # (n_moments,) after the launch
    amsl_m: FloatArray  # (n_moments,) of the middle draw; NaN once all are down
    open_ratio: FloatArray  # (n_moments, n_fields)


class _Held(NamedTuple):
    """The fields as they are come down on, and the chances of each now."""

    goals: Goals
    chances: Chances


class Loose(NamedTuple):
    """Chances now, and from now on while nobody does anything, by each story that counts."""

    loosened: Loosened
    chances: Chances
    idle: tuple[Idle, ...]
    spare_m: FloatArray  # (n_draws, n_fields): most height over each field; NaN out of reach


def loose(
    ensemble: Ensemble,
    loosened: Loosened,
    now: States,
    stories: Sequence[StoryNow] = (),
    counted: Collection[str] = (),
) -> Loose:
    """Return what a flight leaves open. `now`: of one moment, as `states_now` or of particles.

    `stories`: what it may be at; nobody steering, it comes down by those that are likely;
    `counted`: those by which fields were told to shut last.
    """
    if loosened.seen.after_launch_s > float(np.median(now.after_launch_s)) - HEARD_S:
        ensemble = still_powered(ensemble, loosened.seen.after_launch_s)
    goals = in_circuit(ensemble.goals, loosened.seen.amsl_m)
    floors = floors_under(ensemble, goals)
    first = states_at(now, np.array([0]))
    spare_m = spares(
        ensemble.air.scene, ensemble.released, first, ensemble.reach.reaches, floors,
        ensemble.workers,
    )  # fmt: skip
    chances = chances_in(ensemble, first, goals, Beforehand(floors=floors))
    told = alone_by(loosened.stage, stories, counted)
    idle = tuple(_idle(ensemble, loosened, now, one, _Held(goals, chances)) for one in told)
    return Loose(loosened, chances, idle, spare_m)


def alone_by(
    stage: Stage, stories: Sequence[StoryNow], counted: Collection[str] = ()
) -> tuple[StoryName, ...]:
    """Return the stories by which it comes down if nobody does anything: all that are likely.

    Hands off where none is: that is what a glider that is let alone is at first. One that was
    `counted` goes on to be at a lesser chance, so that no time in hand comes and goes at its bound.
    """
    if stage is Stage.TIED_ON:
        return ("falling with remains",)
    likely = tuple(
        one.story
        for one in stories
        if one.story in _ALONE
        and one.chance_ratio >= (STAYS_RATIO if one.story in counted else LIKELY_RATIO)
    )
    return likely if likely and stage is not Stage.DROPPED else ("hands off",)


def _idle(
    ensemble: Ensemble,
    loosened: Loosened,
    now: States,
    story: StoryName,
    held: _Held,
) -> Idle:
    """Return what one story leaves, the moments close together where a field shuts."""
    (goals, chances), unheard = held, replace(ensemble, listening=None)
    timely = chances.timely_ratio[0]
    holds = np.where(timely > 0.0, chances.open_ratio[0] / np.maximum(timely, 1e-9), 1.0)
    wish, tied = ensemble.sortie.wish, loosened.stage is Stage.TIED_ON
    bounds = (wish.doubtful_ratio, wish.open_ratio) if tied else (wish.doubtful_ratio,)

    def asked(waits_s: FloatArray) -> Idle:
        states = idle_states(ensemble, loosened, now, story, waits_s)
        left = chances_in(unheard, states, goals).timely_ratio * np.minimum(holds, 1.0)
        return Idle(story, now_s + waits_s, _middles(states.amsl_m), np.asarray(left))

    now_s = float(np.median(now.after_launch_s))
    found = asked(np.array(TIED_S if tied else IDLE_S))
    closer_s = closer(found.t_s, found.open_ratio, bounds, _N_CLOSER)
    if not len(closer_s):
        return found
    more = asked(np.append(0.0, closer_s - now_s))
    rows = [np.concatenate([a, b[1:]]) for a, b in zip(found[1:], more[1:], strict=True)]
    order = np.argsort(rows[0], kind="stable")
    return Idle(story, *(one[order] for one in rows))


def _middles(rows: FloatArray) -> FloatArray:
    """Return the median of each column, NaN where there is none."""
    return np.array([np.nanmedian(one) if np.isfinite(one).any() else np.nan for one in rows.T])
