"""Bytes and text of a file of winds, with an error that helps when there are none."""

import csv
from pathlib import Path
from typing import Final, NamedTuple

import numpy as np

from farglide.earth.clock import seconds_from_text
from farglide.errors import SourceError

LARGEST_BYTES: Final = 250_000_000
"""More than this is not what one flight needs: read whole, it would only fill the memory."""
LARGEST_TEXT_BYTES: Final = 20_000_000
"""As a list of numbers or places it fills forty times its size."""


class NumberedLine(NamedTuple):
    """A line of a file, and its number for messages."""

    number: int
    text: str


def refused(path: Path | str, what: str, remedy: str = "", *, where: str = "") -> SourceError:
    """Return the error of a file that cannot be used: why, what to do, and where in it."""
    return SourceError(str(path), where, what, remedy)


def content(path: Path, most_bytes: int = LARGEST_BYTES) -> bytes:
    """Return all bytes of the file, which holds at least one and no more than `most_bytes`."""
    size = n_bytes(path)
    if size > most_bytes:
        what = f"holds {size} bytes; allowed: {most_bytes} at most."
        raise refused(path, what, "Cut it down to the soundings or the area needed.")
    try:
        return path.read_bytes()
    except OSError as error:
        raise _unreadable(path, error) from error


def beginning(path: Path, n: int = 65536) -> bytes:
    """Return the first `n` bytes of a file that is not empty."""
    n_bytes(path)
    try:
        with path.open("rb") as file:
            return file.read(n)
    except OSError as error:
        raise _unreadable(path, error) from error


def n_bytes(path: Path) -> int:
    """Return the size of a file that is there and not empty."""
    try:
        if path.is_dir():
            raise refused(path, "is a folder, not a file.", "Name the file inside it.")
        size = path.stat().st_size
        if not path.is_file():
            raise refused(path, "is a device or a pipe, not a file.", "Write it to a file first.")
    except (OSError, ValueError) as error:
        raise _unreadable(path, error) from error
    if size == 0:
        raise refused(path, "is empty (0 bytes).", "Fetch or export it again.")
    return size


def text_of(path: Path, data: bytes) -> str:
    """Return the bytes as text: UTF-8, with or without a byte-order mark, else Latin-1."""
    if b"\0" in data:
        what = "holds a zero byte, so it is not text, nor does it begin like GRIB, BUFR or NetCDF."
        remedy = "Give a file of one of these formats, IGRA text or CSV."
        raise refused(path, what, remedy, where=f"byte {data.index(0)}")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        return data.decode("latin-1")


def csv_cells(path: Path | str, line: NumberedLine, delimiter: str) -> list[str]:
    """Return the cells of a line of a CSV file."""
    try:
        return next(csv.reader([line.text], delimiter=delimiter), [])
    except csv.Error as error:
        what = f"is not CSV: {error}."
        raise refused(path, what, "Mend or remove it.", where=f"line {line.number}") from error


def utc_s(year: int, month: int, day: int, after_midnight_s: float) -> float:
    """Return UTC seconds since 1970 of a date and the seconds after its midnight.

    Raises `InputError` when there is no such day.

    >>> utc_s(2016, 4, 3, 23 * 3600 + 15 * 60 + 38)
    1459725338.0
    """
    return seconds_from_text(f"{year:04d}-{month:02d}-{day:02d}T00:00Z") + after_midnight_s


def utc_words(t_s: float) -> str:
    """Return a moment as a date and minutes in UTC, or words when it is not known.

    >>> utc_words(1459725338.0)
    '2016-04-03 23:15 UTC'
    """
    if not np.isfinite(t_s):
        return "at a time the file does not say"
    # Archives begin in 1905, before the years that `earth.clock` shows.
    return str(np.datetime64(int(t_s), "s"))[:16].replace("T", " ") + " UTC"


def _unreadable(path: Path, error: Exception) -> SourceError:
    reason = getattr(error, "strerror", None) or str(error)
    return refused(path, f"cannot be read: {reason}.", "Check the name and the folder it is in.")
