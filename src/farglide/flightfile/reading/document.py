"""Document: a flight file as TOML says it, or the one problem that keeps it from being read."""

import re
import tomllib
from pathlib import Path
from typing import Final

from farglide.errors import FlightFileError, Problem

_LARGEST_BYTES: Final = 1_000_000
_LINE_OF: Final = re.compile(r"at line (\d+)")
_COMMA_NUMBER: Final = re.compile(r"=\s*[+-]?\d+,\d")
_NO_NAME: Final = re.compile(r"[,=\[\]]")
_MOST_DOTS: Final = 100
LAUNCH_AT: Final = (
    "Write date, time with seconds, and offset, without quotes: launch_at = "
    "2027-01-23T16:40:00+07:00"
)


def read_document(path: Path) -> dict[str, object]:
    """Return the sections of a file, not yet checked; raise `FlightFileError` if it is no TOML."""
    return document_of(_text(path), path)


def document_of(text: str, path: Path) -> dict[str, object]:
    """Return the sections of a text that stood in a file; raise `FlightFileError` as above."""
    try:
        _check_dots(text)
        return tomllib.loads(text)
    except RecursionError:
        problem = Problem("the file", "nests brackets too deeply to be read.", "Take some out.")
    except ValueError as error:
        problem = _syntax_problem(text, str(error))
    raise FlightFileError(str(path), (problem,))


def _check_dots(text: str) -> None:
    """Refuse a name of very many parts: what reads TOML takes hours for it."""
    for i, line in enumerate(text.split("\n"), start=1):
        if line.count(".") > _MOST_DOTS:
            pieces = _NO_NAME.split(line.partition("#")[0])
            if any(piece.count(".") > _MOST_DOTS for piece in pieces):
                raise ValueError(f"a name of more than {_MOST_DOTS} parts (at line {i}, column 1)")


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
