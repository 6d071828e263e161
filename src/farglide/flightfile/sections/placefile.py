"""Places of a flight file: fields and barriers out of their entries, and what cannot be."""

import math
from collections.abc import Iterator
from pathlib import Path

from farglide.atlas.barriers import Barrier
from farglide.atlas.fields import Field
from farglide.atlas.outline import Outline
from farglide.errors import ContradictionError, InputError, Problem
from farglide.flightfile.entries import Entry, Sheet
from farglide.sortie.spec import BarrierSource, PlacesSource


def field_of(one: Entry) -> Field:
    """Return a field whose entry was found without problems."""
    return Field(
        name=one.name,
        lat_deg=one.numbers["lat_deg"].value,
        lon_deg=one.numbers["lon_deg"].value,
        amsl_m=one.numbers["amsl_m"].value,
        outline=Outline(points=one.outline) if one.outline else None,
        length_m=_stated(one, "length_m"),
        direction_deg=_stated(one, "direction_deg"),
        **one.texts,
    )


def barriers_of(sheet: Sheet) -> tuple[Barrier, ...]:
    """Return the barriers whose outlines stand in the flight file itself."""
    return tuple(
        Barrier(
            name=one.name,
            kind=one.texts["kind"],
            outline=Outline(points=one.outline),
            note=one.texts["note"],
        )
        for one in sheet.barriers
        if one.outline
    )


def places_source(path: Path, sheet: Sheet) -> PlacesSource:
    """Return which other files places are to be read from, beside the flight file."""
    return PlacesSource(
        paths=tuple(str(path.parent / name) for name in sheet.places_files),
        barriers=tuple(
            BarrierSource(
                name=one.name,
                kind=one.texts["kind"],
                note=one.texts["note"],
                path=str(path.parent / one.texts["file"]),
            )
            for one in sheet.barriers
            if one.texts["file"]
        ),
    )


def place_problems(sheet: Sheet) -> Iterator[Problem]:
    """Yield what is wrong with outlines, and fields that do not fit into their own."""
    for i, one in enumerate(sheet.fields, start=1):
        known = not any(math.isnan(one.numbers[key].value) for key in ("lat_deg", "lon_deg"))
        if one.outline and known:
            yield from _tried(f"[[fields]] {i}", one)
    for i, one in enumerate(sheet.barriers, start=1):
        if bool(one.outline) == bool(one.texts["file"]):
            what = "has an outline and a file." if one.outline else "has no outline."
            remedy = 'Write outline = [[lat, lon], ...] or file = "wood.geojson", one of them.'
            yield Problem(f"[[barriers]] {i}", what, remedy)
        elif one.outline:
            yield from _tried(f"[[barriers]] {i}", one)


def _tried(where: str, one: Entry) -> Iterator[Problem]:
    """Yield why an outline, or the field in it, cannot be."""
    try:
        Outline(points=one.outline)
        if "lat_deg" in one.numbers:
            field_of(one)
    except (InputError, ContradictionError) as error:
        yield Problem(f"{where} outline", f"cannot be: {error}")


def _stated(one: Entry, key: str) -> float | None:
    number = one.numbers[key]
    return number.value if number.given and not math.isnan(number.value) else None
