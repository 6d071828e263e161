"""Terminal: answers and errors in what it can show, and what happens when it takes none."""

import os
import shutil
import sys
import unicodedata
from contextlib import suppress
from typing import Final

import typer

from farglide.errors import OutputError

_NARROW: Final = 80
_WIDE: Final = 100
_UNPRINTED: Final = ("Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp")
"""Kinds of characters that steer a terminal, turn its text about, or are none."""
_PLAIN: Final = str.maketrans(
    {
        "−": "-", "–": "-", "—": "-", "─": "-", "…": "...", "’": "'", "‘": "'", "“": '"', "”": '"',
        "°": " deg", "×": "x", "±": "+/-", "²": "2", "³": "3", "·": ".", "→": "->", "≤": "<=",
        "≥": ">=", "≈": "~", "µ": "u", "ß": "ss", "ø": "o", "Ø": "O",
        "\N{REPLACEMENT CHARACTER}": "?",
    }
)  # fmt: skip


def shown(text: str, encoding: str = "utf-8") -> str:
    """Return a text as a terminal of an encoding shows it, without what would steer it.

    >>> shown("a\\x1b[2Jb − 5°")
    'a\N{REPLACEMENT CHARACTER}[2Jb − 5°'
    >>> shown("Höhe − 5° Ł", "ascii")
    'Hohe - 5 deg ?'
    """
    clean = "".join(map(_clean, text))
    return clean if _fits(clean, encoding) else "".join(_plain(c, encoding) for c in clean)


def shown_json(text: str, encoding: str = "utf-8") -> str:
    r"""Return a JSON document with what a terminal cannot show written as escapes.

    >>> shown_json('{"name": "Höhe \x9b"}'), shown_json('{"name": "Höhe"}', "ascii")
    ('{"name": "Höhe \\u009b"}', '{"name": "H\\u00f6he"}')
    """
    return "".join(
        c if _clean(c) == c and _fits(c, encoding) else _json_escape(c) for c in text
    )  # fmt: skip


def is_terminal() -> bool:
    """Tell whether answers are read in a terminal, not written into a file."""
    return sys.stdout.isatty()


def columns() -> int:
    """Return how wide the first screen may be: as the terminal, 80 to 100; 100 elsewhere."""
    if not is_terminal():
        return _WIDE
    return min(max(shutil.get_terminal_size().columns, _NARROW), _WIDE)


def flush() -> None:
    """Let out what was written and waits still; nothing where there is nobody to take it."""
    for stream in (sys.stdout, sys.stderr):
        with suppress(OSError, ValueError):
            stream.flush()


def tell(text: str) -> None:
    """Write an answer to standard output; raise `OutputError` where nothing can be written."""
    _write(shown(text, _encoding(sys.stdout)))


def tell_document(text: str) -> None:
    """Write a JSON document to standard output, as `tell`."""
    _write(shown_json(text, _encoding(sys.stdout)))


def complain(text: str) -> None:
    """Write an error to standard error, if that takes anything."""
    with suppress(OSError, ValueError):
        typer.echo(shown(text, _encoding(sys.stderr)), err=True)


def open_streams() -> None:
    """See to it that no file of ours gets the place of a stream that the shell closed.

    Raises `OutputError` where standard output is closed.
    """
    while (handle := os.open(os.devnull, os.O_RDWR)) <= 2:
        continue
    os.close(handle)
    if sys.stderr is None:
        sys.stderr = open(os.devnull, "w", encoding="utf-8")  # noqa: SIM115, PTH123
    if sys.stdout is None:
        raise OutputError("Standard output is closed: the answer has nowhere to go.")


def _write(text: str) -> None:
    try:
        typer.echo(text)
    except BrokenPipeError:  # who reads has read enough: the command line ends quietly
        raise
    except (OSError, ValueError) as error:
        with suppress(OSError, ValueError):  # else Python tries once more as it ends
            os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        reason = getattr(error, "strerror", None) or error
        what = f"Standard output cannot be written: {reason}."
        raise OutputError(f"{what} Send the answer elsewhere.") from error


def _encoding(stream: object) -> str:
    return getattr(stream, "encoding", None) or "utf-8"


def _clean(c: str) -> str:
    is_shown = c == "\n" or unicodedata.category(c) not in _UNPRINTED
    return c if is_shown else "\N{REPLACEMENT CHARACTER}"


def _fits(text: str, encoding: str) -> bool:
    try:
        text.encode(encoding)
    except (UnicodeEncodeError, LookupError):
        return False
    return True


def _plain(c: str, encoding: str) -> str:
    """Return a character, or what stands for it where an encoding lacks it."""
    if _fits(c, encoding):
        return c
    bare = unicodedata.normalize("NFKD", c.translate(_PLAIN)).encode("ascii", "ignore").decode()
    return bare or "?"


def _json_escape(c: str) -> str:
    units = c.encode("utf-16-be", "surrogatepass")
    return "".join(f"\\u{units[i]:02x}{units[i + 1]:02x}" for i in range(0, len(units), 2))
