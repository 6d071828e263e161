"""FlightFile: the TOML file the practitioner writes, checked whole and turned into a Sortie."""

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from farglide.errors import FlightFileError, Problem
from farglide.flightfile.crosscheck import contradictions
from farglide.flightfile.entered import read_entries
from farglide.flightfile.entries import Entries, Entry, Section
from farglide.flightfile.notes import notes_of, wind_note
from farglide.flightfile.reading.document import document_of, read_document
from farglide.flightfile.reading.keys import Quantity, Stated, stand_in
from farglide.flightfile.sections.balloon import BALLOON, TRAIN, drag_given
from farglide.flightfile.sections.drop import CREW, DROP
from farglide.flightfile.sections.feeds import FEEDS
from farglide.flightfile.sections.flight import (
    DOUBT,
    FLIGHT,
    LAUNCH,
    WISH,
)
from farglide.flightfile.sections.glider import GLIDER, GLIDES, glide_amsl_m, timed_glide
from farglide.flightfile.sections.launching import GROUNDED, LAUNCH_PLACES
from farglide.flightfile.sections.links import LINKS, fill_radio
from farglide.flightfile.sections.packs import PACKS
from farglide.flightfile.sections.parts import PARTS, TRIGGERS
from farglide.flightfile.sections.payload import (
    PAYLOAD,
    payload_problems,
    with_its_mass,
)
from farglide.flightfile.sections.permits import PERMITS
from farglide.flightfile.sections.places import (
    BARRIERS,
    FIELDS,
    PLACES,
    STANDS,
)
from farglide.flightfile.sections.release import RELEASE
from farglide.flightfile.sections.sources import TERRAIN, WIND
from farglide.flightfile.standins import MEAN_ASCENT_MPS, fill_drop, fill_grounds
from farglide.flightfile.whole import sortie_of
from farglide.glider.fit import TimedGlide
from farglide.sortie.known import Tag
from farglide.sortie.spec import Sortie

EVERY: Final[tuple[Section, ...]] = (
    FLIGHT, LAUNCH, BALLOON, TRAIN, PAYLOAD, GLIDER, GLIDES, DROP, RELEASE, PACKS, FIELDS, LINKS,
    STANDS, TRIGGERS, PARTS, TERRAIN, BARRIERS, PLACES, LAUNCH_PLACES, DOUBT, WISH, WIND, PERMITS,
    CREW, FEEDS,
)  # fmt: skip


_OF_GLIDERS: Final = ("glider", "drop", "release", "crew", "wish")  # not told of a payload


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
    return _checked(path, read_document(path))


def flight_of_text(text: str, path: Path) -> FlightFile:
    """Return the checked flight of a text that stood in a file, as a log keeps it.

    Files that it names count from the folder of `path`. Raises FlightFileError.
    """
    plain = text.removeprefix("\ufeff").replace("\r\n", "\n")
    return _checked(path, document_of(plain, path))


def _checked(path: Path, document: Mapping[str, object]) -> FlightFile:
    entries, problems = _entries(document)
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
        sortie=sortie_of(path, entries, _tags(entries.the("balloon"), inputs)),
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
    untold = _OF_GLIDERS if of_payload else ("payload",)
    for section in EVERY:
        if section.name in untold:
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


def _tags(balloon: Entry, inputs: Sequence[InputLine]) -> dict[str, Tag]:
    """Return the origin of every number that has one, by section and key."""
    lines = [line for line in inputs if not line.row.choice]
    tags = {f"{line.section}.{line.row.key}": line.number.tag for line in lines}
    drag = balloon.numbers["drag_factor"].tag if drag_given(balloon) else Tag.TYPICAL
    return tags | {"balloon.drag_table": drag}
