"""FlightFile: the TOML file the practitioner writes, checked whole and turned into a Sortie."""

import math
import re
import tomllib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from farglide.errors import FlightFileError, Problem
from farglide.flightfile.crosscheck import contradictions, hanging_mass_kg
from farglide.flightfile.entries import Entries, Entry, Section, read_entries
from farglide.flightfile.notes import notes_of, wind_note
from farglide.flightfile.reading.keys import Quantity, Stated, stand_in
from farglide.flightfile.sections.balloon import BALLOON, TRAIN, balloon_of, drag_given
from farglide.flightfile.sections.drop import CREW, DROP, drop_of
from farglide.flightfile.sections.flight import (
    DOUBT,
    FLIGHT,
    LAUNCH,
    LAUNCH_AT,
    PERMITS,
    WISH,
    launch_of,
)
from farglide.flightfile.sections.glider import GLIDER, GLIDES, glide_amsl_m, glider_of, timed_glide
from farglide.flightfile.sections.launching import GROUNDED, LAUNCH_PLACES, launch_place_of
from farglide.flightfile.sections.links import LINKS, fill_radio, link_spec, rain_depth_m
from farglide.flightfile.sections.packs import PACKS, pack_of
from farglide.flightfile.sections.parts import PARTS, TRIGGERS
from farglide.flightfile.sections.payload import (
    PAYLOAD,
    payload_of,
    payload_problems,
    with_its_mass,
)
from farglide.flightfile.sections.places import (
    BARRIERS,
    FIELDS,
    PLACES,
    STANDS,
    barriers_of,
    field_of,
    places_source,
)
from farglide.flightfile.sections.release import RELEASE, release_of
from farglide.flightfile.sections.sources import TERRAIN, WIND, terrain_of, wind_of
from farglide.flightfile.standins import MEAN_ASCENT_MPS, fill_drop, fill_grounds
from farglide.glider.fit import TimedGlide
from farglide.sortie.spec import (
    DoubtSpec,
    PartSpec,
    Sortie,
    StandSpec,
    Tag,
    TrainSpec,
    TriggerSpec,
    Wish,
)

_LARGEST_BYTES: Final = 1_000_000
_LINE_OF: Final = re.compile(r"at line (\d+)")
_COMMA_NUMBER: Final = re.compile(r"=\s*[+-]?\d+,\d")
EVERY: Final[tuple[Section, ...]] = (
    FLIGHT, LAUNCH, BALLOON, TRAIN, PAYLOAD, GLIDER, GLIDES, DROP, RELEASE, PACKS, FIELDS, LINKS,
    STANDS, TRIGGERS, PARTS, TERRAIN, BARRIERS, PLACES, LAUNCH_PLACES, DOUBT, WISH, WIND, PERMITS,
    CREW,
)  # fmt: skip


_OF_GLIDERS: Final = ("glider", "drop", "release", "crew", "wish")
"""Sections whose numbers do not count for a payload."""


@dataclass(frozen=True, slots=True, kw_only=True)
class InputLine:
    """One number as understood: its section, and its row there; in `Sortie.tags` by both."""

    section: str
    row: Quantity
    number: Stated


@dataclass(frozen=True, slots=True, kw_only=True)
class FlightFile:
    """A flight file that holds together.

    Where `neck_lift_given` is false, `sortie.balloon.neck_lift_kg` is a rough first value only, and
    the fill follows from the stated mean ascent or burst height, of which one at least is there.
    Where `timed_glides` is not empty, the polar in the sortie is a stand-in until it is fitted.
    """

    path: Path
    sortie: Sortie
    inputs: tuple[InputLine, ...]
    neck_lift_given: bool
    stated_mean_ascent_mps: float | None
    stated_burst_amsl_m: float | None
    burst_diameter_given: bool
    drag_given: bool
    glide_factor_given: bool  # or its doubt
    timed_glides: tuple[TimedGlide, ...]
    glides_amsl_m: tuple[float, ...]  # middle height of each
    notes: tuple[str, ...]
    wind_note: str  # empty when the winds are there


