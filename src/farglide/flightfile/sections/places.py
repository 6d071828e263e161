"""Places: fields, barriers, files of more of them, stands, and what in them cannot be."""

import math
from collections.abc import Iterator
from pathlib import Path
from typing import Final

from farglide.atlas.barriers import BARRIER_KINDS, Barrier
from farglide.atlas.fields import DIRECTIONS_DEG, LENGTHS_M, Field
from farglide.atlas.outline import Outline
from farglide.errors import ContradictionError, InputError, Problem
from farglide.flightfile.entries import Entry, Section, quoted
from farglide.flightfile.reading import endings as unit
from farglide.flightfile.reading.keys import Quantity, needed, typical
from farglide.flightfile.reading.lists import read_files, read_outline
from farglide.flightfile.reading.reader import Reader
from farglide.sortie.sources import BarrierSource, PlacesSource
from farglide.sortie.spec import DRIVER, SECOND_CREW

_FIELD_ROWS: Final = (
    needed("lat", unit.ANGLE, (-89.0, 89.0), "it lies at latitude"),
    needed("lon", unit.ANGLE, (-180.0, 180.0), "it lies at longitude"),
    Quantity("amsl", unit.HEIGHT, (-430.0, 6000.0), "its height above mean sea level is",
             settle="read it off a topographic map"),
    Quantity("length", unit.HEIGHT, LENGTHS_M, "the length usable for a landing is", choice=True),
    Quantity("direction", unit.ANGLE, DIRECTIONS_DEG, "one lands true along", choice=True),
)  # fmt: skip
_ROWS: Final = (
    needed("lat", unit.ANGLE, (-89.0, 89.0), "it lies at latitude"),
    needed("lon", unit.ANGLE, (-180.0, 180.0), "and longitude"),
    Quantity("amsl", unit.HEIGHT, (-430.0, 6000.0), "its ground lies above mean sea level at",
             settle="read it off a topographic map"),
    typical("mast", unit.HEIGHT, (0.5, 30.0), "the antennas stand above the ground at", 2.0),
    Quantity("drive", unit.TIME, (0.0, 86_400.0),
             "the drive there from the launch takes, nine times in ten, less than",
             settle="drive it once"),
    Quantity("nose", unit.ANGLE, (0.0, 360.0), "there the car stands with its nose toward"),
)  # fmt: skip
STANDS: Final = Section(
    name="stands",
    noun="stand",
    about="One section for each place from which the crew listens and commands.",
    rows=_ROWS,
    texts=("name",),
    choices={"crew": ((DRIVER, SECOND_CREW), DRIVER)},
    words={
        "name": "the stand's name; no two alike",
        "crew": f'``"{DRIVER}"``: whoever drives there from the launch; ``"{SECOND_CREW}"``: '
        f'others wait there from the launch on; else ``"{DRIVER}"``',
    },
)


def field_of(one: Entry) -> Field:
    """Return a field found without problems."""
    return one.spec(Field, outline=Outline(points=one.outline) if one.outline else None)


def barriers_of(barriers: list[Entry]) -> tuple[Barrier, ...]:
    """Return the barriers whose outlines stand in the flight file itself."""
    return tuple(
        one.spec(Barrier, outline=Outline(points=one.outline)) for one in barriers if one.outline
    )


def places_source(places: Entry, barriers: list[Entry], folder: Path) -> PlacesSource:
    """Return which other files places are to be read from, in the folder of the flight file."""
    return PlacesSource(
        paths=tuple(str(folder / name) for name in places.lists["files"]),
        barriers=tuple(
            one.spec(BarrierSource, path=str(folder / one.texts["file"]))
            for one in barriers
            if one.texts["file"]
        ),
    )


def outline_problems(fields: list[Entry], barriers: list[Entry]) -> Iterator[Problem]:
    """Yield what is wrong with outlines, and fields that do not fit into their own."""
    for one in fields:
        if one.outline and not any(map(math.isnan, one.place)):
            yield from _tried(one)
    for one in barriers:
        if bool(one.outline) == bool(one.texts["file"]):
            what = "has an outline and a file." if one.outline else "has no outline."
            remedy = 'Write outline = [[lat, lon], ...] or file = "wood.geojson", one of them.'
            yield one.problem("", what, remedy)
        elif one.outline:
            yield from _tried(one)


def _tried(one: Entry) -> Iterator[Problem]:
    """Yield why an outline, or the field in it, cannot be."""
    try:
        Outline(points=one.outline)
        if "lat_deg" in one.numbers:
            field_of(one)
    except (InputError, ContradictionError) as error:
        yield one.problem("outline", f"cannot be: {error}")


def _finish_outline(reader: Reader, one: Entry) -> None:
    one.outline = read_outline(reader)


FIELDS: Final = Section(
    name="fields",
    noun="field",
    about="One section for each place prepared to land on; the first is home, the others follow "
    "in the order of preference.",
    rows=_FIELD_ROWS,
    texts=("name", "role", "surface", "obstacles", "owner", "last_light"),
    clock="last_light",
    finish=_finish_outline,
    words={
        "name": "the field's name; no two alike",
        "role": "in a few words, for the brief",
        "surface": "in a few words, for the brief",
        "obstacles": "trees, wires, fences: in a few words",
        "owner": "what the owner said, in a few words; ask before the flight",
        "last_light": "when the ground there gets too dark to see: a local time without quotes, "
        "``20:10:00``, or words; shown, not reckoned with",
        "outline": "corners as ``[[lat, lon], ...]``, three or more in order round the field; "
        "the field's own point lies inside",
    },
)
BARRIERS: Final = Section(
    name="barriers",
    noun="barrier",
    about="One section for each area where nothing can land or be fetched: the heights from which "
    "it can be crossed are told by ``farglide fields``.",
    texts=("name", "note", "file"),
    choices={"kind": (BARRIER_KINDS, "no landing")},
    finish=_finish_outline,
    words={
        "name": "the barrier's name; no two alike",
        "kind": f'{quoted(BARRIER_KINDS)}; else ``"no landing"``',
        "note": "in a few words",
        "outline": "corners as ``[[lat, lon], ...]``, three or more in order round the area, not "
        "crossing themselves; straight in degrees between two corners",
        "file": "in place of ``outline``: a GeoJSON, KML or GPX file whose areas are all this "
        "barrier",
    },
)
PLACES: Final = Section(
    name="places",
    about="More fields, barriers, roads, rails, wires and houses. Fields of the files follow those "
    "of the flight file; with none there, the first of them is home.",
    finish=lambda reader, one: one.lists.update(files=read_files(reader, "area.geojson")),
    words={
        "files": "**required** in this section. A list of GeoJSON, KML or GPX files beside the "
        "flight file; see :doc:`places`"
    },
)
