"""farglide rehearse: a made-up flight, run through by a scripted crew or served to be ridden."""

import os
import queue
import shlex
import subprocess
import sys
import threading
import time
from collections.abc import Callable
from dataclasses import dataclass, replace
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path
from typing import Final

from farglide.cli.inputs import Wanted, flight_and_pack, refuse_payload
from farglide.cli.terminal import columns, is_terminal
from farglide.cli.warm import Ready
from farglide.compute import on_threads
from farglide.errors import InputError, check_range
from farglide.flightfile.flightfile import FlightFile
from farglide.live.asking import as_planned
from farglide.live.rehearse.crew import CREWS, YOU, crew_of
from farglide.live.rehearse.faster import FASTEST
from farglide.live.rehearse.logged import begin_log, write_log
from farglide.live.rehearse.rehearsal import (
    Finished,
    Named,
    finished,
    rehearsed,
    sent_by,
    way_of,
)
from farglide.live.rehearse.sent import BEGINS_S
from farglide.live.rehearse.served import HOW, Desk, Ports, Served, served
from farglide.live.rehearse.sitting import Sitting
from farglide.live.rehearse.surprises import (
    Changes,
    changes_of,
    surprises_of,
    without_refused,
)
from farglide.live.rehearse.truth import truth_of
from farglide.live.rehearse.winds import told_winds
from farglide.packfile.winds import winds_text
from farglide.plan.planned import settled
from farglide.present.lines import wrapped
from farglide.present.say.rehearsal import rehearsal_lines
from farglide.present.say.rehearsing import (
    COMMAND,
    COMMAND_GOES_ON,
    Rehearsing,
    begins_words,
    rehearsing_lines,
)
from farglide.present.say.text import FlightClock
from farglide.sortie.grain import Grain
from farglide.sortie.pack import Pack
from farglide.track.journal.head import Head
from farglide.track.journal.journal import Journal

_LOOKS_S: Final = 0.05
_IS_WINDOWS: Final = os.name == "nt"
_SPEEDS: Final = (0.1, 1e6)
_PORTS: Final = (1024, 65_534)
_MOST_SEED: Final = 2**62


@dataclass(frozen=True, slots=True, kw_only=True)
class Typed:
    """What the command line told."""

    surprises: tuple[str, ...] = ()
    speed: float = 10.0
    seed: int = 1
    crew: str | None = None  # None: you, or the advice where it runs through by itself
    log: Path | None = None
    port: int = 0  # of the tracker, the car's is the next; 0: any


@dataclass(frozen=True, slots=True, kw_only=True)
class Room:
    """A rehearsal made ready."""

    flight: FlightFile
    sitting: Sitting
    typed: Typed
    named: Named
    journal: Journal | None


def rehearsal_text(wanted: Wanted, typed: Typed, grain: Grain, ready: Ready, desk: Desk) -> str:
    """Return what happened in a rehearsal. Raises InputError, ContradictionError, SourceError.

    `desk`: of who rides along, where it is served.
    """
    changes = _checked(typed)
    flight, pack = flight_and_pack(wanted)
    refuse_payload(flight, "rehearse")
    pack = replace(pack, sounding=told_winds(pack.sounding, changes))
    if changes.no_terrain:
        pack = replace(pack, terrain=None)
    journal = _journal(flight, pack, typed)
    ready()
    sortie = without_refused(settled(flight, pack).sortie, changes)
    planned = as_planned(sortie, pack, grain, on_threads())
    sitting = Sitting(planned, truth_of(planned, changes, typed.seed), typed.seed)
    whats = tuple(one.what for one in surprises_of(typed.surprises))
    named = Named(whats, typed.seed)
    room = Room(flight=flight, sitting=sitting, typed=typed, named=named, journal=journal)
    found = _run(room) if typed.speed > FASTEST else _served(room, desk)
    if journal is not None:
        write_log(journal, sitting, found, typed.seed)
    clock = FlightClock(launch_t_s=sortie.launch.t_s, zone=sortie.launch.zone)
    return "\n".join(rehearsal_lines(found.told, clock, columns()))


def desk_of(speed: float, say: Callable[[str], None], port: int = 0) -> Desk:
    """Return the desk of this process: its clock so many times as fast, and its standard input.

    `port`: of the tracker, the car's is the next; 0: any.
    """
    lines: queue.SimpleQueue[str] = queue.SimpleQueue()
    began_s: list[float] = []
    reader = threading.Thread(target=_read_into, args=(lines,), daemon=True)

    def said(words: str) -> None:
        long = len(words) > columns() and not words.startswith((COMMAND, COMMAND_GOES_ON))
        for line in wrapped(words, 0, 2, columns()) if long else [words]:
            say(line)

    def wait_until(rehearsed_s: float) -> bool:
        if not began_s:
            began_s.append(time.monotonic())
        time.sleep(max(began_s[0] + rehearsed_s / speed - time.monotonic(), 0.0))
        return True

    def typed() -> list[str]:
        if reader.ident is None:
            reader.start()
        return [lines.get_nowait() for _ in range(lines.qsize())]

    return Desk(wait_until, typed, said, (port, port + 1 if port else 0))