def read_flight_file(path: Path) -> FlightFile:
    """Return the checked flight of a file.

    Raises FlightFileError with every problem of the file in one go.
    """
    entries, problems = _entries(_document(path))
    if problems:
        raise FlightFileError(str(path), tuple(problems))
    fill_radio(entries.of["links"])
    return _flight(path, entries)


def understood(document: Mapping[str, object]) -> tuple[list[Problem], list[str]]:
    """Return what is wrong with a document, and what to note of one with which nothing is."""
    entries, problems = _entries(document)
    return problems, [] if problems else list(notes_of(entries))


def _entries(document: Mapping[str, object]) -> tuple[Entries, list[Problem]]:
    problems = payload_problems(document)
    if problems:
        document = {**document, "glider": document.get("glider", {"mass_kg": 1.0})}
    entries = read_entries(with_its_mass(document), EVERY, problems)
    _fill_across(entries)
    return entries, problems + contradictions(entries)


def _fill_across(entries: Entries) -> None:
    """Put in the stand-ins that follow from another section."""
    fill_drop(entries.the("drop").numbers, entries.the("glider").numbers)
    fields, stands, places = ([one.numbers for one in entries.of[key]] for key in GROUNDED)
    fill_grounds(entries.the("launch").numbers, fields, [*stands, *places])


def _document(path: Path) -> dict[str, object]:
    text = _text(path)
    try:
        return tomllib.loads(text)
    except RecursionError:
        problem = Problem("the file", "nests brackets too deeply to be read.", "Take some out.")
    except ValueError as error:
        problem = _syntax_problem(text, str(error))
    raise FlightFileError(str(path), (problem,))


def _text(path: Path) -> str:
    try:
        if path.exists() and not path.is_file() and not path.is_dir():
            what, remedy = "is a device or a pipe, not a file.", "Write it to a file first."
        elif path.stat().st_size > _LARGEST_BYTES:
            what, remedy = "is larger than 1 MB.", "Is that a flight file?"
        else:
            return path.read_bytes().decode("utf-8-sig").replace("\r\n", "\n")
    except FileNotFoundError:
        what, remedy = "is not there.", f"Write one with: farglide new {path}"
    except UnicodeDecodeError as error:
        what, remedy = f"is no UTF-8 text (byte {error.start}).", "Save it as UTF-8."
    except (OSError, ValueError) as error:
        what, remedy = f"cannot be read: {getattr(error, 'strerror', None) or error}.", ""
    raise FlightFileError(str(path), (Problem("the file", what, remedy),))


def _syntax_problem(text: str, message: str) -> Problem:
    found = _LINE_OF.search(message)
    lines = text.split("\n")
    if not found or int(found[1]) > len(lines):
        return Problem("the file", f"cannot be read: {message}.", "")
    line = lines[int(found[1]) - 1].strip()
    remedy = f'The line reads: "{line[:80]}".'
    if line.startswith("launch_at"):
        remedy += f" {LAUNCH_AT}"
    elif "\\" in line:
        remedy += " In a path write / in place of \\."
    if _COMMA_NUMBER.search(line):
        remedy += " Write a decimal point, not a comma."
    return Problem(f"line {found[1]}", f"cannot be read: {message}.", remedy)


