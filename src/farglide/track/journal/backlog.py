"""Backlog: records that wait in memory while the medium takes none, the oldest let go when full."""

from collections import deque
from collections.abc import Iterable
from typing import Final

from farglide.track.journal.frame import HEAD_BYTES, SUM_BYTES, Record

MOST_BYTES: Final = 1 << 26
"""About three hours of a ride with five fixes a second and their advice."""


class Backlog:
    """Records in order, up to so many bytes; `n_dropped` counts those let go.

    The oldest go: where it came down, and what was said last, stands at the end.
    """

    def __init__(self, most_bytes: int = MOST_BYTES) -> None:
        self.n_dropped = 0
        self._records: deque[Record] = deque()
        self._most_bytes, self._n_bytes = most_bytes, 0

    def __len__(self) -> int:
        return len(self._records)

    def put(self, record: Record) -> None:
        """Add the newest record."""
        self._records.append(record)
        self._n_bytes += _size(record)
        self._shrink()

    def put_back(self, records: Iterable[Record]) -> None:
        """Add records, in order, before all that wait: they turned out not to be kept."""
        for record in reversed(tuple(records)):
            self._records.appendleft(record)
            self._n_bytes += _size(record)
        self._shrink()

    def first(self) -> Record:
        """Return the oldest record, which stays."""
        return self._records[0]

    def take(self) -> None:
        """Take the oldest record out: it is kept elsewhere now."""
        self._n_bytes -= _size(self._records.popleft())

    def _shrink(self) -> None:
        while self._n_bytes > self._most_bytes and len(self._records) > 1:
            self.take()
            self.n_dropped += 1


def _size(record: Record) -> int:
    return HEAD_BYTES + len(record.payload) + SUM_BYTES
