"""Opening: what is shown of a ride from the first moment on, until it can be followed."""

import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from textwrap import wrap
from typing import Final

from farglide.cli.screen import Face
from farglide.cli.told import COMPILING, RIDE, Told
from farglide.cli.warm import Ready

_AGAIN_S: Final = 0.2
_USUALLY: Final = "3 to 12 s"
"""How long a ride takes to be opened on two cores, as measured: the most where it was never begun
before."""
_READING: Final = "reading the flight file, the pack and the winds"


class Opening(Told):
    """Progress of the opening: lines on standard error, or a screen drawn on a thread of its own.

    Called as `Told` is; on a screen it goes on to tell what is done once the ride is followed.
    """

    def __init__(self, face: Face) -> None:
        super().__init__(quiet=face.is_screen, steps=(RIDE,))
        self._face, self._opened_s = face, time.monotonic()
        self._what, self._ratio, self._ahead = _READING, 0.0, False
        self._over = threading.Event()
        self._thread = threading.Thread(target=self._show, name="opening", daemon=True)
        if face.is_screen:
            self._thread.start()

    def __call__(self, what: str, done_ratio: float = 0.0) -> None:
        """Tell what is being worked on, and how much of this step is done."""
        super().__call__(what, done_ratio)
        if what.startswith(COMPILING):
            self._what, self._ratio, self._ahead = what, done_ratio, True

    def doing(self) -> str:
        """Return what is done ahead of the first answer; empty once nothing is."""
        if not self._ahead:
            return ""
        parts = self._what.removeprefix(f"{COMPILING}, once: ")
        return f"compiling for this machine, only this once ({parts}; {self._ratio:.0%} done)"

    def done_ahead(self) -> None:
        """Note that nothing is done ahead any more."""
        self._ahead = False

    def close(self) -> None:
        """Leave the screen to the ride."""
        self._over.set()
        if self._thread.ident is not None:
            self._thread.join()

    def _show(self) -> None:
        self._face.draw(self._lines)
        while not self._over.wait(_AGAIN_S):
            self._face.draw(self._lines)

    def _lines(self, columns: int, rows: int) -> list[str]:
        passed_s = time.monotonic() - self._opened_s
        words = f"Opening the ride: {self.doing() or self._what}."
        told = [
            *wrap(words, columns),
            f"{passed_s:.0f} s so far, usually {_USUALLY}. The feeds are heard from then on.",
        ]
        return [*told, *[""] * (rows - 1 - len(told))]


@contextmanager
def opening(face: Face) -> Iterator[Opening]:
    """Yield the opening of a ride on a face."""
    found = Opening(face)
    try:
        yield found
    finally:
        found.close()


def ahead(opened: Opening, ready: Ready) -> Ready:
    """Return what waits until all is compiled; that is begun here, on a thread of its own."""
    over = threading.Event()

    def wait() -> None:
        try:
            ready()
        finally:
            opened.done_ahead()
            over.set()

    def is_over() -> None:
        over.wait()

    threading.Thread(target=wait, name="compiling", daemon=True).start()
    return is_over