def _flight(path: Path, entries: Entries) -> FlightFile:
    balloon, glider = entries.the("balloon"), entries.the("glider")
    ascent_mps, burst_m = balloon.stated("mean_ascent_mps"), balloon.stated("burst_height_amsl_m")
    notes = list(notes_of(entries))
    if not balloon.given("neck_lift_kg") and ascent_mps is None and burst_m is None:
        ascent_mps = MEAN_ASCENT_MPS
        stand_in(balloon.numbers, "mean_ascent_mps", ascent_mps, Tag.GUESS)
        notes.append(f"No fill is stated: a mean climb of {ascent_mps} m/s stands in.")
    inputs = tuple(_inputs(entries))
    factor, glides = glider.numbers["glide_factor"], entries.of["glider.timed_glides"]
    launch_m = entries.the("launch").value("amsl_m")
    return FlightFile(
        path=path,
        sortie=_sortie(path, entries, inputs),
        inputs=inputs,
        neck_lift_given=balloon.given("neck_lift_kg"),
        stated_mean_ascent_mps=ascent_mps,
        stated_burst_amsl_m=burst_m,
        burst_diameter_given=balloon.given("burst_diameter_m"),
        drag_given=drag_given(balloon),
        glide_factor_given=factor.given or factor.spread is not None,
        timed_glides=tuple(map(timed_glide, glides)),
        glides_amsl_m=tuple(glide_amsl_m(one, launch_m) for one in glides),
        notes=tuple(notes),
        wind_note=wind_note(path, entries),
    )


def _inputs(entries: Entries) -> Iterator[InputLine]:
    """Yield the numbers of sections that stand once, then of those that may stand several times."""
    of_payload = entries.the("payload").given("mass_kg")
    for section in EVERY:
        if of_payload and section.name in _OF_GLIDERS:
            continue
        if not section.noun and (section.name != "wind" or entries.the("wind").texts["file"]):
            yield from _lines(section.name, section.rows, entries.the(section.name))
    for section in EVERY:
        for i, one in enumerate(entries.of[section.name] if section.noun else (), start=1):
            name = one.name if "name" in section.texts else i
            yield from _lines(f"{section.name}[{name}]", section.rows, one)


def _lines(section: str, rows: Sequence[Quantity], one: Entry) -> Iterator[InputLine]:
    for row in rows:
        if not math.isnan(one.value(row.key)):
            yield InputLine(section=section, row=row, number=one.numbers[row.key])


def _sortie(path: Path, entries: Entries, inputs: Sequence[InputLine]) -> Sortie:
    the, of, folder = entries.the, entries.of, path.parent
    depth_m = rain_depth_m(the("launch"), of["stands"])
    return Sortie(
        name=the("flight").name or path.stem,
        launch=launch_of(the("flight"), the("launch")),
        balloon=balloon_of(the("balloon"), hanging_mass_kg(entries)),
        train=the("train").spec(TrainSpec),
        glider=glider_of(the("glider")),
        drop=drop_of(the("drop"), the("crew")),
        release=release_of(the("release")),
        packs=tuple(map(pack_of, of["packs"])),
        fields=tuple(map(field_of, of["fields"])),
        links=tuple(link_spec(one, folder, depth_m) for one in of["links"]),
        stands=tuple(one.spec(StandSpec) for one in of["stands"]),
        triggers=tuple(one.spec(TriggerSpec) for one in of["triggers"]),
        parts=tuple(one.spec(PartSpec) for one in of["parts"]),
        terrain=terrain_of(the("terrain"), folder),
        payload=payload_of(the("payload")),
        set_up_s=the("crew").value("set_up_s"),
        barriers=barriers_of(of["barriers"]),
        places=places_source(the("places"), of["barriers"], folder),
        launch_places=tuple(map(launch_place_of, of["launch_places"])),
        doubt=the("doubt").spec(DoubtSpec),
        wish=the("wish").spec(Wish),
        wind=wind_of(the("wind"), folder),
        permissions=tuple(the("permissions").texts.items()),
        tags=_tags(the("balloon"), inputs),
    )


def _tags(balloon: Entry, inputs: Sequence[InputLine]) -> dict[str, Tag]:
    """Return the origin of every number that has one, by section and key."""
    lines = [line for line in inputs if not line.row.choice]
    tags = {f"{line.section}.{line.row.key}": line.number.tag for line in lines}
    drag = balloon.numbers["drag_factor"].tag if drag_given(balloon) else Tag.TYPICAL
    return tags | {"balloon.drag_table": drag}
