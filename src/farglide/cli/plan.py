"""farglide plan, gather and demo: from files to the answer, the brief and the document."""

import json
import shutil
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path
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
from farglide.outlook.payload import PayloadOutlook
from farglide.packfile import flight_path, open_pack, save_pack
from farglide.plan.payload import plan_payload
from farglide.plan.plan import plan_file
from farglide.plan.planned import Progress
from farglide.plan.suspicions import launch_away
from farglide.present.draw.maps.landing_layer import landing_geojson
from farglide.present.draw.maps.launch_layer import launch_geojson
from farglide.present.say.answer import answer_lines
from farglide.present.say.payload import payload_lines
from farglide.report.brief import render_brief
from farglide.rig.winds import wind_words
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
    check_out(wanted.out)
    flight, pack = flight_and_pack(wanted)
    ready()
    if flight.sortie.payload is not None:
        return _payload(flight, pack, wanted, grain)
    outlook = plan_file(flight, pack, grain, on_threads(), progress)
    outlook = replace(outlook, suspicions=(*_away(flight, wanted), *outlook.suspicions))
    if wanted.out is not None:
        progress("writing the brief")
        texts = {"brief.html": render_brief(outlook), "plan.json": document_text(outlook) + "\n"}
        if outlook.launch is not None:
            texts["launch-area.geojson"] = launch_geojson(outlook.launch)
        write_texts(texts, wanted.out)
    return outlook


def _payload(flight: FlightFile, pack: Pack, wanted: Wanted, grain: Grain) -> PayloadOutlook:
    """Return the outlook of a payload, and write the document and where it may come down."""
    outlook = plan_payload(flight, pack, grain, on_threads())
    outlook = replace(outlook, suspicions=(*_away(flight, wanted), *outlook.suspicions))
    if wanted.out is not None:
        texts = {"plan.json": document_text(outlook) + "\n"}
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


def written_words(outlook: Outlook | PayloadOutlook, out: Path) -> str:
    """Return what of the written files a person opens first."""
    if isinstance(outlook, PayloadOutlook):
        return f"Landing: {out / 'landing.geojson'}"
    return f"Brief: {out / 'brief.html'}"


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
    folder = wanted.pack if wanted.winds is None else None  # other winds than those of the pack
    file = named_file(wanted.file, wanted.pack)
    pack = open_pack(folder) if folder else None
    flight = gather_patterns(gather_places(read_flight_file(file)))
    if pack is None:
        pack = gather_pack(flight, wanted.winds)
        check_launch_places(flight, pack.terrain)
        return flight, pack
    taken = accepted(flight.sortie, pack.sounding, str(folder), pack.flight_text)
    terrain = gather_terrain(flight.sortie)
    check_launch_places(flight, terrain)
    return flight, replace(taken, terrain=terrain)


def named_file(file: Path | None, pack: Path | None) -> Path:
    """Return the flight file that is named, else that of the pack."""
    if file is not None:
        return file
    if pack is None:
        raise InputError("FILE", "missing", "a flight file, or --pack DIR", "See farglide new.")
    return flight_path(pack)


def gather_pack(flight: FlightFile, winds: Path | None) -> Pack:
    """Return the pack of a flight, with the winds given here or named in its file."""
    if winds is None and flight.sortie.wind is not None:
        winds = Path(flight.sortie.wind.path)
    if winds is None:
        remedy = "Give one here or as file = in [wind]."
        raise InputError("--winds", "missing", "a file of winds", remedy)
    return gather(flight.sortie, winds, flight.path.read_text(encoding="utf-8"))


def gather_into(file: Path, winds: Path | None, folder: Path) -> str:
    """Read a flight file and its winds into a pack folder; return what was gathered."""
    flight = read_flight_file(file)
    check_out(folder, "--pack")
    for path in flight.sortie.terrain.paths if flight.sortie.terrain else ():
        if not Path(path).is_file():
            raise InputError("[terrain] files", path, "files that are there", "Or take it out.")
    # to be refused now, while it can be put right
    gathered = gather_patterns(gather_places(flight))
    replaced = flight_path(folder).exists()
    pack = gather_pack(flight, winds)
    check_launch_places(gathered, pack.terrain)
    save_pack(pack, folder)
    top_km = pack.sounding.top_gph_m / 1000.0
    lines = [
        f"{folder}: {flight.sortie.name}",
        f"  {pack.sounding.origin}, {len(pack.sounding.p_pa)} levels to {top_km:.1f} km",
        *(f"  {note}" for note in pack.sounding.notes),
        *(f"  {name}, {what}" for name, what in _copied_files(flight, folder)),
    ]
    if replaced:
        lines.append("  takes the place of the pack that was there")
    lines.append(f"  {wind_words(flight.sortie, pack.sounding)}")
    return "\n".join([*lines, f"Plan it with: farglide plan --pack {folder}"])


def _named_files(flight: FlightFile) -> Iterator[tuple[str, str, str]]:
    """Yield the files that a flight names besides its winds: path, what it is, and the key."""
    sortie = flight.sortie
    for path in sortie.terrain.paths if sortie.terrain else ():
        yield path, "the ground", "[terrain] files"
    for path in sortie.places.paths:
        yield path, "places", "[places] files"
    for end in (end for link in sortie.links for end in (link.sender_end, link.receiver_end)):
        yield from ((path, "an antenna", "[[links]] pattern_file") for path in end.pattern_paths)
    for one in sortie.places.barriers:
        yield one.path, "a barrier", "[[barriers]] file"


def _copied_files(flight: FlightFile, folder: Path) -> Iterator[tuple[str, str]]:
    """Copy the other files beside the pack's flight file, under the names it uses; yield them."""
    for path, what, key in _named_files(flight):
        source = Path(path)
        if not source.is_relative_to(flight.path.parent):
            continue  # named by its full path: it stays where it is
        target = folder / source.relative_to(flight.path.parent)
        try:
            target.parent.mkdir(parents=True, exist_ok=True)
            if not (target.exists() and target.samefile(source)):
                shutil.copyfile(source, target)
        except OSError as error:
            remedy = f"{error.strerror}. Without it the pack is without {what}."
            raise InputError(key, str(source), "a file to copy", remedy) from error
        yield source.name, what


def document_text(outlook: Outlook | PayloadOutlook) -> str:
    """Return the outlook as one JSON document."""
    return json.dumps(outlook.document(), indent=1, allow_nan=False, ensure_ascii=False)


def answer_text(outlook: Outlook | PayloadOutlook) -> str:
    """Return the readable answer."""
    if isinstance(outlook, PayloadOutlook):
        return "\n".join(payload_lines(outlook))
    return "\n".join(answer_lines(outlook))
