"""farglide plan, gather and demo: from files to the answer, the brief and the document."""

import json
import shutil
import sys
from dataclasses import dataclass, replace
from pathlib import Path
from textwrap import wrap
from typing import Final

from farglide.cli.outfiles import check_out, write_texts
from farglide.cli.warm import Ready
from farglide.compute import on_threads
from farglide.errors import InputError
from farglide.flightfile.flightfile import FlightFile, read_flight_file
from farglide.gather.accept import accepted
from farglide.gather.gather import gather, gather_patterns, gather_places, gather_terrain
from farglide.gather.launching import check_launch_places
from farglide.outlook.outlook import Outlook
from farglide.packfile.packfile import EDITED, Opened, is_flight_of, open_pack
from farglide.plan.decided import Decided
from farglide.plan.plan import completed, decided_file
from farglide.plan.planned import Progress
from farglide.plan.suspicions import launch_away
from farglide.present.draw.maps.launch_layer import launch_geojson
from farglide.present.lines import WIDTH
from farglide.present.say.answer import LAST_WORD, more_lines
from farglide.present.say.screen import compared_lines, decision_lines
from farglide.report.brief import render_brief
from farglide.sortie.files import with_files
from farglide.sortie.grain import Grain
from farglide.sortie.pack import Pack

_NARROW: Final = 80
_MORE: Final = "All numbers: --full. To print and carry: --out FOLDER."
DEMO: Final = Path(__file__).parents[1] / "flightfile" / "assets" / "amber-evening.toml"


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """What the command line asked for."""

    file: Path | None
    winds: Path | None
    pack: Path | None
    out: Path | None
    now_t_s: float | None = None  # of the clock


def make_plan(
    wanted: Wanted, grain: Grain, progress: Progress, ready: Ready = lambda: None
) -> Outlook:
    """Return the outlook that a command line asks for, and write the brief and the document.

    `ready` is called when all is read and the kernels are needed.
    """
    return complete_plan(begin_plan(wanted, grain, progress, ready), wanted, progress)


def begin_plan(
    wanted: Wanted, grain: Grain, progress: Progress, ready: Ready = lambda: None
) -> Decided:
    """Return the decision that a command line asks for, as soon as its numbers are known."""
    check_out(wanted.out)
    flight, pack = flight_and_pack(wanted)
    ready()
    begun = decided_file(flight, pack, grain, on_threads(), progress)
    if wanted.now_t_s is None:
        return begun
    away = launch_away(flight.sortie.launch, wanted.now_t_s)
    suspected = (*away, *begun.outlook.suspicions)
    return replace(begun, outlook=replace(begun.outlook, suspicions=suspected))


def complete_plan(begun: Decided, wanted: Wanted, progress: Progress) -> Outlook:
    """Return the whole outlook of a plan that was begun, and write the brief and the document."""
    outlook = completed(begun, progress)
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
    opened = open_pack(wanted.pack) if wanted.pack else None
    flight = gather_patterns(gather_places(named_flight(wanted.file, wanted.pack, opened)))
    if opened is None or wanted.winds is not None:  # other winds than those of the pack
        pack = gather_pack(flight, wanted.winds)
        check_launch_places(flight, pack.terrain)
        return flight, pack
    sounding, text = opened.pack.sounding, opened.pack.flight_text
    taken = accepted(flight.sortie, sounding, str(wanted.pack), text)
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
    """Return what `farglide plan` prints: the first screen and the last word."""
    return "\n".join([*decision_lines(outlook), short_rest(outlook)])


def begun_text(begun: Decided, width: int = WIDTH) -> str:
    """Return the beginning of the first screen, which stands when the decision does."""
    return "\n".join(decision_lines(begun.outlook, width))


def short_rest(outlook: Outlook, width: int = WIDTH) -> str:
    """Return the end of the first screen, how to see more, and the last word."""
    return "\n".join([*compared_lines(outlook, width), "", *wrap(f"{LAST_WORD} {_MORE}", width)])


def full_rest(outlook: Outlook, width: int = WIDTH) -> str:
    """Return the end of the first screen and all that the screen leaves out."""
    return "\n".join([*compared_lines(outlook, width), "", *more_lines(outlook)])


def columns() -> int:
    """Return how wide the first screen may be: as the terminal, 80 to 100; 100 elsewhere."""
    if not sys.stdout.isatty():
        return WIDTH
    return min(max(shutil.get_terminal_size().columns, _NARROW), WIDTH)
