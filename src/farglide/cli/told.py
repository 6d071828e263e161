"""Told: what is being worked on and how much of the work is done, said on standard error."""

import shutil
import sys
import time
from collections.abc import Iterable
from typing import Final

COMPILING: Final = "compiling the kernels"
PLAN: Final = (
    "flying the draws", "asking every field", "comparing launch spots", "trying what would",
)  # fmt: skip
BRIEF: Final = "writing the brief"
LINKS: Final = "hearing every stand"
FIELDS: Final = "crossing the barriers"
SEARCH: Final = "laying out the search"
ASK: Final = "asking the climb so far"
RIDE: Final = "opening the log"
REHEARSE: Final = "rehearsing"
REVIEW: Final = "reviewing"
FETCH: Final = "fetching"
COMPARE: Final = "comparing launches"
COVERAGE: Final = ("reading the ground", "looking round the stand")
"""Steps of the commands, by the beginnings of the words that tell them."""

_SECONDS: Final = {
    COMPILING: 10.0, BRIEF: 0.2, LINKS: 1.0, FIELDS: 1.0,
    SEARCH: 1.0, ASK: 2.0, RIDE: 1.0, REHEARSE: 30.0, REVIEW: 10.0, FETCH: 30.0, COMPARE: 20.0,
    **dict(zip((*PLAN, *COVERAGE), (0.3, 0.7, 0.7, 0.7, 0.3, 1.0), strict=True)),
}  # fmt: skip
"""How long each takes on two cores: only their shares count."""

_N_MARKS: Final = 20
_WIDTH: Final = 99


class Told:
    """Progress on standard error: one line that is overwritten on a terminal, lines elsewhere.

    `steps`: those that will be told, in order. The bar shows the share of their work that is done,
    and is full only when all is.
    """

    def __init__(self, quiet: bool, steps: Iterable[str] = ()) -> None:
        self._began_s = time.monotonic()
        self._steps = tuple(steps)
        self._quiet = quiet
        self._is_terminal = sys.stderr.isatty()
        columns = shutil.get_terminal_size().columns - 1 if self._is_terminal else _WIDTH
        self._width = min(_WIDTH, columns)  # a line that wraps is not overwritten
        self._last = ""

    def expect(self, step: str) -> None:
        """Count with one more step, before all others."""
        self._steps = (step, *self._steps)

    def __call__(self, what: str, done_ratio: float = 0.0) -> None:
        """Tell what is being worked on, if it has a name, and how much of this step is done."""
        if what and what != self._last:
            self._say(what, min(int(_N_MARKS * self._done_ratio(what, done_ratio)), _N_MARKS - 1))
            self._last = what

    def finish(self) -> None:
        """Clear the line, or tell that all is done."""
        if self._last and not self._is_terminal:
            self._say("done", _N_MARKS)
        else:
            self.clear()

    def clear(self) -> None:
        """Clear the line of a terminal, for what is printed above the next one."""
        if self._last and self._is_terminal and not self._quiet:
            self._write("\r" + " " * self._width + "\r")
            self._last = ""

    def _done_ratio(self, what: str, done_ratio: float) -> float:
        """Return how much of all work is done when a step is, by `done_ratio`."""
        seconds = [_SECONDS[step] for step in self._steps]
        for at, step in enumerate(self._steps):
            if what.startswith(step):
                return (sum(seconds[:at]) + done_ratio * seconds[at]) / sum(seconds)
        return 0.0

    def _say(self, what: str, n_marks: int) -> None:
        if self._quiet:
            return
        passed_s = time.monotonic() - self._began_s
        line = f"[{('#' * n_marks).ljust(_N_MARKS, '.')}] {passed_s:4.1f} s  {what}"[: self._width]
        self._write(f"\r{line:<{self._width}}" if self._is_terminal else f"{line}\n")

    def _write(self, text: str) -> None:
        try:
            sys.stderr.write(text)
            sys.stderr.flush()
        except (OSError, ValueError):  # full or closed: the answer counts, not its progress
            self._quiet = True
