"""Advised: what advice on the way told of places, bursts and chances, and how it came."""

import math
from collections.abc import Iterator, Sequence
from typing import Final, NamedTuple

import numpy as np

from farglide.chances.ensemble import Ensemble
from farglide.earth.geodesy import geodesic
from farglide.earth.state import Place, place_at
from farglide.outlook.advice import Advice
from farglide.outlook.freshness import Freshness
from farglide.outlook.review import Promise, StatedChance
from farglide.review.landing import Landed
from farglide.review.parted import Parted
from farglide.review.promised import Came, Told, promise

_AT_M: Final = (5000.0, 10_000.0, 15_000.0, 20_000.0, 25_000.0)
_FAR_M: Final = 1500.0
_APART_S: Final = 300.0
_RELEASE_S: Final = 120.0
_MOST_GUESSES: Final = 6
EIGHT: Final = "8 in 10"
"""What the range of an advice holds: from the value of 1 in 10 to that of 9 in 10."""


def advice_promises(
    planned: Ensemble, flight: Parted, advices: Sequence[Advice]
) -> Iterator[Promise]:
    """Yield what advice told of the burst at whole heights, and of places that it guessed."""
    if flight.top_m is not None and flight.ended in ("burst", "released", "still carried"):
        yield from _bursts(flight, flight.top_m, advices)
    guesses = [one for one in advices if one.data in (Freshness.GUESSED, Freshness.UNKNOWN)]
    n = max(len(guesses) // _MOST_GUESSES, 1)
    for one in guesses[::n][:_MOST_GUESSES]:
        miss_m = _missed_m(planned, flight, one)
        if miss_m is not None:
            rings = (0.0, one.place.half_within_m), (0.0, one.place.most_within_m)
            at = f"T+{one.after_launch_s / 60.0:.0f}, no fix"
            yield promise("off its place", at, "m", Told(0.0, *rings), Came(miss_m))


class Outcome(NamedTuple):
    """How a flight came out: its parts, where it landed, and when the release was sent, if it was.

    `sent_s`: after the launch.
    """

    flight: Parted
    landed: Landed
    sent_s: float | None = None


def stated_of(outcome: Outcome, advices: Sequence[Advice], row: int) -> Iterator[StatedChance]:
    """Yield the chances that advice told and of which the outcome is known; `row`: of the flight.

    Of the field, when it was let go; of a burst within the longest wait told, at moments so far
    apart that no two are of the same minutes. Whether a wait counts must not hang on how it came:
    one that a release could cut is left out whether or not the balloon burst in it.
    """
    flight, landed, _ = outcome
    until_s = flight.until_s
    if until_s is None:
        return
    last_s = -np.inf
    for one in advices:
        longest = max(one.waiting, key=lambda each: each.seconds, default=None)
        if longest is None or one.after_launch_s - last_s < longest.seconds:
            continue
        end_s = one.after_launch_s + longest.seconds
        is_seen = end_s <= until_s or (flight.ended == "burst" and one.after_launch_s < until_s)
        if is_seen and end_s <= _cut_s(outcome, one, advices):
            last_s = one.after_launch_s
            yield StatedChance(
                flight=row,
                what=f"a burst within {longest.seconds / 60.0:.0f} min",
                after_launch_s=one.after_launch_s,
                chance_ratio=longest.burst_ratio,
                came=end_s > until_s,
            )
    yield from _home(flight, landed, advices, row)


def _cut_s(outcome: Outcome, one: Advice, advices: Sequence[Advice]) -> float:
    """Return when a release could first have cut a wait: sent, or due by what was told by then.

    An order that was sent cuts, and so does the earliest release-by told since the wait began: a
    crew that keeps to the advice has let go by then.
    """
    until_s = outcome.flight.until_s or 0.0
    due_s = [
        each.release.release_by_after_launch_s
        for each in advices
        if each.release is not None and one.after_launch_s <= each.after_launch_s < until_s
    ]
    sent_s = math.inf if outcome.sent_s is None else outcome.sent_s
    return min([sent_s, *due_s])


def _home(
    flight: Parted, landed: Landed, advices: Sequence[Advice], row: int
) -> Iterator[StatedChance]:
    """Yield the chance of the field flown to, told just before it was let go."""
    until_s = flight.until_s
    if flight.ended != "released" or not landed.is_known or until_s is None:
        return
    known = [one for one in advices if 0.0 <= until_s + 1.0 - one.after_launch_s <= _RELEASE_S]
    if not known or not known[-1].fields:
        return
    last = known[-1]
    aimed = last.release.field if last.release else last.fields[0].name
    name = landed.field or aimed
    for one in last.fields:
        if one.name == name:
            yield StatedChance(
                flight=row,
                what=f"{one.name}, let go then",
                after_launch_s=last.after_launch_s,
                chance_ratio=one.chance_ratio,
                came=landed.field == one.name,
            )


def _bursts(flight: Parted, top_m: float, advices: Sequence[Advice]) -> Iterator[Promise]:
    for height_m in _AT_M:
        near = [
            (abs(one.place.amsl_m - height_m), one.burst.amsl_m)
            for one in advices
            if one.burst is not None and abs(one.place.amsl_m - height_m) < _FAR_M
        ]
        spread = None
        if near and height_m < top_m:
            spread = min(near, key=lambda each: each[0])[1]
        if spread is None or not np.isfinite([spread.p10, spread.p50, spread.p90]).all():
            continue
        told = Told(spread.p50, None, (spread.p10, spread.p90))
        at = f"at {height_m / 1000.0:.0f} km, {EIGHT}"
        yield promise("burst height", at, "m", told, Came(top_m, flight.ended != "burst"))


def _missed_m(planned: Ensemble, flight: Parted, one: Advice) -> float | None:
    """Return how far from the place told it was, None where no later fix shows that."""
    been = flight.whole
    at_s = one.after_launch_s
    if not len(been.t_s) or not been.t_s[0] <= at_s <= been.t_s[-1]:
        return None
    north, east = (float(np.interp(at_s, been.t_s, row)) for row in been[2:])
    place = place_at(planned.sortie.launch, north, east, 0.0)
    told = Place(lat_deg=one.place.lat_deg, lon_deg=one.place.lon_deg, amsl_m=0.0)
    return geodesic(told, place).distance_m
