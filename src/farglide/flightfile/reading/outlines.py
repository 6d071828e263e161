"""Outlines, lists of files and times of day as a flight file writes them."""

from collections.abc import Mapping
from datetime import time
from typing import Final

from farglide.flightfile.reading.keys import Reader, tidy

Corners = tuple[tuple[float, float], ...]

_SHAPE: Final = "Write outline = [[lat, lon], [lat, lon], [lat, lon]], in decimal degrees."


def read_outline(reader: Reader) -> Corners:
    """Return the corners of `outline`, latitude first, as stated; nothing where there are none.

    Whether they make an outline is asked with the rest of the file.
    """
    reader.known_keys.add("outline")
    if "outline" not in reader.table:
        return ()
    rows = reader.table["outline"]
    if not isinstance(rows, list) or not rows:
        reader.refuse("outline", f"is {tidy(rows)}, not a list of corners.", _SHAPE)
        return ()
    corners: list[tuple[float, float]] = []
    for i, row in enumerate(rows, start=1):
        if not isinstance(row, list) or len(row) != 2 or not all(map(_is_number, row)):
            reader.refuse("outline", f"corner {i} is {tidy(row)}, not two numbers.", _SHAPE)
            return ()
        if not (abs(row[0]) <= 90.0 and abs(row[1]) <= 180.0):
            allowed = "allowed: latitude -90 to 90, longitude -180 to 180."
            fits = abs(row[1]) <= 90.0 and abs(row[0]) <= 180.0
            remedy = "Are they swapped? The latitude stands first here." if fits else ""
            reader.refuse("outline", f"corner {i} is {tidy(row)}; {allowed}", remedy)
            return ()
        corners.append((float(row[0]), float(row[1])))
    return tuple(corners)


def read_files(reader: Reader, example: str) -> tuple[str, ...]:
    """Return the names in `files`, which a section that is there must state."""
    reader.known_keys.add("files")
    files = reader.table.get("files", [])
    if not isinstance(files, list) or not all(isinstance(one, str) and one for one in files):
        remedy = f'Write files = ["{example}", "another"].'
        reader.refuse("files", f"is {tidy(files)}, not a list of names.", remedy)
        return ()
    if reader.table and not files:
        remedy = f'Write files = ["{example}"], or take {reader.title} out.'
        reader.refuse("files", "is missing.", remedy)
    return tuple(files)


def with_clock_words(row: Mapping[str, object], key: str) -> Mapping[str, object]:
    """Return a section with a time of day, written without quotes, as text.

    >>> with_clock_words({"last_light": time(20, 10)}, "last_light")
    {'last_light': '20:10'}
    """
    value = row.get(key)
    return {**row, key: value.strftime("%H:%M")} if isinstance(value, time) else row


def _is_number(value: object) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)
