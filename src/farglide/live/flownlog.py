"""Flown log: what the log of a ride or of a rehearsal says of its flight, read once, tolerantly."""

from bisect import bisect_left
from collections import Counter
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Final

from farglide.errors import SourceError
from farglide.live.ride.advised import advice_read
from farglide.live.ride.entered import entry_of, taken_back
from farglide.live.ride.phase import launched_t_s
from farglide.outlook.advice import Advice
from farglide.review.flown import TYPED, Flown, Heard, Marked, Typed, What
from farglide.sortie.feeds import FeedSpec, of_name
from farglide.sortie.spec import Launch
from farglide.track.journal.frame import Kind, Record
from farglide.track.journal.payload import document_of, fix_of
from farglide.track.journal.reader import left_words, open_log, survey
from farglide.track.liftoff import liftoff_t_s
from farglide.track.reports import Fix
from farglide.track.typed.entries import LaunchLate, LaunchMoved, Mark, MarkKind, Overlay

ALONE_S: Final = 60.0
"""A second feed stands in where the first was silent for so long."""
_READ: Final = (Kind.FIX, Kind.TYPED, Kind.MARK, Kind.UNDO, Kind.ADVICE)
_MARKS: Final = {
    MarkKind.LAUNCHED: What.LAUNCHED, MarkKind.SENT: What.SENT, MarkKind.STUCK: What.STUCK,
    MarkKind.RELEASED: What.RELEASED, MarkKind.BURST: What.BURST, MarkKind.LOST: What.LOST,
    MarkKind.BACK: What.BACK, MarkKind.LAST: What.LAST, MarkKind.DEAD: What.DEAD,
    MarkKind.LANDED: What.DOWN,
}  # fmt: skip


@dataclass(slots=True)
class _Found:
    """What was read so far; entries by the number of their record, so that they can be undone."""

    fixes: list[Fix] = field(default_factory=list)
    entries: dict[int, Typed | Marked] = field(default_factory=dict)
    advices: list[Advice] = field(default_factory=list)
    unread: Counter[str] = field(default_factory=Counter)


def flown_of_log(log: Path, specs: tuple[FeedSpec, ...]) -> Flown:
    """Return what a log says of its flight, up to where it checks.

    A record that says nothing its kind can say is left out, counted and told. Raises SourceError
    where it is no log, or holds records of a newer kind. `specs`: the feeds of its flight file.
    """
    found, state = _Found(), survey(log)
    with open_log(log) as (head, scan):
        for record in scan.of(_READ):
            try:
                _take(found, record)
            except (ValueError, KeyError, TypeError):
                found.unread[record.kind.name.lower()] += 1
    entries = [found.entries[number] for number in sorted(found.entries)]
    typed = tuple(one for one in entries if isinstance(one, Typed))
    notes = [f"Left out {n} records ({name}) that cannot be read." for name, n in
             sorted(found.unread.items())]  # fmt: skip
    if head.speed is not None:
        notes.append(_rehearsed(head.speed))
    if left := left_words(state):
        notes.append(f"{left} What stands before is reviewed.")
    if not state.is_finished:
        notes.append("The log is unfinished: this is the flight so far.")
    if state.n_lost:
        notes.append(f"{state.n_lost} records never reached the log: fixes may be missing.")
    glider = _of(found.fixes, specs, is_car=False)
    return Flown(
        path=str(log),
        is_log=True,
        is_finished=state.is_finished,
        fixes=_merged(glider, _names(glider, specs), typed),
        cars=tuple(_of(found.fixes, specs, is_car=True)),
        marked=tuple(one for one in entries if isinstance(one, Marked)),
        typed=typed,
        advices=tuple(found.advices),
        notes=tuple(notes),
        heard=tuple(Heard(one.t_s, one.feed) for one in glider if one.t_s is not None),
        speed=head.speed,
    )


def _rehearsed(speed: float) -> str:
    drawn = "A rehearsal: its balloon, glider and air were drawn, so it measures none of yours."
    if speed == 1.0:
        return drawn
    return f"{drawn} At {speed:g} times real time the crew's reaction counts for nothing either."


