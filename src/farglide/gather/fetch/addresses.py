"""Addresses: the file of sources, ours with what the user's own changes, every problem at once."""

from collections.abc import Mapping
from importlib.resources import files
from pathlib import Path
from typing import Final

from farglide.errors import FlightFileError, Problem
from farglide.flightfile.reading.document import document_of
from farglide.flightfile.reading.meant import tidy
from farglide.flightfile.reading.reader import Reader
from farglide.gather.fetch.places import ADDRESSES
from farglide.gather.fetch.source import Gives, Kind, Source
from farglide.gather.fetch.stated import addresses_of, grid_of, members_of, numbers_of, texts_of

_LARGEST_BYTES: Final = 1_000_000
_MOST_SOURCES: Final = 100
_OURS: Final = files("farglide.gather.fetch") / "assets" / ADDRESSES


def read_addresses(own: Path | None = None) -> tuple[Source, ...]:
    """Return the sources, in the order in which they are asked.

    `own`: the user's file, whose sections and keys take the place of ours.
    Raises `FlightFileError` with every problem of it.
    """
    ours = _document(_OURS.read_text(encoding="utf-8"), Path(ADDRESSES))
    if own is None:
        return sources_of(ours, ADDRESSES)
    return sources_of(_merged(ours, _document(_text(own), own), str(own)), str(own))


def sources_of(sections: Mapping[str, object], path: str) -> tuple[Source, ...]:
    """Return the sources that the sections of a file are; those out of use are left out."""
    problems, found = list[Problem](), list[Source | None]()
    if len(sections) > _MOST_SOURCES:
        what = f"holds {len(sections)} sections; allowed: {_MOST_SOURCES}."
        raise FlightFileError(path, (Problem("the file", what, "Take some out."),))
    for key, table in sections.items():
        title = f"[{tidy(key).strip(chr(34))}]"
        if isinstance(table, dict):
            found.append(_source(key, Reader(title, table, problems)))
        else:
            remedy = f"Write {title} on a line of its own and the keys below it."
            problems.append(Problem(title, "is not a section.", remedy))
    if problems:
        raise FlightFileError(path, tuple(problems))
    return tuple(one for one in found if one is not None)


def _source(key: str, reader: Reader) -> Source | None:
    """Return the source of a section, None where it is out of use or has problems."""
    before = len(reader.problems)
    is_used = reader.raw("use", True)
    if not isinstance(is_used, bool):
        reader.refuse("use", f"is {tidy(is_used)}.", "Write use = true or use = false.")
    kind = Kind(reader.choice("kind", list(Kind), None))
    gives = Gives(reader.choice("gives", list(Gives), None))
    texts = texts_of(reader, kind)
    members = members_of(reader, gives)
    addresses = addresses_of(reader, kind, len(members))
    grid = grid_of(reader, kind)
    numbers = numbers_of(reader, kind)
    reader.finish({})
    if len(reader.problems) > before or not is_used:
        return None
    return Source(
        key=key, kind=kind, gives=gives, addresses=addresses, members=members,
        **texts, **grid, **numbers,
    )  # fmt: skip


def _merged(ours: Mapping[str, object], own: Mapping[str, object], path: str) -> dict[str, object]:
    """Return our sections with the keys of the user's in their place."""
    merged = dict(ours)
    for key, table in own.items():
        here = ours.get(key)
        if isinstance(table, dict) and isinstance(here, dict):
            merged[key] = {**here, **table}
        else:
            merged[key] = table
    return merged


def _document(text: str, path: Path) -> dict[str, object]:
    return document_of(text, path)


def _text(path: Path) -> str:
    try:
        if path.exists() and not path.is_file():
            what = "is no file."
        elif path.stat().st_size > _LARGEST_BYTES:
            what = "is larger than 1 MB."
        else:
            return path.read_bytes().decode("utf-8-sig").replace("\r\n", "\n")
    except UnicodeDecodeError as error:
        what = f"is no UTF-8 text (byte {error.start})."
    except (OSError, ValueError) as error:
        what = f"cannot be read: {getattr(error, 'strerror', None) or error}."
    raise FlightFileError(str(path), (Problem("the file", what, "Name a file of addresses."),))
