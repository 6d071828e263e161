"""Stepping: a ride stepped on a thread of its own, so that who shows it waits for nothing."""

import threading
from collections import deque
from collections.abc import Callable
from typing import Final

ENDS_S: Final = 20.0
"""So long a turn or a sum under way is waited for at the end of a ride: some ten times what the
longest takes. Common practice, no source."""

Do = Callable[[], None]


class Stepping:
    """One thread that does a turn of a ride again and again, and between turns what it is asked.

    The ride is a value that is replaced, so any thread may look at it; only this one steps it.
    """

    def __init__(self, turn: Do) -> None:
        self._turn = turn
        self._asked: deque[Do] = deque()
        self._over = threading.Event()
        self._error: BaseException | None = None
        self._thread = threading.Thread(target=self._run, name="ride", daemon=True)

    def start(self) -> None:
        """Begin to step."""
        self._thread.start()

    def ask(self, do: Do) -> None:
        """Have something done between two turns, in the order in which it is asked."""
        self._asked.append(do)

    @property
    def n_asked(self) -> int:
        """Return how much of what was asked is not done yet."""
        return len(self._asked)

    def check(self) -> None:
        """Raise what ended the thread, if anything did."""
        if self._error is not None:
            raise self._error

    def close(self, within_s: float = ENDS_S) -> bool:
        """End stepping once the turn under way is done; tell whether it was, within so long.

        What is asked before that is done first. A turn that hangs is left where it is.
        """
        self._over.set()
        if self._thread.ident is None:
            return True
        self._thread.join(within_s)
        return not self._thread.is_alive()

    def _run(self) -> None:
        try:
            while not self._over.is_set():
                self._do_asked()
                self._turn()
            self._do_asked()
        except BaseException as error:  # handed to who shows the ride, whatever it is
            self._error = error

    def _do_asked(self) -> None:
        while self._asked:
            self._asked[0]()
            self._asked.popleft()  # only now: it counts as asked until it is done
