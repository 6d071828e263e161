"""Speaker: sentences to be spoken, one a line, for whatever program speaks them."""

import os
from pathlib import Path
from typing import Final

from farglide.cli.terminal import complain
from farglide.errors import InputError
from farglide.outlook.advice import Advice
from farglide.present.say.aloud import Speech, said_next
from farglide.present.say.text import FlightClock

_AS: Final = os.O_WRONLY | os.O_APPEND | os.O_CREAT | getattr(os, "O_NONBLOCK", 0)
"""Without waiting: a pipe that nobody reads is refused, one that is full holds up no fix."""


class Speaker:
    """Writes what is to be spoken to a file or a named pipe; one that broke is let go."""

    def __init__(self, path: Path) -> None:
        """Open it. Raises InputError where it cannot be written."""
        self._path, self._speech = path, Speech()
        try:
            self._handle: int | None = os.open(path, _AS, 0o644)
        except OSError as error:
            remedy = "Give a file, or a named pipe; begin what reads it first."
            given, allowed = f"{path}: {error.strerror}", "a file that can be written"
            raise InputError("--aloud", given, allowed, remedy) from None

    def __call__(self, advice: Advice, clock: FlightClock, is_typing: bool = False) -> None:
        """Write what is begun now; `! ` before a line says to break off the one before."""
        self._speech, said = said_next(self._speech, advice, clock, is_typing)
        if said is None or self._handle is None:
            return
        try:
            os.write(self._handle, f"{'! ' if said.breaks_off else ''}{said.words}\n".encode())
        except OSError as error:
            complain(f"Nothing is spoken any more: {self._path}: {error.strerror}.")
            self.close()

    def close(self) -> None:
        """Let the file go."""
        if self._handle is not None:
            os.close(self._handle)
            self._handle = None
