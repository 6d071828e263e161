"""Session: the one function that makes a ride: (ride, record) to (ride, advice or none)."""

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from farglide.chances.advising import advice_now
from farglide.chances.onward import Seen
from farglide.errors import SourceError
from farglide.live.ride.belief import Jury, noted_of
from farglide.live.ride.changed import change_words
from farglide.live.ride.entered import entry_of, taken_back
from farglide.live.ride.reading import READ, seen_alone, with_point
from farglide.live.ride.slow import Made, Make, Tables
from farglide.live.ride.state import Entered, Phase, Ride, Task, launch_of, phase_of
from farglide.live.ride.steady import steadied
from farglide.live.ride.told import Told, summary_of, told_of
from farglide.outlook.advice import Advice
from farglide.present.say.text import FlightClock
from farglide.sortie.feeds import FeedSpec
from farglide.sortie.spec import Launch, Sortie
from farglide.track.journal.frame import Kind, Record
from farglide.track.journal.payload import document_of, fix_of, raw_of
from farglide.track.passage import Launched, been_of
from farglide.track.reports import Fix

LEAST_S: Final = 0.15
"""Between the last advice and the next fix that brings another: a flood is answered so often."""
KEPT_S: Final = 1.0
"""Between fixes that are kept to learn from."""
SAID_S: Final = 60.0
"""So long a change is told, if no other follows."""
_NOTED: Final = 50
_ASKING: Final = (Kind.TICK, Kind.TYPED, Kind.MARK, Kind.UNDO)


