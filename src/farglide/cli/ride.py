"""farglide ride: the flight followed in a terminal, fix by fix, with all of it in the log."""

from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass
from importlib.metadata import version
from pathlib import Path
from typing import Final

from farglide.cli.feeds import with_changes
from farglide.cli.inputs import Wanted, flight_and_pack, refuse_payload
from farglide.cli.screen import Face, face_of
from farglide.cli.signals import Asked, signals
from farglide.cli.teller import Teller
from farglide.cli.terminal import complain, tell
from farglide.cli.warm import Ready
from farglide.flightfile.flightfile import FlightFile
from farglide.live.entering import Entering
from farglide.live.feeds.inbox import Inbox
from farglide.live.feeds.reader import Clocks, FeedReader, State
from farglide.live.rehearse.faster import faster
from farglide.live.resume import Opened, begin_at, resume_at
from farglide.live.ride.slow import Beside, Flight, Maker
from farglide.live.running import Running, moment_of
from farglide.live.session import Session
from farglide.live.viewed import Listened, view_of
from farglide.packfile.manifest import MANIFEST
from farglide.packfile.winds import winds_text
from farglide.plan.planned import settled
from farglide.present.say.rideview import view_lines
from farglide.sortie.feeds import FeedSpec
from farglide.sortie.grain import Grain
from farglide.sortie.pack import Pack
from farglide.track.codecs.codecs import codec_of
from farglide.track.journal.head import Head
from farglide.track.journal.journal import Moment
from farglide.track.reports import Raw

WAIT_S: Final = 0.05
"""A key that is typed is seen so soon."""
_ASK_END: Final = "End the ride? The log is then finished. y: end it, anything else: go on."


@dataclass(frozen=True, slots=True, kw_only=True)
class Typed:
    """What the command line told beside the flight."""

    log: Path
    feeds: tuple[str, ...]
    grain: Grain
    speed: float | None = None  # of a rehearsal's clock; None: the clock of this machine


@dataclass(frozen=True, slots=True, kw_only=True)
class Begun:
    """A ride that is open and can be followed."""

    running: Running
    specs: tuple[FeedSpec, ...]
    inbox: Inbox
    clocks: Clocks
    teller: Teller
    notes: tuple[str, ...]
    log: Path


def begun(wanted: Wanted, typed: Typed, machine: Clocks, ready: Ready) -> Begun:
    """Return the ride that a command line asks for. Raises InputError and SourceError."""
    flight, pack = flight_and_pack(wanted)
    refuse_payload(flight, "ride")
    specs = tuple(with_changes(flight.sortie.feeds, typed.feeds))
    head = _head(flight, pack, wanted)
    ready()
    sortie = settled(flight, pack).sortie
    if typed.speed is not None:
        machine = faster(machine, typed.speed, sortie.launch.t_s)
    beside = Beside(Maker(Flight(sortie=sortie, pack=pack, grain=typed.grain)))
    session = Session(sortie, specs, beside)
    opened = _opened(typed.log, head, session, machine)
    began_s, base_s = machine.monotonic_s(), opened.journal.last.monotonic_s
    clocks = Clocks(lambda: base_s + machine.monotonic_s() - began_s, machine.utc_s)
    codecs = {one.name: codec_of(one) for one in specs}
    teller = Teller()
    running = Running(session, opened, beside, codecs, teller)
    return Begun(
        running=running,
        specs=specs,
        inbox=Inbox(codecs),
        clocks=clocks,
        teller=teller,
        notes=opened.notes,
        log=typed.log,
    )


def followed(begun: Begun) -> str:
    """Follow a ride until the crew ends it; return what is to be said at the end."""
    running = begun.running
    try:
        with face_of() as face, _listening(begun) as readers:
            begun.teller.is_quiet = face.is_screen
            running.open(moment_of(begun.clocks))
            with signals() as asked:
                _Following(begun, face, readers, asked).follow()
    finally:
        running.close()
    state = "finished" if running.ride.is_over else "unfinished: the same command goes on with it"
    return f"The log {begun.log} is {state}."


