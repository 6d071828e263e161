"""What a question is asked of, as a command line tells it: the ride, the moment, the car."""

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Final, NamedTuple

from farglide.atlas.fields import Field
from farglide.cli.export import log_notes, read_fixes
from farglide.cli.moments import moment_of
from farglide.earth.geodesy import geodesic
from farglide.earth.state import Place, place_of
from farglide.errors import AnswerError, FlightFileError, InputError, SourceError, check_range
from farglide.flightfile.flightfile import flight_of_text
from farglide.live.asking import thinned
from farglide.live.questioned import grade_of
from farglide.live.resume import ride_in
from farglide.live.ride.belief import Jury
from farglide.live.ride.standing import crew_place
from farglide.live.ride.state import Ride
from farglide.live.ride.task import Entered
from farglide.live.stated import Expect, Line, ride_of, with_typed
from farglide.present.say.cards import CARDS
from farglide.sortie.spec import Launch, Sortie
from farglide.sortie.words import number_text
from farglide.track.journal.reader import is_log, open_log
from farglide.track.reports import Fix
from farglide.track.typed.entries import Mark, MarkKind
from farglide.track.typed.known import named
from farglide.track.typed.numbers import cleaned, place_typed, tokens

_DAY_S: Final = 86_400.0
_RELEASED: Final = 2**31
"""The number of a mark that no record holds."""
_TIMED: Final = re.compile(
    r"((?:\d{1,2}:\d{2}(?::\d{2})?)|(?:[tT]\+\d+(?:[.,]\d+)?))\s+(.+)", re.ASCII
)

