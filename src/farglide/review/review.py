"""Review: flights against what was promised of them, and what to believe of the next one."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from farglide.air.sounding import Sounding
from farglide.chances.ensemble import Ensemble
from farglide.outlook.outlook import Outlook
from farglide.outlook.review import (
    BestChange,
    FlightReview,
    Occurred,
    Promise,
    Review,
    StatedChance,
)
from farglide.review.advised import Outcome, advice_promises, stated_of
from farglide.review.airoff import deep_shown, sizes_of, winds_off
from farglide.review.changed import best_change
from farglide.review.climb import climb_shown
from farglide.review.crew import choice_of, reaction_shown
from farglide.review.diameter import is_early
from farglide.review.flown import Flown, Marked, What
from farglide.review.honesty import honesty_of
from farglide.review.landing import Landed, landed_of
from farglide.review.learning import learned_of, questions_of
from farglide.review.packs import drain_of
from farglide.review.parted import Parted, parted
from farglide.review.plantold import plan_promises, range_chances
from farglide.review.promised import burst_promises, climb_promises
from farglide.review.said import Case, Said, Weather, airframe_of, batch_of
from farglide.review.saying import said_of
from farglide.rig.airdoubts import air_doubts_of
from farglide.sim.core.learnt import Measured, learnt
from farglide.track.drift import measured_winds

PLACE_SD_M: Final = 10.0
"""Of a satellite receiver's fix, where nothing else is stated; common practice, no source."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Given:
    """One flight as it is handed over: written down, planned anew, and drawn.

    `plan`: the outlook of its frozen forecast; None for a track that had none.
    """

    flown: Flown
    planned: Ensemble  # its launch as it was
    sounding: Sounding
    plan: Outlook | None


@dataclass(frozen=True, slots=True, kw_only=True)
class _Reviewed:
    review: FlightReview
    said: tuple[Said, ...]
    stated: tuple[StatedChance, ...]


def review_of(given: Sequence[Given], notes: Sequence[str] = ()) -> Review:
    """Return the review of some flights, in the order of their launches.

    Numbers are pooled over flights with the same airframe, batch, pack or crew.
    """
    ordered = sorted(given, key=lambda one: one.planned.sortie.launch.t_s)
    found = [_reviewed(one, row) for row, one in enumerate(ordered)]
    said, stated = [one.said for one in found], [each for one in found for each in one.stated]
    bursts = [each for one in said for each in one if each.key == "balloon.burst_diameter_m"]
    followed = [each for each in bursts if each.shown is not None]
    return Review(
        flights=tuple(one.review for one in found),
        learned=learned_of(said),
        n_early_bursts=sum(
            each.shown is not None and is_early(each.shown, each.belief.value) for each in bursts
        ),
        n_followed=len(followed),
        stated=tuple(stated),
        honesty=honesty_of(stated),
        change=_change(ordered),
        notes=(*notes, *questions_of(said)),
    )


def _change(ordered: Sequence[Given]) -> BestChange | None:
    plans = [one.plan for one in ordered if one.plan is not None]
    return best_change(plans[-1]) if plans else None


def _reviewed(given: Given, row: int) -> _Reviewed:
    """Return one flight against its promises, and what it says."""
    planned, flown = given.planned, given.flown
    sortie, scene = planned.sortie, planned.air.scene
    flight = parted(flown, sortie.launch, scene)
    climb = climb_shown(sortie, given.sounding, flight.carried)
    doubts = air_doubts_of(sortie, planned.air.column)
    measured = measured_winds(scene, flight.carried, PLACE_SD_M) if given.plan else None
    sizes = None if measured is None else sizes_of(doubts, measured)
    weather = None if measured is None else Weather(learnt(doubts, measured), deep_shown(sizes))
    case = Case(planned, given.sounding, flown, flight, climb, weather)
    landed = landed_of(sortie, scene, flown, flight)
    promises = tuple(_promises(given, flight, landed))
    until_s = flight.until_s if flight.ended == "released" else None
    review = FlightReview(
        name=sortie.name,
        log=flown.path,
        launch_t_s=sortie.launch.t_s,
        zone=sortie.launch.zone,
        airframe=airframe_of(sortie),
        batch=batch_of(sortie),
        ended=flight.ended,
        ended_why=flight.why,
        is_finished=flown.is_finished,
        is_rehearsed=flown.speed is not None,
        n_fixes=len(flown.fixes),
        landed_at=landed.field,
        neck_lift_kg=climb.neck_lift.value if climb.drag else None,
        neck_lift_sd_kg=climb.neck_lift.sd if climb.drag else None,
        promises=promises,
        occurred=tuple(_occurred(flown, flight, sortie.launch.t_s)),
        winds=() if measured is None else winds_off(scene, doubts, measured),
        shallow_ratio=None if sizes is None else sizes.shallow_ratio,
        deep_ratio=None if sizes is None else sizes.deep_ratio,
        choice=choice_of(flown, sortie.launch.t_s, until_s),
        notes=tuple(_notes(given, flight, measured)),
    )
    sent = flown.first(What.SENT)
    outcome = Outcome(flight, landed, None if sent is None else sent.t_s - sortie.launch.t_s)
    stated = (*stated_of(outcome, flown.advices, row), *range_chances(promises, row))
    return _Reviewed(review=review, said=tuple(said_of(case)), stated=stated)


