"""Packing: a flight with its winds and the files that it names, written as one pack."""

import hashlib
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Final, NamedTuple

from farglide.air.sounding import Sounding
from farglide.errors import InputError
from farglide.flightfile.flightfile import FlightFile
from farglide.gather.swap import pack_place, staged
from farglide.packfile.grids import FORECAST, GRID_PARTS, MEMBERS, write_grid
from farglide.packfile.manifest import (
    FLIGHT,
    MANIFEST,
    OWN,
    WINDS,
    Manifest,
    is_inside,
    manifest_text,
)
from farglide.packfile.winds import winds_text
from farglide.sortie.files import NamedFile, named_files
from farglide.sortie.pack import Pack

_ELSEWHERE: Final = "files"
_CHUNK_BYTES: Final = 1 << 20


class Copy(NamedTuple):
    """A file on its way into a pack: where it comes from, its name there, and what names it."""

    source: Path
    part: str
    named: tuple[str, ...]  # as the flight file has it
    what: str
    key: str


def copies_of(flight: FlightFile) -> tuple[Copy, ...]:
    """Return the files that a flight names, each with the name it gets in a pack.

    What lies beside the flight file keeps its name; what is named by a full path, or by one that
    leads out of its folder, goes into a folder of its own.
    """
    folder, taken = flight.path.parent, {name.casefold() for name in (*OWN, *GRID_PARTS)}
    copies: dict[str, Copy] = {}
    for one in named_files(flight.sortie):
        if one.path not in copies:
            copy = _copy(one, folder, taken)
            copies[one.path] = copy
            taken.add(copy.part.casefold())
    return tuple(copies.values())


def check_packing(flight: FlightFile, folder: Path) -> None:
    """Refuse at once what cannot become a pack: files not there, a folder that holds other files.

    Raises `InputError` for each.
    """
    copies = copies_of(flight)
    for copy in copies:
        if not copy.source.is_file():
            raise InputError(copy.key, copy.source, "files that are there", "Or take it out.")
    pack_place(folder, _coming(flight, copies))


def pack_into(
    flight: FlightFile, pack: Pack, folder: Path, origins: Mapping[str, str] | None = None
) -> tuple[Copy, ...]:
    """Write a pack into a folder, whole or not at all; return the files that went in besides.

    `origins`: texts that tell where fetched parts come from, by the names that they get.
    Valid: a folder that is new, empty, or a pack as it was gathered.
    """
    copies = copies_of(flight)
    coming = _coming(flight, copies)
    with staged(pack_place(folder, coming), coming) as stage:
        parts = {
            FLIGHT: _written(stage / FLIGHT, pack.flight_text),
            WINDS: _written(stage / WINDS, winds_text(pack.sounding)),
            **{copy.part: _copied(copy, stage) for copy in copies},
            **{name: _written(stage / name, text) for name, text in (origins or {}).items()},
            **_grids_written(pack.sounding, stage),
        }
        files = {named: copy.part for copy in copies for named in copy.named}
        _written(stage / MANIFEST, manifest_text(Manifest(parts=parts, files=files)))
    return copies


def _coming(flight: FlightFile, copies: tuple[Copy, ...]) -> dict[str, Path]:
    return {FLIGHT: flight.path, **{copy.part: copy.source for copy in copies}}


def _copy(one: NamedFile, folder: Path, taken: set[str]) -> Copy:
    source = Path(one.path)
    beside = source.relative_to(folder).as_posix() if source.is_relative_to(folder) else ""
    named = (beside, one.path) if beside and source.is_absolute() else (beside or one.path,)
    part = next(name for name in _names(beside, source.name) if name.casefold() not in taken)
    return Copy(source, part, named, one.what, one.key)


def _grids_written(air: Sounding, stage: Path) -> dict[str, str]:
    """Write what lies around the winds at the launch, if it is known."""
    found: dict[str, str] = {}
    for name, grid in ((FORECAST, air.around), (MEMBERS, air.members)):
        found |= write_grid(grid, stage, name) if grid is not None else {}
    return found


def _names(beside: str, name: str) -> Iterator[str]:
    """Yield the names that a file may have in a pack, the best one first."""
    if beside and is_inside(beside):
        yield beside
    plain = name if is_inside(name) else "file"
    yield f"{_ELSEWHERE}/{plain}"
    n = 2
    while True:
        yield f"{_ELSEWHERE}/{n}/{plain}"
        n += 1


def _written(path: Path, text: str) -> str:
    """Write a text; return its checksum."""
    data = text.encode()
    path.write_bytes(data)
    return hashlib.sha256(data).hexdigest()


def _copied(copy: Copy, stage: Path) -> str:
    """Copy a file into a pack; return the checksum of what was read."""
    target, digest = stage / copy.part, hashlib.sha256()
    target.parent.mkdir(parents=True, exist_ok=True)
    try:
        source = copy.source.open("rb")
    except OSError as error:
        remedy = f"{error.strerror}. Without it the pack is without {copy.what}."
        raise InputError(copy.key, str(copy.source), "a file to copy", remedy) from error
    with source, target.open("xb") as file:
        while chunk := source.read(_CHUNK_BYTES):
            digest.update(chunk)
            file.write(chunk)
    return digest.hexdigest()