def launch_as_was(flown: Flown, planned: Launch) -> Launch:
    """Return the launch as it was: moved or late as typed, at its mark where there is one.

    A mark that the climb itself contradicts was typed late, and is not taken.
    """
    lat_deg, lon_deg, t_s = planned.lat_deg, planned.lon_deg, planned.t_s
    for one in flown.typed:
        if isinstance(one.entry, LaunchMoved):
            lat_deg, lon_deg = one.entry.lat_deg, one.entry.lon_deg
        elif isinstance(one.entry, LaunchLate):
            t_s = planned.t_s + one.entry.late_s
    marked = flown.last(What.LAUNCHED)
    said_t_s = t_s if marked is None else marked.t_s
    lifted_t_s = liftoff_t_s(flown.fixes, planned.amsl_m) if marked is not None else None
    return Launch(
        name=planned.name,
        lat_deg=lat_deg,
        lon_deg=lon_deg,
        amsl_m=planned.amsl_m,
        t_s=launched_t_s(lifted_t_s, said_t_s, is_marked=marked is not None),
        zone=planned.zone,
        may_drive_s=planned.may_drive_s,
    )


def _take(found: _Found, record: Record) -> None:
    if record.kind is Kind.FIX:
        found.fixes.append(fix_of(record))
    elif record.kind is Kind.UNDO:
        found.entries.pop(taken_back(record), None)
    elif record.kind is Kind.ADVICE:
        document: dict[str, Any] = document_of(record)
        found.advices.append(advice_read(document.get("advice", document)))
    else:
        found.entries[record.number] = _entry(record)


def _entry(record: Record) -> Typed | Marked:
    """Return an entry of a ride, or what a rehearsal tells that happened."""
    document = document_of(record)
    if "mark" in document:
        field_name = document.get("field") or ""
        return Marked(t_s=record.utc_s, what=What(document["mark"]), field=str(field_name))
    t_s, entry = entry_of(record)
    if isinstance(entry, Mark):
        return Marked(t_s=t_s, what=_MARKS[entry.kind])
    return Typed(t_s=t_s, entry=entry)


def _of(fixes: list[Fix], specs: tuple[FeedSpec, ...], is_car: bool) -> list[Fix]:
    cars = {one.name for one in specs if one.of == "car"}
    known = {one.name for one in specs}
    return [
        one
        for one in fixes
        if (one.feed in cars or (one.feed not in known and of_name(one.feed) == "car")) == is_car
    ]


def _names(fixes: list[Fix], specs: tuple[FeedSpec, ...]) -> list[str]:
    """Return the feeds of the glider, the one to be followed first."""
    heard = dict.fromkeys(one.feed for one in fixes)
    return [*(one.name for one in specs if one.name in heard), *heard]


def _merged(fixes: list[Fix], names: list[str], typed: tuple[Typed, ...]) -> tuple[Fix, ...]:
    """Return the fixes of the first feed, and of others and typed ones where it was silent."""
    read = [fix for one in typed if (fix := _read_off(one)) is not None]
    kept: list[Fix] = []
    for name in dict.fromkeys([*names, TYPED]):
        known_s = sorted(one.t_s or 0.0 for one in kept)
        mine = read if name == TYPED else [one for one in fixes if one.feed == name]
        kept += [one for one in mine if _is_alone(one.t_s or 0.0, known_s)]
    return tuple(sorted(kept, key=lambda one: one.t_s or 0.0))


def _is_alone(t_s: float, known_s: list[float]) -> bool:
    k = bisect_left(known_s, t_s)
    near = known_s[max(k - 1, 0) : k + 1]
    return all(abs(t_s - one) > ALONE_S for one in near)


def _read_off(one: Typed) -> Fix | None:
    """Return digits off the picture as a fix; None where place or height is not among them."""
    entry = one.entry
    if not isinstance(entry, Overlay):
        return None
    if entry.lat_deg is None or entry.lon_deg is None or entry.amsl_m is None:
        return None
    return Fix(
        feed=TYPED,
        lat_deg=entry.lat_deg,
        lon_deg=entry.lon_deg,
        t_s=one.t_s,
        height_m=entry.amsl_m,
    )


def check_its_flight(log: Path, flown: Flown, launch: Launch) -> None:
    """Refuse a log none of whose fixes is of the day and the region of its launch."""
    if not flown.fixes:
        return
    near = [one for one in flown.fixes if _is_near(one, launch)]
    if not near:
        what = "holds no fix of the day and the region of its launch: fixes of another flight?"
        raise SourceError(str(log), "fixes", what, "Look at launch_at and at what was plugged in.")


def _is_near(fix: Fix, launch: Launch) -> bool:
    away_deg = max(abs(fix.lat_deg - launch.lat_deg), abs(fix.lon_deg - launch.lon_deg) % 360.0)
    return away_deg < 10.0 and abs((fix.t_s or launch.t_s) - launch.t_s) < 86_400.0