def _promises(given: Given, flight: Parted, landed: Landed) -> Iterator[Promise]:
    if given.plan is not None:
        yield from climb_promises(given.planned, flight)
        yield from burst_promises(given.planned, flight)
        yield from plan_promises(given.plan, given.flown, flight, landed)
    yield from advice_promises(given.planned, flight, given.flown.advices)


def _occurred(flown: Flown, flight: Parted, launch_t_s: float) -> Iterator[Occurred]:
    """Yield what happened, in time: as marked, and the end of the climb by the fixes.

    A mark of that end is typed late: it is laid to where the fixes have it, so that it has one
    height, that of the top.
    """
    rows = [_marked(one, flight, launch_t_s) for one in flown.marked]
    kinds = {one.what.value for one in flown.marked}
    is_told = flight.ended in kinds or (flight.ended == "topped" and What.RELEASED.value in kinds)
    if flight.until_s is not None and not is_told:
        rows.append(Occurred(after_launch_s=flight.until_s, what=flight.ended,
                             amsl_m=flight.top_m, origin="by the fixes"))  # fmt: skip
    yield from sorted(rows, key=lambda one: one.after_launch_s)


def _marked(one: Marked, flight: Parted, launch_t_s: float) -> Occurred:
    at_s, until_s = one.t_s - launch_t_s, flight.until_s
    is_end = one.what.value == flight.ended and until_s is not None and at_s >= until_s
    if until_s is None or not is_end or flight.top_m is None or not len(flight.freed.t_s):
        height_m = _height_m(flight, at_s)
        return Occurred(after_launch_s=at_s, what=one.what.value, amsl_m=height_m, origin="marked")
    late_s = at_s - until_s
    origin = "marked" if late_s < 1.0 else f"marked {late_s:.0f} s later"
    return Occurred(after_launch_s=until_s, what=one.what.value, amsl_m=flight.top_m, origin=origin)


def _height_m(flight: Parted, at_s: float) -> float | None:
    """Return how high it was at a moment between two fixes; None before and after all of them."""
    been = flight.whole
    if not len(been.t_s) or not been.t_s[0] - 60.0 <= at_s <= been.t_s[-1] + 60.0:
        return None
    return float(np.interp(at_s, been.t_s, been.amsl_m))


def _notes(given: Given, flight: Parted, measured: Measured | None) -> Iterator[str]:
    flown, sortie = given.flown, given.planned.sortie
    yield from flown.notes
    if not flown.fixes:
        yield "No fix of the glider stands in it: only what was marked and typed is reviewed."
    elif not len(flight.whole.t_s):
        yield "No fix of the glider has a height after the launch: look at the time of the launch."
    if given.plan is None:
        yield "A track without a forecast: nothing was promised, and its winds are not known."
    until_s = flight.until_s if flight.ended == "released" else None
    parts = reaction_shown(flown, sortie.launch.t_s, until_s)
    if parts.now_to_sent_s is not None and parts.sent_to_pin_s is not None:
        yield (
            f'From the advice "now" to the command {parts.now_to_sent_s:.0f} s, from there to the '
            f"moving pin {parts.sent_to_pin_s:.0f} s."
        )
    drain = drain_of(sortie, flown)
    if drain is not None:
        yield (
            f"The voltage typed fell from {drain.from_v:.2f} V to {drain.to_v:.2f} V, "
            f"{drain.volts_ph:.2f} V an hour."
        )
    if measured is not None and sortie.terrain is not None:
        yield "The log holds no heights of the ground: links were heard over flat ground."
