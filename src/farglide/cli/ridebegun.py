"""A ride begun: what the command line names, opened: the log, the feeds, the clock."""

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace
from importlib.metadata import version
from pathlib import Path

from farglide.atlas.terrain import Terrain
from farglide.cli.feeds import with_changes
from farglide.cli.inputs import Wanted, flight_and_pack, refuse_payload
from farglide.cli.speaker import Speaker
from farglide.cli.teller import Teller
from farglide.cli.warm import Ready
from farglide.errors import InputError
from farglide.flightfile.flightfile import FlightFile
from farglide.live.ahead import for_release
from farglide.live.feeds.inbox import Inbox
from farglide.live.feeds.reader import Clocks
from farglide.live.rehearse.faster import Faster, Stood, faster, gone_on
from farglide.live.resume import Opened, begin_at, resume_at
from farglide.live.ride.beside import Beside
from farglide.live.ride.slow import Flight, Maker
from farglide.live.ride.tables import Made, Make
from farglide.live.ride.task import Task
from farglide.live.running import Running
from farglide.live.session import Session
from farglide.packfile.manifest import MANIFEST
from farglide.packfile.winds import winds_text
from farglide.plan.planned import settled
from farglide.sortie.feeds import FeedSpec
from farglide.sortie.grain import Grain
from farglide.sortie.pack import Pack
from farglide.track.codecs.codecs import codec_of
from farglide.track.journal.head import Head
from farglide.track.journal.journal import Moment
from farglide.track.journal.reader import open_log


@dataclass(frozen=True, slots=True, kw_only=True)
class Typed:
    """What the command line told beside the flight."""

    log: Path
    feeds: tuple[str, ...]
    grain: Grain
    speed: float | None = None  # of a rehearsal's clock; None: the clock of this machine
    aloud: Path | None = None  # where sentences to be spoken are written


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
    terrain: Terrain | None = None
    pace: float = 1.0  # of a rehearsal, so many times real time
    doing: Callable[[], str] = str
    """Tells what is done ahead of the first answer; empty for what is always done."""


def begun(wanted: Wanted, typed: Typed, machine: Clocks, ready: Ready) -> Begun:
    """Return the ride that a command line asks for. Raises InputError and SourceError.

    `ready`: waits until all is compiled that its tables need; asked on the thread that makes them.
    """
    flight, pack = flight_and_pack(wanted)
    refuse_payload(flight, "ride")
    specs = tuple(with_changes(flight.sortie.feeds, typed.feeds))
    head = replace(_head(flight, pack, wanted), speed=typed.speed)
    sortie = settled(flight, pack).sortie
    heard: Callable[[], None] = _nothing
    if typed.speed is not None:
        rehearsed = _rehearsed(typed, machine, sortie.launch.t_s)
        machine, heard = rehearsed.clocks(), rehearsed.hear
    make = Maker(Flight(sortie=sortie, pack=pack, grain=typed.grain))
    beside = Beside(_once(ready, make))
    session = Session(sortie, specs, beside)
    opened = _opened(typed.log, head, session, machine)
    began_s, base_s = machine.monotonic_s(), opened.journal.last.monotonic_s
    clocks = Clocks(lambda: base_s + machine.monotonic_s() - began_s, machine.utc_s)
    codecs = {one.name: codec_of(one) for one in specs}
    teller = Teller(None if typed.aloud is None else Speaker(typed.aloud))
    running = Running(session, opened, beside, codecs, teller)
    return Begun(
        running=running,
        specs=specs,
        inbox=Inbox(codecs, heard=heard),
        clocks=clocks,
        teller=teller,
        notes=opened.notes,
        log=typed.log,
        terrain=pack.terrain,
        pace=typed.speed or 1.0,
    )


def _nothing() -> None:
    """Do nothing: the clock of this machine runs by itself."""


def _rehearsed(typed: Typed, machine: Clocks, launch_t_s: float) -> Faster:
    """Return the clock of a rehearsal, of one that is gone on with where it is by now."""
    speed = typed.speed or 1.0
    if not typed.log.exists():
        return faster(machine, speed, launch_t_s)
    written_s = typed.log.stat().st_mtime
    with open_log(typed.log) as (_, scan):
        last_t_s = max((one.utc_s for one in scan), default=launch_t_s)
    return gone_on(machine, speed, Stood(last_t_s=last_t_s, written_s=written_s))


def _once(ready: Ready, make: Make) -> Make:
    """Return what makes tables once all is ready for it, and behind the first what comes later."""
    n_made = 0

    def made(task: Task) -> Made:
        nonlocal n_made
        ready()
        n_made += 1
        if n_made == 2:  # the first answer waits for nothing
            for_release()
        return make(task)

    return made


def _opened(log: Path, head: Head, session: Session, machine: Clocks) -> Opened:
    """Return the log, each second of it put on the medium by a thread of its own.

    Raises InputError where its ride was ended.
    """
    run = ThreadPoolExecutor(1, thread_name_prefix="log").submit
    if log.exists():
        opened = resume_at(log, head, session, run)
        if opened.ride.is_over:
            opened.journal.close()
            remedy = "A ride that was ended is whole: begin another."
            raise InputError("--log", f"the finished log {log}", "a new name", remedy)
        return opened
    return begin_at(log, head, Moment(0.0, machine.utc_s()), run)


def _head(flight: FlightFile, pack: Pack, wanted: Wanted) -> Head:
    manifest = "" if wanted.pack is None else (wanted.pack / MANIFEST).read_text(encoding="utf-8")
    return Head(
        flight=flight.path.read_bytes().decode("utf-8", "replace"),
        manifest=manifest,
        winds=winds_text(pack.sounding),
        program=version("farglide"),
    )
