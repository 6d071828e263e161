"""Codec: bytes of one feed into reports, piece by piece, all else counted by its cause."""

from abc import ABC, abstractmethod
from collections.abc import Iterable
from typing import Final, Protocol

from farglide.errors import InputError
from farglide.sortie.feeds import FeedSpec
from farglide.track.codecs.tally import Cause, Tally, UnreadError
from farglide.track.reports import HeightKind, Raw, Report

_REPEATS_S: Final = 10.0
"""A sender's clock that steps back by less repeats itself; by more, it was set."""


class Splitter(Protocol):
    """Takes bytes apart, however they were cut on the way; holds a bounded rest."""

    def take(self, data: bytes, tally: Tally) -> Iterable[bytes]:
        """Return the whole pieces that end in these bytes; count what is none."""


class Codec(ABC):
    """The state of one feed: the rest of what is not whole yet, and the tally.

    What comes out follows from the `Raw` values taken alone, so that a replay gives it again.
    """

    def __init__(self, spec: FeedSpec, splitter: Splitter) -> None:
        self.spec = spec
        self.tally = Tally()
        self.last = b""  # the last whole piece
        self._splitter = splitter
        self._last_t_s: float | None = None

    def take(self, raw: Raw) -> list[Report]:
        """Return the reports that end in these bytes."""
        tally, found = self.tally, list[Report]()
        tally.n_bytes += len(raw.data)
        for piece in self._splitter.take(raw.data, tally):
            tally.n_pieces += 1
            self.last = piece
            try:
                found += self._read(piece, raw)
            except UnreadError as unread:
                tally.causes[unread.cause] += 1
            except InputError:
                tally.causes[Cause.RANGE] += 1
        tally.n_reports += len(found)
        return found

    def flush(self) -> list[Report]:
        """Return what was held back for a piece that may still come: the feed has ended."""
        return []

    @abstractmethod
    def _read(self, piece: bytes, raw: Raw) -> Iterable[Report]:
        """Return the reports of one piece. Raises UnreadError, InputError."""

    def height_kind(self, sent: HeightKind) -> HeightKind:
        """Return from where heights count: as the flight file says, else as they are sent."""
        return sent if self.spec.height == "as sent" else HeightKind(self.spec.height)

    def check_new(self, t_s: float | None) -> None:
        """Refuse a moment that was reported already. Raises UnreadError."""
        last_t_s = self._last_t_s
        if t_s is None:
            return
        if last_t_s is not None and 0.0 <= last_t_s - t_s < _REPEATS_S:
            raise UnreadError(Cause.STALE)
        self._last_t_s = t_s