class Session:
    """Steps the ride of one flight. It reads no clock, and what it returns hangs on its arguments.

    `specs`: the feeds, the one to be followed first; `make`: gives the tables of a task, the same
    whenever it is asked.
    """

    def __init__(self, sortie: Sortie, specs: Sequence[FeedSpec], make: Make) -> None:
        self.sortie, self.jury = sortie, Jury(specs, sortie.launch)
        self._make = make

    def step(self, ride: Ride, record: Record) -> tuple[Ride, Advice | None]:
        """Return the ride behind a record, and what is advised there, if it changes anything.

        Raises SourceError where the record says nothing that its kind can say.
        """
        try:
            after = self.behind(ride, record)
        except ValueError as error:
            raise SourceError("the log", f"record {record.number}", f"{error}.") from None
        if not _asks(ride, after, record):
            return after, None
        return self._advised(after, record)

    def launch(self, ride: Ride) -> Launch:
        """Return the launch as it was."""
        return launch_of(ride, self.sortie.launch)

    def refused(self, ride: Ride) -> tuple[str, ...]:
        """Return which fields of the flight nobody may land on."""
        known = {one.name for one in self.sortie.fields}
        return tuple(one for one in ride.refused if one in known)

    def task(self, ride: Ride, number: int, now_t_s: float) -> Task:
        """Return what tables would be computed from, begun by a record."""
        return Task(
            number=number,
            launch=self.launch(ride),
            refused=self.refused(ride),
            fixes=ride.fixes(),
            now_t_s=now_t_s,
            points=ride.points,
            entries=tuple(one for one in ride.entries if isinstance(one.entry, READ)),
        )

    def made(self, ride: Ride) -> Made | None:
        """Return the tables in use, or why there can be none; None before the first."""
        return None if ride.used is None else self._make(ride.used)

    def behind(self, ride: Ride, record: Record) -> Ride:
        """Return the ride behind a record, nothing advised."""
        ride = replace(ride, at_s=record.monotonic_s)
        if record.kind is Kind.RAW:
            name = raw_of(record).feed
            return ride.with_feed(name, replace(ride.feed(name), heard_s=record.monotonic_s))
        if record.kind is Kind.FIX:
            return self._with_fix(ride, fix_of(record), record)
        if record.kind in (Kind.TYPED, Kind.MARK):
            t_s, entry = entry_of(record)
            entered = Entered(number=record.number, t_s=t_s, entry=entry, car=self.jury.car(ride))
            return replace(ride, entries=(*ride.entries, entered))
        if record.kind is Kind.UNDO:
            number = taken_back(record)
            left = tuple(one for one in ride.entries if one.number != number)
            return replace(ride, entries=left)
        if record.kind is Kind.NOTE:
            return self._with_note(ride, record)
        if record.kind is Kind.LEARNT:
            return self._with_learnt(ride, record)
        if record.kind is Kind.ADVICE:
            return replace(ride, told=told_of(record))
        return replace(ride, is_over=record.kind is Kind.END)  # of a head or a tick only its time

    def _with_fix(self, ride: Ride, fix: Fix, record: Record) -> Ride:
        leads = self.jury.leads(ride, fix.feed, record.monotonic_s)
        now = self.jury.received(fix, record.utc_s)
        feed = replace(
            ride.feed(fix.feed),
            believed=now,
            believed_s=record.monotonic_s,
            doubted=None,
            n_doubted=0,
        )
        ride = ride.with_feed(fix.feed, feed)
        if not leads:
            return ride
        if fix.height_m is None:
            return with_point(ride, replace(fix, t_s=now.t_s))
        t_s = now.t_s
        is_apart = not ride.kept or abs(t_s - (ride.kept[-1].t_s or 0.0)) >= KEPT_S
        kept = (*ride.kept, fix) if is_apart else ride.kept
        return replace(ride, kept=kept, newest=fix, ahead_s=t_s - record.monotonic_s)

    def _with_note(self, ride: Ride, record: Record) -> Ride:
        noted, doubted = noted_of(record)
        ride = replace(ride, noted=(*ride.noted, noted)[-_NOTED:])
        if doubted is None:
            return ride
        feed = ride.feed(noted.feed)
        received = self.jury.received(Fix(**doubted), record.utc_s)
        feed = replace(feed, doubted=received, n_doubted=feed.n_doubted + 1)
        return ride.with_feed(noted.feed, feed)

    def _with_learnt(self, ride: Ride, record: Record) -> Ride:
        said = document_of(record)
        if "begun_t_s" in said:
            return replace(ride, begun=self.task(ride, record.number, float(said["begun_t_s"])))
        if said.get("used"):
            return replace(ride, used=ride.begun, begun=None)
        return replace(ride, used=None, begun=None)

    def _advised(self, ride: Ride, record: Record) -> tuple[Ride, Advice | None]:
        now_t_s, launch = ride.now_t_s(record.monotonic_s, record.utc_s), self.launch(ride)
        made = self.made(ride) if phase_of(ride, launch, now_t_s).is_carried else None
        if not isinstance(made, Tables) or made.task.launch != launch:
            return ride, None
        now_s, seen = now_t_s - launch.t_s, self._seen(made, ride)
        now_s = max(now_s, seen.after_launch_s)
        if now_s > made.ends_s:
            return ride, None
        advice = _without(advice_now(made.of, seen, now_s), ride.refused)
        return self._shown(ride, advice, record.monotonic_s)

    def _seen(self, made: Tables, ride: Ride) -> Seen:
        """Return where the balloon was seen last, no earlier than the tables go on from."""
        ensemble, last = made.of.known.ensemble, ride.balloon
        launched = Launched(utc_s=made.task.launch.t_s)
        been = been_of(() if last is None else (last,), launched, ensemble.air.scene)
        seen = made.seen
        if len(been.t_s) and been.t_s[-1] >= seen.after_launch_s:
            seen = Seen(*(float(one[-1]) for one in been))
        return seen_alone(seen, ride, made.task.launch)

    def _shown(self, ride: Ride, advice: Advice, at_s: float) -> tuple[Ride, Advice]:
        """Return an advice as it is shown, with what changed; the ride holds what that hangs on."""
        told, launch = ride.told, self.launch(ride)
        shown, since_s = steadied(advice, told, at_s, self.sortie.wish)
        phase = phase_of(ride, launch, launch.t_s + advice.after_launch_s)
        order = "" if phase is Phase.CLIMB else phase.value
        summary = replace(summary_of(shown, launch.t_s), order=order, launch_t_s=launch.t_s)
        before = told.before or summary
        clock = FlightClock(launch_t_s=launch.t_s, zone=launch.zone)
        words = change_words(before, summary, clock)
        changed, changed_s = (words, at_s) if words else (told.changed, told.changed_s)
        if at_s - changed_s >= SAID_S:
            changed = ""
        telling = Told(
            since_s=since_s,
            before=summary if words else before,
            changed=changed,
            changed_s=changed_s,
        )
        return replace(ride, telling=telling), replace(shown, changed=changed)


def _asks(before: Ride, after: Ride, record: Record) -> bool:
    """Tell whether a record may bring an advice."""
    if record.kind in _ASKING:
        return True
    if record.kind is Kind.LEARNT:
        return after.used is not before.used and after.used is not None
    if record.kind is not Kind.FIX or after.newest is before.newest:
        return False
    last_s = after.told.at_s
    return last_s is None or not 0.0 <= record.monotonic_s - last_s < LEAST_S


def _without(advice: Advice, refused: tuple[str, ...]) -> Advice:
    """Return an advice without fields that were refused since its tables were made."""
    if not any(one.name in refused for one in advice.fields):
        return advice
    fields = tuple(one for one in advice.fields if one.name not in refused)
    release = advice.release
    if release is not None and release.field in refused:
        release = None
    return replace(advice, fields=fields, release=release)