_OTHER_PLACE_KM: Final = 200.0
_OTHER_DAY_H: Final = 24.0
"""Farther or later than that no launch is moved on its day."""
_OVER: Final = re.compile(r"over\s+(\d{1,2}:\d{2}(?::\d{2})?)\s", re.ASCII | re.IGNORECASE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Typed:
    """What the command line told, word for word. `clock_t_s`: of this computer."""

    question: str
    track: Path | None = None
    lines: tuple[str, ...] = ()
    feed: str | None = None
    launched: str | None = None
    at: str | None = None
    car: str | None = None
    released: str | None = None
    grade: int | None = None
    card: str | None = None
    clock_t_s: float | None = None


class Stated(NamedTuple):
    """A ride as it is stated, and what is to be said of it."""

    ride: Ride
    notes: tuple[str, ...]


def stated(typed: Typed, sortie: Sortie, expect: Expect | None = None) -> Stated:
    """Return the ride that a log, a track and typed lines amount to.

    `expect`: where the plan has it, for a hand-over of which no recent place is known.
    """
    ride, notes = Ride(), tuple[str, ...]()
    until_t_s = moment_of("--at", typed.at, sortie.launch) if typed.at else math.inf
    if typed.track is not None and typed.feed is None and is_log(typed.track):
        _check_its_flight(typed.track, sortie.launch)
        ride, notes = ride_in(typed.track, sortie, until_t_s), log_notes(typed.track)
    elif typed.track is not None:
        fixes, notes = read_fixes(typed.track)
        ride = ride_of(_known(_of_feed(fixes, typed.feed), until_t_s), sortie.launch)
    lines = _lines(typed, ride, sortie)
    launch = launched(sortie.launch, typed.launched)
    ride = with_typed(ride, lines, replace(sortie, launch=launch), expect)
    if typed.released is not None:
        t_s = moment_of("--released", typed.released, sortie.launch)
        mark = Entered(number=_RELEASED, t_s=t_s, entry=Mark(kind=MarkKind.RELEASED))
        ride = replace(ride, entries=(*ride.entries, mark))
    return Stated(ride, notes)


def _check_its_flight(log: Path, launch: Launch) -> None:
    """Refuse a log of a launch far away, or of another day; an edited flight file is none."""
    with open_log(log) as (head, _):
        pass
    try:
        was = flight_of_text(head.flight, log).sortie
    except FlightFileError:
        return  # of an older farglide: nothing tells
    away_km = geodesic(place_of(was.launch), place_of(launch)).distance_m / 1e3
    hours = abs(was.launch.t_s - launch.t_s) / 3600.0
    if away_km > _OTHER_PLACE_KM or hours > _OTHER_DAY_H:
        away = f"{number_text(away_km)} km"
        what = (
            f"is the log of another flight, {was.name}: its launch lies {away} from that "
            f"of this flight file, {number_text(hours)} h apart."
        )
        raise SourceError(str(log), "head", what, "Give the flight file that belongs to it.")


def _lines(typed: Typed, ride: Ride, sortie: Sortie) -> list[Line]:
    """Return typed lines with their own times, else that of the question."""
    timed = [_timed(text.strip(), sortie) for text in typed.lines]
    known_s = [one.t_s for one in timed if one is not None]
    return [
        one or Line(
            t_s=asked_t_s(typed, ride, sortie, known_s), text=text, is_timed=typed.at is not None
        )
        for one, text in zip(timed, typed.lines, strict=True)
    ]  # fmt: skip


def _timed(text: str, sortie: Sortie) -> Line | None:
    """Return a line that tells its own time; a hand-over may be of up to a minute later."""
    if (over := _OVER.match(text)) is not None:
        t_s = moment_of("--typed", over[1], sortie.launch)
        return Line(t_s=t_s, text=text, is_timed=False)
    if (match := _TIMED.fullmatch(text)) is not None:
        return Line(t_s=moment_of("--typed", match[1], sortie.launch), text=match[2])
    return None


def asked_t_s(typed: Typed, ride: Ride, sortie: Sortie, also_s: Sequence[float] = ()) -> float:
    """Return the moment asked about: as told, else the last of log or track, else by the clock.

    A log that is not finished says by its last record when it is. `also_s`: of timed lines, UTC.
    """
    if typed.at:
        return moment_of("--at", typed.at, sortie.launch)
    last = [_t_s(one) for one in ride.fixes()] + [one.t_s for one in ride.entries]
    last += also_s
    if ride.ahead_s is not None and not ride.is_over:
        last.append(ride.at_s + ride.ahead_s)
    if last:
        return max(last)
    clock_t_s = typed.clock_t_s
    if clock_t_s is None or not 0.0 <= clock_t_s - sortie.launch.t_s < _DAY_S:
        remedy = "Without a track, and on another day than the flight's, say when: --at 17:40."
        raise InputError("--at", "missing", "HH:MM, or T+MINUTES", remedy)
    return clock_t_s


def _of_feed(fixes: tuple[Fix, ...], feed: str | None) -> tuple[Fix, ...]:
    """Return the fixes of one feed: the one named, or the only one."""
    feeds = list(dict.fromkeys(fix.feed for fix in fixes))
    if feed is None and len(feeds) <= 1:
        return fixes
    if feed not in feeds:
        told = "missing" if feed is None else repr(feed)
        remedy = "Which of them is on the balloon?"
        raise InputError("--feed", told, ", ".join(map(repr, feeds)), remedy)
    return tuple(fix for fix in fixes if fix.feed == feed)


def _known(fixes: tuple[Fix, ...], until_t_s: float) -> tuple[Fix, ...]:
    """Return what a track tells up to a moment, UTC; it tells something."""
    timed = thinned(fixes)
    if not timed:
        raise InputError("--track", "without a time in any fix", "fixes with times")
    known = thinned(one for one in timed if _t_s(one) <= until_t_s)
    if not known:
        remedy = "The track begins after --at: ask of a later moment, or without the track."
        raise InputError("fixes", "none", "one with a height, after the launch", remedy)
    return known


def launched(launch: Launch, text: str | None) -> Launch:
    """Return the launch as it was: at the time told, else as the ride has it."""
    return replace(launch, t_s=moment_of("--launched", text, launch)) if text else launch


def fields_left(sortie: Sortie, ride: Ride) -> tuple[Field, ...]:
    """Return the fields that are not refused."""
    found = tuple(one for one in sortie.fields if one.name not in ride.refused)
    if not found:
        raise InputError("fields", "all refused", "one or more", "Take one back: undo.")
    return found


def card_named(name: str) -> str:
    """Return the name of a card, completed."""
    try:
        return named(name, sorted(CARDS), "card")
    except AnswerError as error:
        raise InputError("--card", repr(name), "the name of a card", str(error)) from None


def grade_told(typed: Typed, ride: Ride) -> int | None:
    """Return the grade of the picture: as told, else the one that was typed last."""
    if typed.grade is not None:
        check_range("picture grade", typed.grade, "", (0, 5), "5 is clear, 0 is no picture.")
        return typed.grade
    return grade_of(ride) if typed.card is None else None


def car_told(typed: Typed, ride: Ride, sortie: Sortie) -> Place | None:
    """Return where the car is: as told, else as the ride has it; None where nobody told."""
    if typed.car is None:
        return crew_place(sortie, ride.entries, Jury(sortie.feeds, sortie.launch).car(ride))
    try:
        if any(sign.isdigit() for sign in typed.car):
            return _place(*place_typed(tokens(cleaned(typed.car))))
        name = named(typed.car, [one.name for one in sortie.stands], "stand")
    except AnswerError as error:
        raise InputError("--car", repr(typed.car), "a stand, or LAT, LON", str(error)) from None
    stand = next(one for one in sortie.stands if one.name == name)
    return _place(stand.lat_deg, stand.lon_deg)


def _place(lat_deg: float, lon_deg: float) -> Place:
    return Place(lat_deg=lat_deg, lon_deg=lon_deg, amsl_m=0.0)


def _t_s(fix: Fix) -> float:
    return fix.t_s or 0.0
