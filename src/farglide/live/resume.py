"""Resume: a ride begun, or gone on with from its log, and its log replayed."""

import math
from collections.abc import Generator, Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Final

from farglide.live.behind import Behind
from farglide.live.ride.advised import advice_read
from farglide.live.ride.beside import Again
from farglide.live.ride.state import Ride
from farglide.live.ride.tables import Make
from farglide.live.ride.task import Task
from farglide.live.ride.told import advice_payload
from farglide.live.session import Session
from farglide.outlook.advice import Advice
from farglide.sortie.feeds import FeedSpec
from farglide.sortie.spec import Sortie
from farglide.track.journal.frame import Kind, Record
from farglide.track.journal.head import Head
from farglide.track.journal.journal import Journal, Moment, Run
from farglide.track.journal.opening import begin, resume
from farglide.track.journal.payload import document_of
from farglide.track.journal.reader import left_words, open_log

_READ: Final = tuple(kind for kind in Kind if kind not in (Kind.HEAD, Kind.RAW))
"""What a ride hangs on; bytes of feeds tell no more than when they came."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Opened:
    """A log to ride with, the ride that stands in it, and what was advised last."""

    journal: Journal
    ride: Ride
    advice: Advice | None
    notes: tuple[str, ...]

    @property
    def is_new(self) -> bool:
        """Tell whether nothing stands in it yet."""
        return self.journal.last.kind is Kind.HEAD


def begin_at(path: Path, head: Head, when: Moment, run: Run | None = None) -> Opened:
    """Return a new log at a moment, and the ride before its first record."""
    journal = begin(path, head, when, run)
    return Opened(journal=journal, ride=Ride(), advice=None, notes=())


def resume_at(path: Path, head: Head, session: Behind, run: Run | None = None) -> Opened:
    """Return the log of a ride that goes on, and the ride behind its last whole record."""
    found = resume(path, head, run)
    notes = [f"Gone on with after {found.found.n_records} records."]
    if left := left_words(found.found):
        notes.append(f"{left} They are kept in {found.beside}." if found.beside else left)
    ride, advice = behind(session, path)
    return Opened(journal=found.journal, ride=ride, advice=advice, notes=tuple(notes))


def behind(session: Behind, path: Path, until_t_s: float = math.inf) -> tuple[Ride, Advice | None]:
    """Return the ride behind the last record of a log, and what was advised last.

    `until_t_s`: records that were written later are left, UTC seconds by the clock of the log.
    """
    ride, last = Ride(), None
    with open_log(path) as (_, scan):
        for record in scan.of(_READ):
            if record.utc_s > until_t_s:
                break
            if record.kind is Kind.ADVICE:
                last = record
            else:
                ride = session.behind(ride, record)
    if last is None:
        return ride, None
    at_s = max(ride.at_s, last.monotonic_s)
    return replace(session.behind(ride, last), at_s=at_s), advice_read(document_of(last)["advice"])


def ride_in(log: Path, sortie: Sortie, until_t_s: float = math.inf) -> Ride:
    """Return the ride that stands in a log by a moment, one that is being written too.

    Raises SourceError where it is no log.
    """
    return behind(Behind(sortie, sortie.feeds), log, until_t_s)[0]


@dataclass(frozen=True, slots=True, kw_only=True)
class Replayed:
    """An advice of a log: what was written, and what its replay comes to."""

    record: Record
    again: bytes | None  # None: the replay advises nothing there

    @property
    def is_same(self) -> bool:
        """Tell whether both are the same, bit for bit."""
        return self.record.payload == self.again


def replay(sortie: Sortie, specs: Sequence[FeedSpec], log: Path, make: Make) -> Iterator[Replayed]:
    """Yield each advice of a log beside the one that its records lead to.

    The log is read a second time, ahead, so that tables are ready where it takes them into use.
    `make`: as a `Maker`.
    """
    begun = _begun(Behind(sortie, specs), log)
    again = Again(make, begun)
    session, ride, payload = Session(sortie, specs, again), Ride(), None
    try:
        with open_log(log) as (_, scan):
            for record in scan:
                if record.kind is Kind.ADVICE:
                    yield Replayed(record=record, again=payload)
                ride, advice = session.step(ride, record)
                payload = None if advice is None else advice_payload(advice, ride.telling)
    finally:
        again.close()
        begun.close()


def _begun(session: Behind, log: Path) -> Generator[Task, None, None]:
    """Yield each task that a log tells of, as it was begun."""
    ride = Ride()
    with open_log(log) as (_, scan):
        for record in scan.of(_READ):
            ride = session.behind(ride, record)
            if record.kind is Kind.LEARNT and ride.begun is not None:
                yield ride.begun