def _read_into(lines: "queue.SimpleQueue[str]") -> None:
    for line in sys.stdin or ():
        lines.put(line)


def _checked(typed: Typed) -> Changes:
    """Return what the surprises change, all that was typed being such as can be."""
    changes = changes_of(surprises_of(typed.surprises))
    check_range("--speed", typed.speed, "times", _SPEEDS, "10 is ten times as fast as life.")
    if not 0 <= typed.seed < _MOST_SEED:
        raise InputError("--seed", typed.seed, "0 to 2**62 - 1; 0 draws nothing")
    if typed.port and not _PORTS[0] <= typed.port <= _PORTS[1]:
        allowed = f"{_PORTS[0]} to {_PORTS[1]}, or 0 for any"
        raise InputError("--port", typed.port, allowed, "The car's is the next one.")
    if typed.crew is not None and typed.crew not in (*CREWS, YOU):
        raise InputError("--crew", repr(typed.crew), ", ".join((*CREWS, YOU)))
    if typed.crew == YOU and typed.speed > FASTEST:
        remedy = "Give a lower --speed, or another crew."
        raise InputError("--speed", f"{typed.speed:g} times", f"up to {FASTEST:g} for you", remedy)
    return changes


def _journal(flight: FlightFile, pack: Pack, typed: Typed) -> Journal | None:
    """Return the log that is begun; only who flies by hand is hurried by a faster time."""
    path, is_by_hand = typed.log, typed.speed <= FASTEST and typed.crew in (None, YOU)
    speed = typed.speed if is_by_hand else 1.0
    if path is None:
        return None
    head = Head(
        flight=flight.path.read_text(encoding="utf-8"),
        manifest="",
        winds=winds_text(pack.sounding),
        program=_program(),
        speed=speed,
    )
    return begin_log(path, head, flight.sortie.launch.t_s)


def _program() -> str:
    try:
        return version("farglide")
    except PackageNotFoundError:
        return "unknown"


def _run(room: Room) -> Finished:
    crew = crew_of(room.typed.crew or CREWS[0], room.sitting.planned)
    return rehearsed(room.sitting, crew, room.named)


def _scripted(sitting: Sitting, name: str, seed: int) -> Served:
    """Return what a crew of ours sends, and how it steers."""
    crew = crew_of(name, sitting.planned)
    sent = sent_by(sitting, crew)
    return Served(sent, way_of(sitting, crew, sent, seed))


def _served(room: Room, desk: Desk) -> Finished:
    """Return what happened while it was heard on two ports."""
    sitting, name = room.sitting, room.typed.crew or YOU
    scripted = None if name == YOU else _scripted(sitting, name, room.typed.seed)

    def begun(ports: Ports) -> None:
        for line in rehearsing_lines(_opened(room, ports, is_by_hand=scripted is None), columns()):
            desk.say(line)
        while not ports.tracker.n_listeners and not list(desk.typed()):
            time.sleep(_LOOKS_S)
        desk.say(begins_words(-BEGINS_S, room.typed.speed))

    try:
        found = served(sitting, room.typed.seed, desk, begun, scripted)
    except OSError as error:
        remedy = "A firewall may forbid it, or another program has it: give another --port."
        raise InputError("a port", f"refused ({error})", "one of this machine", remedy) from error
    desk.say("The flight is over. Its choices are weighed.")
    return finished(sitting, name, found.sent, room.named, found.way)


def _opened(room: Room, ports: Ports, *, is_by_hand: bool) -> Rehearsing:
    launch, speed = room.sitting.planned.sortie.launch, room.typed.speed
    file = room.flight.path
    return Rehearsing(
        name=file.name,
        command=(
            f"ride {_quoted(str(file))}",
            f"--feed tracker={ports.tracker.where}",
            f"--feed car={ports.car.where}",
            f"--speed {speed:.12g}",
            "--log rehearsal.log",
        ),
        goes_on="\\" if is_terminal() and not _IS_WINDOWS else "",
        launch_at=FlightClock(launch_t_s=launch.t_s, zone=launch.zone).local(0.0),
        speed=speed,
        how=f"{HOW} Enter sends it; what is seen of it is told here." if is_by_hand else "",
    )


def _quoted(path: str) -> str:
    """Return a path as the shell of this machine takes it, spaces and all."""
    return subprocess.list2cmdline([path]) if _IS_WINDOWS else shlex.quote(path)
