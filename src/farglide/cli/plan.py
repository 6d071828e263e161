"""farglide plan and demo: from files to the outlook, the brief and the document."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Final

from farglide.cli.answers import document_text
from farglide.cli.outfiles import check_apart, check_out, write_texts
from farglide.cli.warm import Ready
from farglide.compute import on_threads
from farglide.errors import InputError
from farglide.flightfile.flightfile import FlightFile, read_flight_file
from farglide.gather.accept import accepted
from farglide.gather.gather import gather, gather_patterns, gather_places, gather_terrain
from farglide.gather.launching import check_launch_places
from farglide.outlook.outlook import Outlook
from farglide.outlook.payload import PayloadOutlook
from farglide.packfile.packfile import EDITED, Opened, is_flight_of, open_pack
from farglide.plan.decided import Decided
from farglide.plan.payload import plan_payload
from farglide.plan.plan import completed, decided_file
from farglide.plan.planned import Progress
from farglide.plan.suspicions import launch_away
from farglide.present.draw.maps.landing_layer import landing_geojson
from farglide.present.draw.maps.launch_layer import launch_geojson
from farglide.report.box import render_box
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
    now_t_s: float | None = None  # of the clock


def make_plan(
    wanted: Wanted, grain: Grain, progress: Progress, ready: Ready = lambda: None
) -> Outlook | PayloadOutlook:
    """Return the outlook that a command line asks for, and write the brief and the document.

    `ready` is called when all is read and the kernels are needed.
    """
    return complete_plan(begin_plan(wanted, grain, progress, ready), wanted, progress)


def begin_plan(
    wanted: Wanted, grain: Grain, progress: Progress, ready: Ready = lambda: None
) -> Decided | PayloadOutlook:
    """Return the decision that a command line asks for, as soon as its numbers are known.

    Of a payload nothing is decided: its outlook is whole.
    """
    check_out(wanted.out)
    flight, pack = flight_and_pack(wanted)
    ready()
    if flight.sortie.payload is not None:
        return _payload(flight, pack, wanted, grain, progress)
    begun = decided_file(flight, pack, grain, on_threads(), progress)
    aloud = (*edited_lines(flight), *_away(flight, wanted))
    outlook = replace(begun.outlook, suspicions=(*aloud, *begun.outlook.suspicions))
    notes = tuple(note for note in begun.notes if note not in aloud)
    return replace(begun, outlook=outlook, notes=notes)


def complete_plan(
    begun: Decided | PayloadOutlook, wanted: Wanted, progress: Progress
) -> Outlook | PayloadOutlook:
    """Return the whole outlook of a plan that was begun, and write the brief and the document."""
    if isinstance(begun, PayloadOutlook):
        return begun
    outlook = completed(begun, progress)
    if wanted.out is not None:
        progress("writing the brief")
        texts = {"brief.html": render_brief(outlook), "plan.json": document_text(outlook) + "\n"}
        if outlook.launch is not None:
            texts["launch-area.geojson"] = launch_geojson(outlook.launch)
        write_texts(texts, wanted.out)
    return outlook


def _payload(
    flight: FlightFile, pack: Pack, wanted: Wanted, grain: Grain, progress: Progress
) -> PayloadOutlook:
    """Return the outlook of a payload, and write brief, document and where it may come down."""
    outlook = plan_payload(flight, pack, grain, on_threads(), progress)
    outlook = replace(outlook, suspicions=(*_away(flight, wanted), *outlook.suspicions))
    if wanted.out is not None:
        progress("writing the brief")
        texts = {"brief.html": render_box(outlook), "plan.json": document_text(outlook) + "\n"}
        write_texts(texts | {"landing.geojson": landing_geojson(outlook)}, wanted.out)
    return outlook


def _away(flight: FlightFile, wanted: Wanted) -> tuple[str, ...]:
    return tuple(launch_away(flight.sortie.launch, wanted.now_t_s)) if wanted.now_t_s else ()


def refuse_payload(flight: FlightFile, command: str) -> None:
    """Refuse what is told of gliders alone."""
    if flight.sortie.payload is not None:
        remedy = "Its landing and its links are told by: farglide plan"
        raise InputError(
            f"farglide {command}", "asked of a payload", "a flight of a glider", remedy
        )


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
    named = named_flight(wanted.file, wanted.pack, opened)
    check_apart(wanted.out, files_read(named, wanted.winds))
    flight = gather_patterns(gather_places(named))
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
