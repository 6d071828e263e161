"""Inbox: what feeds hand on and the ride has not taken yet, bounded for each feed by itself."""

import threading
from collections import deque
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from typing import Final

from farglide.track.reports import Raw

MOST_BYTES: Final = 8 << 20
"""Held for one feed: 50 s of a flood of 2000 lines a second."""
MOST_PIECES: Final = 50_000
_AT_ONCE: Final = 512
_LOOKS_S: Final = 0.05


@dataclass(slots=True)
class _Box:
    """What one feed handed on."""

    held: deque[Raw] = field(default_factory=deque)
    n_bytes: int = 0
    n_lost_bytes: int = 0


class Inbox:
    """Between the threads that read and the one that steps the ride.

    A feed that floods loses its own oldest pieces, counted, and never those of another.
    """

    def __init__(
        self,
        feeds: Iterable[str],
        most_bytes: int = MOST_BYTES,
        heard: Callable[[], None] = lambda: None,
    ) -> None:
        """`heard`: is told of each piece, before it is held."""
        self._boxes = {feed: _Box() for feed in feeds}
        self._most_bytes, self._heard = most_bytes, heard
        self._filled = threading.Condition()

    def put(self, raw: Raw) -> None:
        """Hand on a piece; where there is no room, the oldest of this feed make some."""
        self._heard()
        with self._filled:
            box = self._boxes[raw.feed]
            box.held.append(raw)
            box.n_bytes += len(raw.data)
            while self._is_full(box):
                oldest = box.held.popleft()
                box.n_bytes -= len(oldest.data)
                box.n_lost_bytes += len(oldest.data)
            self._filled.notify()

    def put_in_turn(self, raw: Raw, wait: Callable[[float], bool]) -> None:
        """Hand on a piece as soon as half of the room is free: a file can wait, a port cannot.

        `wait`: waits for some seconds and tells whether to give up.
        """
        while self.held_bytes(raw.feed) > self._most_bytes // 2:
            if wait(_LOOKS_S):
                return
        self.put(raw)

    def take(self, wait_s: float) -> list[Raw]:
        """Return what has come, in the order in which it came; waits for the first so long.

        Of each feed no more than 512 pieces at once, so that a flood leaves the others their turn.
        """
        with self._filled:
            if not any(box.held for box in self._boxes.values()):
                self._filled.wait(wait_s)
            found = [raw for box in self._boxes.values() for raw in _taken(box)]
        return sorted(found, key=lambda raw: raw.monotonic_s)

    def oldest_s(self) -> float | None:
        """Return when the oldest of what waits came, monotonic; None where nothing waits."""
        with self._filled:
            return min((box.held[0].monotonic_s for box in self._boxes.values() if box.held),
                       default=None)  # fmt: skip

    def held_bytes(self, feed: str) -> int:
        """Return how much of a feed waits to be taken."""
        with self._filled:
            return self._boxes[feed].n_bytes

    def lost_bytes(self, feed: str) -> int:
        """Return how much of a feed found no room and is gone."""
        with self._filled:
            return self._boxes[feed].n_lost_bytes

    def _is_full(self, box: _Box) -> bool:
        if len(box.held) <= 1:
            return False
        return box.n_bytes > self._most_bytes or len(box.held) > MOST_PIECES


def _taken(box: _Box) -> list[Raw]:
    found = [box.held.popleft() for _ in range(min(len(box.held), _AT_ONCE))]
    box.n_bytes -= sum(len(raw.data) for raw in found)
    return found