class _Following:
    """The loop of a ride."""

    def __init__(self, begun: Begun, face: Face, readers: list[FeedReader], asked: Asked) -> None:
        self._begun, self._face, self._readers, self._asked = begun, face, readers, asked
        self._entering, self._is_ending = Entering(said=" ".join(begun.notes)), False
        self._alarm = ""
        self._flushed: set[str] = set()
        conditions = {one.spec.name: one.condition for one in readers}
        self._listened = Listened(begun.specs, conditions, begun.inbox.lost_bytes)

    def follow(self) -> None:
        """Follow the ride until it is over, or until without a terminal nothing can come."""
        if not self._face.is_screen:
            for note in self._begun.notes:
                complain(note)
        while not self._begun.running.ride.is_over and not self._is_left():
            self._turn()
            if self._face.is_closed and self._is_all_read() and not self._is_busy():
                return

    def _turn(self) -> None:
        begun, running = self._begun, self._begun.running
        running.turn(begun.inbox, begun.clocks, WAIT_S)
        self._flush()
        launch = running.session.launch(running.ride)
        begun.teller.zone, begun.teller.launch_t_s = launch.zone, launch.t_s
        for line in self._face.typed():
            self._line(line)
        self._sound()
        now = moment_of(begun.clocks)
        self._face.draw(
            lambda columns, rows: view_lines(
                view_of(running, self._listened, self._entering.said, now), columns, rows
            )
        )

    def _is_left(self) -> bool:
        """Tell whether it is to be left as it is; the first Ctrl-C only asks."""
        if self._asked.is_interrupted:
            self._asked.is_interrupted = False
            if self._is_ending:
                return True
            self._is_ending, self._entering.said = True, _ASK_END
        return self._asked.is_left

    def _line(self, line: str) -> None:
        """Take a line that was typed."""
        running, now = self._begun.running, moment_of(self._begun.clocks)
        if self._is_ending and line.strip().casefold() in ("y", "yes"):
            running.end(now)
            return
        was_ending, self._is_ending = self._is_ending, line.strip().casefold() in ("q", "quit")
        if self._is_ending:
            self._entering.said = _ASK_END
        elif was_ending and not line.strip():
            self._entering.said = ""
        elif line.strip():
            self._entering.enter(line, running, now)
        if not self._face.is_screen and self._entering.said:
            tell(self._entering.said)

    def _sound(self) -> None:
        """Tell where there is no screen that the log is not being kept, and that it is again."""
        alarm = self._begun.running.journal.alarm
        why = "" if alarm is None else alarm.why
        if why != self._alarm and not self._face.is_screen:
            complain("The log is kept again." if alarm is None else alarm.words())
        self._alarm = why

    def _flush(self) -> None:
        """Take what a codec held back, of each feed that is read to its end."""
        begun = self._begun
        for one in self._readers:
            name = one.spec.name
            is_read = one.condition.state is State.ENDED and not begun.inbox.held_bytes(name)
            if is_read and name not in self._flushed:
                self._flushed.add(name)
                now = moment_of(begun.clocks)
                raw = Raw(feed=name, monotonic_s=now.monotonic_s, utc_s=now.utc_s, data=b"")
                begun.running.flush(raw, begun.clocks)

    def _is_all_read(self) -> bool:
        return all(one.spec.name in self._flushed for one in self._readers)

    def _is_busy(self) -> bool:
        return self._begun.running.beside.is_busy


@contextmanager
def _listening(begun: Begun) -> Iterator[list[FeedReader]]:
    """Yield a reader for each feed, all of them running."""
    readers = [FeedReader(one, begun.inbox, begun.clocks) for one in begun.specs]
    for one in readers:
        one.start()
    try:
        yield readers
    finally:
        for one in readers:
            one.stop()


def _opened(log: Path, head: Head, session: Session, machine: Clocks) -> Opened:
    """Return the log, each second of it put on the medium by a thread of its own."""
    run = ThreadPoolExecutor(1, thread_name_prefix="log").submit
    if log.exists():
        return resume_at(log, head, session, run)
    return begin_at(log, head, Moment(0.0, machine.utc_s()), run)


def _head(flight: FlightFile, pack: Pack, wanted: Wanted) -> Head:
    manifest = "" if wanted.pack is None else (wanted.pack / MANIFEST).read_text(encoding="utf-8")
    return Head(
        flight=flight.path.read_bytes().decode("utf-8", "replace"),
        manifest=manifest,
        winds=winds_text(pack.sounding),
        program=version("farglide"),
    )
