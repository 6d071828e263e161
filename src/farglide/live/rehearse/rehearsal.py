"""Rehearsal: one crew on one truth, from the launch to the ground, and what came of it."""

from collections.abc import Iterator
from typing import Final, NamedTuple

import numpy as np

from farglide.live.rehearse.crew import HOME, YOU, Crew
from farglide.live.rehearse.ended import Flown, How
from farglide.live.rehearse.landing import landing_of
from farglide.live.rehearse.score import score_of
from farglide.live.rehearse.sent import moments_s
from farglide.live.rehearse.sitting import Look, Sitting
from farglide.live.rehearse.steered import Steered, steered, straight
from farglide.live.rehearse.truth import Truth
from farglide.outlook.rehearsal import Happened, Rehearsed, What

RETRY_S: Final = 40.0
"""From a command that the pin did not follow to the next one."""


class Sent(NamedTuple):
    """When a crew sent the release, for which field, and when the pin followed; None: never."""

    sent_s: float | None
    field: int
    tries_s: tuple[float, ...]  # when each command came to the pin
    free_s: float | None


class Finished(NamedTuple):
    """A rehearsal told, and the flight behind it."""

    told: Rehearsed
    flown: Flown
    sent: Sent


class Named(NamedTuple):
    """What a rehearsal is told by."""

    surprises: tuple[str, ...]
    seed: int


def rehearsed(sitting: Sitting, crew: Crew, named: Named) -> Finished:
    """Return how a flight goes that a crew decides on: the same truth, seed and crew, the same."""
    sent = sent_by(sitting, crew)
    return finished(sitting, crew.name, sent, named, way_of(sitting, crew, sent, named.seed))


def way_of(sitting: Sitting, crew: Crew, sent: Sent, seed: int) -> Steered:
    """Return how a crew flies on from its release: by the advice, or for one field all the way."""
    if crew.steers_by_advice:
        return steered(sitting, seed, sent.free_s, sent.field)
    return straight(sitting, sent.free_s, sent.field)


def finished(
    sitting: Sitting, crew: str, sent: Sent, named: Named, way: Steered | None = None
) -> Finished:
    """Return how a flight goes whose release was sent as told, and the score of that.

    `way`: as it was steered; None: straight to its field. Who rides is told the advice anew each
    second, so that it counts just as it was when the release was sent.
    """
    way = straight(sitting, sent.free_s, sent.field) if way is None else way
    flown = way.flown
    field = way.turns[-1].field if way.turns else sent.field
    ends_s = sitting.lift.path.end_s if sent.sent_s is None else sent.sent_s
    looks = sitting.looks(ends_s)
    if crew == YOU and sent.sent_s is not None and not sitting.is_seen_falling(ends_s):
        looks = [*looks, sitting.look_at(ends_s)]
    happened = sorted(_happened(sitting, sent, way, looks), key=lambda one: one.after_launch_s)
    told = Rehearsed(
        surprises=named.surprises,
        seed=named.seed,
        crew=crew,
        field=sitting.planned.sortie.fields[field].name,
        happened=tuple(happened),
        came_home=flown.how is How.HOME,
        how=flown.how.value,
        away_m=flown.away_m,
        release_amsl_m=flown.release_amsl_m,
        landing=landing_of(sitting.truth, flown, len(way.turns)),
        score=score_of(looks, sent.sent_s, sent.field, sitting.lift.burst_s),
    )
    return Finished(told, flown, sent)


def sent_by(sitting: Sitting, crew: Crew) -> Sent:
    """Return when a crew sends the release, and when it lets go."""
    for t_s in moments_s(sitting.lift.path.end_s):
        if t_s <= 0.0:
            continue
        field = crew.wants(sitting, t_s)
        if field is not None:
            return followed(sitting.truth, t_s, field, sitting.lift.path.end_s)
    return Sent(None, HOME, (), None)


def followed(truth: Truth, wanted_s: float, field: int, end_s: float) -> Sent:
    """Return what becomes of a release that is wanted at a moment.

    It is sent after the crew's reaction, heard, and followed by the pin at once or at a later try.
    """
    changes = truth.changes
    sent_s = wanted_s + changes.crew_late_s
    first_s = sent_s + float(truth.drawn.reaction_s[0]) + changes.command_late_s
    most = int(max(end_s - first_s, 0.0) / RETRY_S) + 1
    n_tries = min(changes.n_sticks + 1, most)
    tries_s = tuple(first_s + RETRY_S * k for k in range(n_tries))
    free = changes.n_sticks < n_tries and tries_s[-1] < end_s
    return Sent(sent_s, field, tries_s, tries_s[-1] if free else None)


def _happened(sitting: Sitting, sent: Sent, way: Steered, looks: list[Look]) -> Iterator[Happened]:
    flown, lift = way.flown, sitting.lift
    path = flown.path
    name = sitting.planned.sortie.fields[sent.field].name

    def at(t_s: float, what: What) -> Happened:
        return Happened(after_launch_s=t_s, what=what, amsl_m=path.at(t_s).amsl_m, field=name)

    yield at(0.0, What.LAUNCHED)
    for t_s, advice in (*looks, *way.looks):
        yield Happened(
            after_launch_s=t_s, what=What.ADVISED, amsl_m=path.at(t_s).amsl_m, advice=advice
        )
    if sent.sent_s is not None:
        yield at(sent.sent_s, What.SENT)
        stuck = sent.tries_s if sent.free_s is None else sent.tries_s[:-1]
        if stuck:
            yield at(stuck[0], What.STUCK)
    free_s = flown.release_s if np.isfinite(flown.release_s) else path.end_s
    if lift.burst_s <= free_s:
        yield at(lift.burst_s, What.BURST)
    elif lift.tops_s < free_s:
        yield at(lift.tops_s, What.TOPPED)
    if np.isfinite(flown.release_s):
        yield at(flown.release_s, What.RELEASED)
    for turn in way.turns:
        name = sitting.planned.sortie.fields[turn.field].name
        yield at(turn.t_s, What.TURNED)
    if np.isfinite(flown.low_s):
        yield at(flown.low_s, What.OVER)
    if sitting.truth.dead_s < path.end_s:
        yield at(sitting.truth.dead_s, What.DEAD)
    yield at(path.end_s, What.DOWN)
