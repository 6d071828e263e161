"""List keys: names, files, tables of pairs and outlines, read and checked from a section."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import time
from itertools import pairwise
from typing import Final

from farglide.errors import is_number
from farglide.flightfile.reading.meant import as_path, tidy
from farglide.flightfile.reading.reader import Reader

Pair = tuple[float, float]
Pairs = tuple[Pair, ...]

_LONGEST_NAME: Final = 60
_MOST_NAMES: Final = 40
_SHAPE: Final = "Write outline = [[lat, lon], [lat, lon], [lat, lon]], in decimal degrees."


@dataclass(frozen=True, slots=True, kw_only=True)
class PairTable:
    """A key that holds a table of pairs, the first of each pair rising."""

    key: str
    n_rows: tuple[int, int]
    shape: str  # "a list of pairs"
    example: str
    first: tuple[float, float]  # range
    second: tuple[float, float]
    allowed: str  # both ranges in words
    slip: str = ""  # what to do about a pair outside them
    unsorted: str  # "temperatures"
    sort: str


def read_names(reader: Reader, key: str) -> tuple[str, ...]:
    """Return a list of names without repeats, empty where the key is missing."""
    rows = reader.raw(key, [])
    example = f'Write {key} = ["car receiver", "feed cable"].'
    if not isinstance(rows, list) or len(rows) > _MOST_NAMES:
        reader.refuse(key, f"is {tidy(rows)}, not a list of up to {_MOST_NAMES} names.", example)
        return ()
    found: dict[str, str] = {}
    for row in rows:
        name = " ".join(row.split()) if isinstance(row, str) else ""
        if not name or len(name) > _LONGEST_NAME or not name.isprintable():
            what = f"holds {tidy(row)}; allowed: names of 1 to {_LONGEST_NAME} characters."
            reader.refuse(key, what, example)
        else:
            found.setdefault(name.casefold(), name)
    return tuple(found.values())


def read_files(reader: Reader, example: str) -> tuple[str, ...]:
    """Return the names in `files`, which a section that is there must state."""
    files = reader.raw("files", [])
    if not isinstance(files, list) or not all(isinstance(one, str) and one for one in files):
        remedy = f'Write files = ["{example}", "another"].'
        reader.refuse("files", f"is {tidy(files)}, not a list of names.", remedy)
        return ()
    if reader.table and not files:
        remedy = f'Write files = ["{example}"], or take {reader.title} out.'
        reader.refuse("files", "is missing.", remedy)
    return tuple(map(as_path, files))


def read_pairs(reader: Reader, table: PairTable) -> Pairs | None:
    """Return a table of pairs, None where it is missing."""
    rows, (least, most) = reader.raw(table.key), table.n_rows
    if rows is None:
        return None
    if not isinstance(rows, list) or not least <= len(rows) <= most:
        reader.refuse(table.key, f"is {tidy(rows)}, not {table.shape}.", table.example)
        return ()
    found: list[Pair] = []
    for i, row in enumerate(rows, start=1):
        pair = _pair(row)
        if pair is None:
            reader.refuse(table.key, f"row {i} is {tidy(row)}, not two numbers.", table.example)
        elif not _within(pair[0], *table.first) or not _within(pair[1], *table.second):
            what = f"row {i} is {tidy(row)}; allowed: {table.allowed}."
            reader.refuse(table.key, what, table.slip)
        else:
            found.append((float(pair[0]), float(pair[1])))
    if any(b[0] <= a[0] for a, b in pairwise(found)):
        reader.refuse(table.key, f"has {table.unsorted} that do not rise.", table.sort)
    return tuple(found)


def read_outline(reader: Reader) -> Pairs:
    """Return the corners of `outline`, latitude first, as stated; nothing where there are none.

    Whether they make an outline is asked with the rest of the file.
    """
    rows = reader.raw("outline")
    if rows is None:
        return ()
    if not isinstance(rows, list) or not rows:
        reader.refuse("outline", f"is {tidy(rows)}, not a list of corners.", _SHAPE)
        return ()
    corners: list[Pair] = []
    for i, row in enumerate(rows, start=1):
        pair = _pair(row)
        if pair is None:
            reader.refuse("outline", f"corner {i} is {tidy(row)}, not two numbers.", _SHAPE)
            return ()
        if not (abs(pair[0]) <= 90.0 and abs(pair[1]) <= 180.0):
            allowed = "allowed: latitude -90 to 90, longitude -180 to 180."
            fits = abs(pair[1]) <= 90.0 and abs(pair[0]) <= 180.0
            remedy = "Are they swapped? The latitude stands first here." if fits else ""
            reader.refuse("outline", f"corner {i} is {tidy(row)}; {allowed}", remedy)
            return ()
        corners.append((float(pair[0]), float(pair[1])))
    return tuple(corners)


def with_clock_words(row: Mapping[str, object], key: str) -> Mapping[str, object]:
    """Return a section with a time of day, written without quotes, as text.

    >>> with_clock_words({"last_light": time(20, 10)}, "last_light")
    {'last_light': '20:10'}
    """
    value = row.get(key)
    return {**row, key: value.strftime("%H:%M")} if isinstance(value, time) else row


def _pair(row: object) -> Pair | None:
    if not isinstance(row, list) or len(row) != 2 or not all(map(is_number, row)):
        return None
    return row[0], row[1]  # floats only once they are known to be small enough


def _within(value: float, low: float, high: float) -> bool:
    return low <= value <= high
