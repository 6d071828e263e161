"""farglide plan, gather and demo: from files to the answer, the brief and the document."""

import json
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Final

from farglide.cli.outfiles import check_apart, check_out, write_texts
from farglide.cli.warm import Ready
from farglide.compute import on_threads
from farglide.errors import InputError
from farglide.flightfile.flightfile import FlightFile, read_flight_file
from farglide.gather.accept import accepted
from farglide.gather.gather import gather, gather_patterns, gather_places, gather_terrain
from farglide.gather.launching import check_launch_places
from farglide.outlook.outlook import Outlook
from farglide.packfile.packfile import EDITED, Opened, is_flight_of, open_pack
from farglide.plan.plan import plan_file
from farglide.plan.planned import Progress
from farglide.present.draw.maps.launch_layer import launch_geojson
from farglide.present.say.answer import answer_lines
from farglide.report.brief import render_brief
from farglide.sortie.files import named_files, with_files
from farglide.sortie.grain import Grain
from farglide.sortie.pack import Pack

DEMO: Final = Path(__file__).parents[1] / "flightfile" / "assets" / "amber-evening.toml"


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """What the command line asked for."""

    file: Path | None
    winds: Path | None
    pack: Path | None
    out: Path | None


def make_plan(
    wanted: Wanted, grain: Grain, progress: Progress, ready: Ready = lambda: None
) -> Outlook:
    """Return the outlook that a command line asks for, and write the brief and the document.

    `ready` is called when all is read and the kernels are needed.
    """
    check_out(wanted.out)
    flight, pack = flight_and_pack(wanted)
    ready()
    outlook = plan_file(flight, pack, grain, on_threads(), progress)
    if wanted.out is not None:
        progress("writing the brief")
        texts = {"brief.html": render_brief(outlook), "plan.json": document_text(outlook) + "\n"}
        if outlook.launch is not None:
            texts["launch-area.geojson"] = launch_geojson(outlook.launch)
        write_texts(texts, wanted.out)
    return outlook


def grain_asked(n_draws: int, seed: int) -> Grain:
    """Return how finely is asked, with refusals that name the options of the command line."""
    if not 0 <= seed < 2**63:
        raise InputError("--seed", seed, "0 to 2**63 - 1")
    try:
        return Grain(n_draws=n_draws, seed=seed)
    except InputError as error:
        raise InputError("--draws", n_draws, error.allowed, error.remedy) from None


def flight_and_pack(wanted: Wanted) -> tuple[FlightFile, Pack]:
    """Return flight and winds as files or a pack have them, the ground of the flight with them."""
    folder = wanted.pack if wanted.winds is None else None
    opened = open_pack(folder) if folder else None
    named = named_flight(wanted.file, folder, opened)
    check_apart(wanted.out, files_read(named, wanted.winds))
    flight = gather_patterns(gather_places(named))
    if opened is None:
        pack = gather_pack(flight, wanted.winds)
        check_launch_places(flight, pack.terrain)
        return flight, pack
    sounding, text = opened.pack.sounding, opened.pack.flight_text
    taken = accepted(flight.sortie, sounding, str(folder), text)
    terrain = gather_terrain(flight.sortie)
    check_launch_places(flight, terrain)
    return flight, replace(taken, terrain=terrain)


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
    return replace(flight, sortie=sortie, notes=(*opened.notes, *flight.notes))


def files_read(flight: FlightFile, winds: Path | None = None) -> Iterator[str | Path]:
    """Yield the files that a plan of a flight reads, its own among them."""
    yield flight.path
    yield from (one.path for one in named_files(flight.sortie))
    if winds is not None:
        yield winds
    elif flight.sortie.wind is not None:
        yield flight.sortie.wind.path


def edited_lines(flight: FlightFile) -> list[str]:
    """Return that a pack's flight file was edited, where it was, for answers without notes."""
    return [note for note in flight.notes if note == EDITED]


def gather_pack(flight: FlightFile, winds: Path | None) -> Pack:
    """Return the pack of a flight, with the winds given here or named in its file."""
    if winds is None and flight.sortie.wind is not None:
        winds = Path(flight.sortie.wind.path)
    if winds is None:
        remedy = "Give one here or as file = in [wind]."
        raise InputError("--winds", "missing", "a file of winds", remedy)
    text = flight.path.read_bytes().decode("utf-8")  # word for word, its line ends too
    return gather(flight.sortie, winds, text)


def document_text(outlook: Outlook) -> str:
    """Return the outlook as one JSON document."""
    return json.dumps(outlook.document(), indent=1, allow_nan=False, ensure_ascii=False)


def answer_text(outlook: Outlook) -> str:
    """Return the readable answer."""
    return "\n".join(answer_lines(outlook))
