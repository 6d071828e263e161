"""Reader: the thread of one feed, which opens it, reads it, and opens it again when it is back."""

import threading
from collections.abc import Callable
from contextlib import closing
from dataclasses import dataclass
from enum import StrEnum
from typing import Final, NamedTuple

from farglide.live.feeds.inbox import Inbox
from farglide.live.feeds.sources import FeedEndedError, Source, open_source
from farglide.sortie.feeds import FeedSpec
from farglide.track.codecs.gpsd import WATCH
from farglide.track.reports import Raw


class Clocks(NamedTuple):
    """This machine's clocks, as functions: seconds since the ride began, and UTC seconds."""

    monotonic_s: Callable[[], float]
    utc_s: Callable[[], float]


class Patience(NamedTuple):
    """How long to wait before a feed is opened again: at first, and at most, doubled between."""

    first_s: float = 0.5
    most_s: float = 5.0


class State(StrEnum):
    """What a feed's thread is at."""

    OPENING = "opening"
    OPEN = "open"
    AWAY = "not there"  # tried again and again
    ENDED = "ended"  # a file, read through


@dataclass(slots=True)
class Condition:
    """How a feed fares: written by its thread, read by whoever shows it."""

    state: State = State.OPENING
    why: str = ""  # it is not there
    n_opened: int = 0
    last_monotonic_s: float | None = None  # when bytes last came


_PATIENT: Final = Patience()


class FeedReader:
    """One feed, read in a thread of its own that does nothing but hand on bytes."""

    def __init__(
        self,
        spec: FeedSpec,
        inbox: Inbox,
        clocks: Clocks,
        patience: Patience = _PATIENT,
    ) -> None:
        self.spec = spec
        self.condition = Condition()
        self._inbox, self._clocks, self._patience = inbox, clocks, patience
        self._over = threading.Event()
        self._thread = threading.Thread(target=self._run, name=f"feed {spec.name}", daemon=True)

    def start(self) -> None:
        """Begin to read."""
        self._thread.start()

    def stop(self) -> None:
        """End reading, within a second; a thread that was never begun is left alone."""
        self._over.set()
        if self._thread.is_alive():
            self._thread.join(1.0)

    def _run(self) -> None:
        wait_s = self._patience.first_s
        while not self._over.is_set():
            n_opened = self.condition.n_opened
            try:
                self._listen()
            except FeedEndedError:
                self.condition.state = State.ENDED
                return
            except Exception as error:  # unplugged, refused, or whatever a driver raises: told
                self.condition.state, self.condition.why = State.AWAY, _reason(error)
            if self.condition.n_opened > n_opened:
                wait_s = self._patience.first_s
            self._over.wait(wait_s)
            wait_s = min(2.0 * wait_s, self._patience.most_s)

    def _listen(self) -> None:
        """Open the feed and hand on its bytes until it ends. Raises OSError, FeedEndedError."""
        greeting = WATCH if self.spec.format == "gpsd" else b""
        with closing(open_source(self.spec.where, greeting)) as source:
            self.condition.state, self.condition.why = State.OPEN, ""
            self.condition.n_opened += 1
            while not self._over.is_set():
                self._hand_on(source)

    def _hand_on(self, source: Source) -> None:
        data = source.read()
        if not data:
            return
        now_s = self._clocks.monotonic_s()
        self.condition.last_monotonic_s = now_s
        raw = Raw(feed=self.spec.name, monotonic_s=now_s, utc_s=self._clocks.utc_s(), data=data)
        if self.spec.where.kind == "file":
            self._inbox.put_in_turn(raw, self._over.wait)
        else:
            self._inbox.put(raw)


def _reason(error: Exception) -> str:
    """Return why a feed is not there, as the system says it."""
    return str(getattr(error, "strerror", None) or error)
