"""Inputs: what a command line names, read into a flight and its winds."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path

from farglide.air.gridcolumn import sounding_over
from farglide.air.sounding import Sounding
from farglide.cli.outfiles import check_apart
from farglide.earth.state import place_of
from farglide.errors import InputError
from farglide.flightfile.flightfile import FlightFile, read_flight_file
from farglide.gather.accept import accepted
from farglide.gather.gather import gather, gather_patterns, gather_places, gather_terrain
from farglide.gather.launching import check_launch_places
from farglide.packfile.grids import FORECAST, MEMBERS, grid_between
from farglide.packfile.packfile import (
    EDITED,
    OUTSIDE,
    Opened,
    is_flight_of,
    open_pack,
    outside_notes,
)
from farglide.rig.profile import LONGEST_S
from farglide.sortie.files import named_files, with_files
from farglide.sortie.pack import Pack
from farglide.sortie.spec import Sortie


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """What the command line asked for."""

    file: Path | None
    winds: Path | None
    pack: Path | None
    out: Path | None
    now_t_s: float | None = None  # of the clock


def flight_and_pack(wanted: Wanted) -> tuple[FlightFile, Pack]:
    """Return flight and winds as files or a pack have them, the ground of the flight with them."""
    opened = open_pack(wanted.pack) if wanted.pack else None
    named = named_flight(wanted.file, wanted.pack, opened)
    check_apart(wanted.out, files_read(named, wanted.winds))
    flight = gather_patterns(gather_places(named))
    if opened is None or wanted.winds is not None:  # other winds than those of the pack
        pack = gather_pack(flight, wanted.winds)
        check_launch_places(flight, pack.terrain)
        return flight, pack
    sounding, text = _air_of(opened, flight.sortie), opened.pack.flight_text
    taken = accepted(flight.sortie, sounding, str(wanted.pack), text)
    terrain = gather_terrain(flight.sortie)
    check_launch_places(flight, terrain)
    return flight, replace(taken, terrain=terrain)


def _air_of(opened: Opened, sortie: Sortie) -> Sounding:
    """Return the winds of a pack: out of its forecast at the place and time of the launch now."""
    grids, launch = opened.grids, sortie.launch
    if FORECAST not in grids:
        return opened.pack.sounding
    told = {name: grid_between(one, launch.t_s, launch.t_s + LONGEST_S)
            for name, one in grids.items()}  # fmt: skip
    over = sounding_over(told[FORECAST], place_of(launch), launch.t_s)
    return replace(over, around=told[FORECAST], members=told.get(MEMBERS))


def named_flight(file: Path | None, folder: Path | None, opened: Opened | None) -> FlightFile:
    """Return the flight of the file that is named, else that of the pack, with the pack's files."""
    if opened is None or folder is None:
        if file is None:
            raise InputError("FILE", "missing", "a flight file, or --pack DIR", "See farglide new.")
        return read_flight_file(file)
    if file is not None and not is_flight_of(folder, file):
        return read_flight_file(file)
    flight = read_flight_file(opened.flight_path)
    sortie = with_files(flight.sortie, opened.files)
    outside = outside_notes(sortie, folder, opened.files.values()) if opened.is_edited else ()
    return replace(flight, sortie=sortie, notes=(*opened.notes, *outside, *flight.notes))


def files_read(flight: FlightFile, winds: Path | None = None) -> Iterator[str | Path]:
    """Yield the files that a plan of a flight reads, its own among them."""
    yield flight.path
    yield from (one.path for one in named_files(flight.sortie))
    if winds is not None:
        yield winds
    elif flight.sortie.wind is not None:
        yield flight.sortie.wind.path


def edited_lines(flight: FlightFile) -> list[str]:
    """Return that a pack's flight file was edited, and what it names outside the pack.

    For answers without notes, and for what is said aloud.
    """
    return [note for note in flight.notes if note == EDITED or note.startswith(OUTSIDE)]


def gather_pack(flight: FlightFile, winds: Path | None) -> Pack:
    """Return the pack of a flight, with the winds given here or named in its file."""
    if winds is None and flight.sortie.wind is not None:
        winds = Path(flight.sortie.wind.path)
    if winds is None:
        remedy = (
            "Give one here or as file = in [wind]; or fetch a forecast: "
            "farglide gather FILE --pack DIR"
        )
        raise InputError("--winds", "missing", "a file of winds", remedy)
    text = flight.path.read_bytes().decode("utf-8")  # word for word, its line ends too
    return gather(flight.sortie, winds, text)


def refuse_payload(flight: FlightFile, command: str) -> None:
    """Refuse what is told of gliders alone."""
    if flight.sortie.payload is not None:
        remedy = "Its landing and its links are told by: farglide plan"
        raise InputError(
            f"farglide {command}", "asked of a payload", "a flight of a glider", remedy
        )
