"""Told: what is being worked on, said on standard error while it lasts."""

import sys
import time
from typing import Final

_N_STEPS: Final = 4


class Told:
    """Progress on standard error: one line that is overwritten on a terminal, lines elsewhere."""

    def __init__(self, quiet: bool) -> None:
        self._began_s = time.monotonic()
        self._n_told = 0
        self._quiet = quiet
        self._is_terminal = sys.stderr.isatty()

    def __call__(self, what: str) -> None:
        """Tell what is being worked on."""
        if self._quiet:
            return
        self._n_told += 1
        bar = ("#" * self._n_told).ljust(_N_STEPS, ".")
        passed_s = time.monotonic() - self._began_s
        line = f"[{bar}] {passed_s:4.1f} s  {what}"
        sys.stderr.write(f"\r{line:<78}" if self._is_terminal else f"{line}\n")
        sys.stderr.flush()

    def finish(self) -> None:
        """Clear the line."""
        if self._is_terminal and not self._quiet:
            sys.stderr.write("\r" + " " * 78 + "\r")
            sys.stderr.flush()
