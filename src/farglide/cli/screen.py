"""Screen: a terminal redrawn in place, with one line at its bottom to type at; or plain lines."""

import os
import select
import shutil
import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from typing import Final, Protocol

from farglide.cli.terminal import shown, tell

LEAST: Final = (80, 24)
_HOME: Final = "\x1b[H"
_TO_LINE_END: Final = "\x1b[K"
_TO_SCREEN_END: Final = "\x1b[J"
_CLEARED: Final = "\x1b[H\x1b[2J"
_AT_ONCE: Final = 4096
_ESCAPES: Final = "\x1b"


class Face(Protocol):
    """What a ride is shown on and typed at."""

    is_screen: bool

    def typed(self) -> list[str]:
        """Return the lines that were ended since it was asked last."""

    def draw(self, lines: Callable[[int, int], Sequence[str]]) -> None:
        """Show lines made for so many columns and rows."""

    @property
    def is_closed(self) -> bool:
        """Tell whether nobody types any more."""

    @property
    def half(self) -> str:
        """Return the line that is begun and not ended."""


@dataclass(slots=True)
class Line:
    """The line that is being typed."""

    text: str = ""
    _in_escape: bool = False

    def take(self, keys: str) -> list[str]:
        """Take some keys; return the lines that they end.

        Backspace, Ctrl-U (all of it away) and Enter count; the arrow keys and others do nothing.
        """
        ended = []
        for key in keys:
            if self._in_escape:
                self._in_escape = not (key.isalpha() or key == "~")
            elif key in _ESCAPES:
                self._in_escape = True
            elif key in "\r\n":
                ended.append(self.text)
                self.text = ""
            elif key in "\x7f\b":
                self.text = self.text[:-1]
            elif key == "\x15":
                self.text = ""
            elif key.isprintable():
                self.text += key
        return ended


class Screen:
    """A terminal in place: home, each line to its end, and nothing is cleared in between."""

    is_screen = True

    def __init__(self, write: Callable[[str], object], read: Callable[[], str | None]) -> None:
        """`read` returns the keys that wait, None once nobody types any more."""
        self._write, self._read = write, read
        self._line, self._last, self._is_closed = Line(), "", False
        self._size = (0, 0)

    @property
    def is_closed(self) -> bool:
        """Tell whether nobody types any more."""
        return self._is_closed

    @property
    def half(self) -> str:
        """Return the line that is begun and not ended."""
        return self._line.text

    def typed(self) -> list[str]:
        """Return the lines that were ended since it was asked last."""
        keys = self._read()
        if keys is None:
            self._is_closed = True
            return []
        return self._line.take(keys)

    def draw(self, lines: Callable[[int, int], Sequence[str]]) -> None:
        """Show lines above the one that is typed at, if anything is otherwise than it was."""
        size = shutil.get_terminal_size(LEAST)
        columns, rows = max(size.columns, LEAST[0]), max(size.lines, LEAST[1])
        encoding = getattr(sys.stdout, "encoding", None) or "utf-8"
        told = [shown(one, encoding)[:columns] for one in lines(columns, rows)]
        typed = shown(f"> {self._line.text}", encoding)[-(columns - 1) :]
        text = "".join(f"{one}{_TO_LINE_END}\r\n" for one in told)
        text = f"{_HOME}{text}{typed}{_TO_LINE_END}{_TO_SCREEN_END}"
        if (columns, rows) != self._size:  # begun, or another size: what stood there is in the way
            self._size, self._last = (columns, rows), ""
            self._write(_CLEARED)
        if text != self._last:
            self._write(text)
            self._last = text


class Plain:
    """Lines out and lines in, where there is no terminal: nothing is drawn."""

    is_screen = False

    def __init__(self, read: Callable[[], str | None]) -> None:
        self._read = read
        self._line, self._is_closed = Line(), False

    @property
    def is_closed(self) -> bool:
        """Tell whether nobody types any more."""
        return self._is_closed

    @property
    def half(self) -> str:
        """Return the line that is begun and not ended."""
        return self._line.text

    def typed(self) -> list[str]:
        """Return the lines that have come since it was asked last."""
        text = None if self._is_closed else self._read()
        if text is None:
            self._is_closed = True
            return []
        return self._line.take(text)

    def draw(self, lines: Callable[[int, int], Sequence[str]]) -> None:
        """Draw nothing: each advice is told as it comes."""


@contextmanager
def face_of() -> Iterator[Face]:
    """Yield a screen where both ends are a terminal, which is as before afterwards; else lines."""
    if not (sys.stdin.isatty() and sys.stdout.isatty()):
        yield Plain(_waiting)
        return
    with _key_by_key():
        yield Screen(_put, _waiting)
        tell("")


def _put(text: str) -> None:
    sys.stdout.write(text)
    sys.stdout.flush()


def _waiting() -> str | None:
    """Return what was typed and waits, None at the end of it."""
    try:
        handle = sys.stdin.fileno()
        if not select.select([handle], [], [], 0.0)[0]:
            return ""
        data = os.read(handle, _AT_ONCE)
    except (OSError, ValueError):
        return None
    return data.decode("utf-8", "replace") if data else None


@contextmanager
def _key_by_key() -> Iterator[None]:
    """Have the terminal hand on each key at once, unseen, until it is over."""
    import termios  # not there on every system, and needed with a terminal alone
    import tty

    handle = sys.stdin.fileno()
    before = termios.tcgetattr(handle)
    try:
        tty.setcbreak(handle)
        yield
    finally:
        with suppress(termios.error):
            termios.tcsetattr(handle, termios.TCSADRAIN, before)
