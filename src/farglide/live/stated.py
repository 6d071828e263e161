"""Stated: the ride that a track, a log or typed lines amount to, for one question."""

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Final

from farglide.earth.state import Place
from farglide.errors import AnswerError, InputError
from farglide.live.entering import known_of, last_of
from farglide.live.ride.stage import loosed_by
from farglide.live.ride.state import Ride
from farglide.live.ride.task import Entered
from farglide.sortie.feeds import FeedSpec, Where
from farglide.sortie.spec import Launch, Sortie
from farglide.track.handover.sentence import HandedOver
from farglide.track.liftoff import liftoff_t_s
from farglide.track.received import Received
from farglide.track.reports import Fix
from farglide.track.typed.entries import Entry, MarkKind, Undo
from farglide.track.typed.known import AskedBack, Known, LastPlace, Understood
from farglide.track.typed.parse import is_direction
from farglide.track.typed.typed import typed

CAR: Final = "car, as told"
"""The feed of where the car was told to be, where it has no receiver."""
_OVER: Final = "over "
Expect = Callable[[float, LastPlace | None], LastPlace | None]
"""Where the plan has the balloon at a moment, UTC, moved by what the last place was off it."""
_RECENT: Final = 60
"""So many fixes before one hold the half minute that tells a fall: one a second is kept."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """A line as it is typed in a ride, and when, UTC.

    `is_timed`: nothing tells when it was typed but what was heard last; a hand-over may be newer.
    """

    t_s: float
    text: str
    is_timed: bool = True


def ride_of(fixes: Sequence[Fix], planned: Launch) -> Ride:
    """Return a ride that has heard some fixes, rising in time, and nothing else."""
    lifted_t_s = liftoff_t_s(fixes, planned.amsl_m)
    return Ride(kept=tuple(fixes), newest=fixes[-1] if fixes else None, lifted_t_s=lifted_t_s)


def with_falls(ride: Ride, launch: Launch) -> Ride:
    """Return a ride that has seen in its fixes, in their order, whether its flight came loose."""
    loosed = None
    for n, fix in enumerate(ride.kept, start=1):
        by_then = tuple(one for one in ride.entries if one.t_s <= (fix.t_s or 0.0))
        recent = ride.kept[max(n - _RECENT, 0) : n]
        seen = Ride(kept=recent, newest=fix, loosed=loosed, entries=by_then)
        loosed = loosed_by(seen, launch)
    return replace(ride, loosed=loosed)


def with_typed(
    ride: Ride, lines: Iterable[Line], sortie: Sortie, expect: Expect | None = None
) -> Ride:
    """Return a ride in which some lines were typed, in the order of their times.

    A launch that nobody marked is that of the sortie. `expect`: where the plan has it, for a
    hand-over or a direction of which no recent place is known. Raises InputError where a line
    contradicts what is known: nobody is there to be asked back. A direction that is given twice is
    meant as it stands.
    """
    said = sorted(lines, key=lambda one: one.t_s)
    for number, line in enumerate(said, start=1):
        try:
            if is_direction(line.text) and line in said[: number - 1]:
                continue
            found = typed(line.text, _known(ride, line, sortie, expect))
        except AnswerError as error:
            allowed = "an entry of a ride"
            raise InputError("--typed", repr(line.text), allowed, str(error)) from None
        if isinstance(found, AskedBack):
            found = _meant(found, line, is_twice=said.count(line) > 1)
        if isinstance(found.entry, Undo):
            back = last_of(ride, found.entry)
            left = tuple(one for one in ride.entries if one.number != back)
            ride = replace(ride, entries=left)
            continue
        entered = Entered(number=-number, t_s=_said_t_s(found.entry, line), entry=found.entry)
        ride = replace(ride, entries=(*ride.entries, entered))
    return ride


def _meant(asked: AskedBack, line: Line, *, is_twice: bool) -> Understood:
    """Return a direction that is given twice, as it stands; refuse all else that is asked back."""
    as_typed = asked.typed if is_direction(line.text) else None
    if as_typed is not None and is_twice:
        return as_typed
    how = "" if as_typed is None else " To have it taken as it stands, give it twice."
    raise InputError("--typed", repr(line.text), "what fits the rest", f"{asked.words}{how}")


def _known(ride: Ride, line: Line, sortie: Sortie, expect: Expect | None) -> Known:
    """Return what a line is held against: nobody can be asked, so the launch is known by clock."""
    known = known_of(ride, sortie, line.t_s)
    begun = known.begun
    is_up = known.is_launched or (begun is not None and line.t_s >= begun.t_s)
    known = replace(known, is_launched=is_up, ahead_s=known.ahead_s if line.is_timed else math.inf)
    is_free = any(one in known.marks for one in (MarkKind.RELEASED, MarkKind.BURST))
    if expect is None or is_free or not _is_of_place(line.text):
        return known
    return replace(known, expected=expect(line.t_s, known.last))


def _is_of_place(text: str) -> bool:
    """Tell whether a line says something that fits one place alone: a hand-over, a direction."""
    return text.strip().casefold().startswith(_OVER) or is_direction(text)


def _said_t_s(entry: Entry, line: Line) -> float:
    """Return when a line was typed: a hand-over of a moment that is told not before that."""
    if line.is_timed or not isinstance(entry, HandedOver):
        return line.t_s
    return max(line.t_s, entry.at_t_s)


def with_car_feed(specs: Sequence[FeedSpec]) -> tuple[FeedSpec, ...]:
    """Return the feeds of a flight with one of the car, which none may have been stated for."""
    if any(one.of == "car" for one in specs):
        return tuple(specs)
    return (*specs, FeedSpec(name=CAR, where=Where(kind="file"), format="csv", of="car"))


def with_car(ride: Ride, specs: Sequence[FeedSpec], car: Place, t_s: float) -> Ride:
    """Return a ride whose car was last told of at a place, UTC; `specs`: of `with_car_feed`."""
    spec = next(one for one in specs if one.of == "car")
    fix = Fix(feed=spec.name, lat_deg=car.lat_deg, lon_deg=car.lon_deg, t_s=t_s)
    believed = Received(fix=fix, source=spec, utc_s=t_s)
    now = replace(ride.feed(spec.name), believed=believed, believed_s=ride.at_s)
    return ride.with_feed(spec.name, now)
