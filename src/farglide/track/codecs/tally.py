"""Tally: how much of a feed was reports, and what the rest was, by cause."""

from collections import Counter
from dataclasses import dataclass, field
from enum import StrEnum


class Cause(StrEnum):
    """Why a piece of a feed is no report."""

    NO_LINE = "not a line"
    CHECKSUM = "wrong checksum"
    HALF = "half line"
    UNKNOWN = "unknown kind"
    RANGE = "out of range"
    NO_FIX = "no fix yet"
    STALE = "stale"
    OTHER = "another sender"
    SPARE = "not needed"  # said better by another message


class UnreadError(Exception):
    """A piece of a feed that is no report, and why."""

    def __init__(self, cause: Cause) -> None:
        self.cause = cause
        super().__init__(cause.value)


@dataclass(slots=True)
class Tally:
    """Counts of one feed. A piece is a line or a frame."""

    n_bytes: int = 0
    n_pieces: int = 0
    n_reports: int = 0
    causes: Counter[Cause] = field(default_factory=Counter)

    @property
    def n_unread(self) -> int:
        """Return how many pieces were no report."""
        return sum(self.causes.values())

    @property
    def is_garbage(self) -> bool:
        """Tell whether bytes came, and mostly such as are of no known kind.

        Lines of a receiver that has no fix yet, or of kinds that are not needed, are no garbage.
        """
        garbled = sum(self.causes[one] for one in (Cause.NO_LINE, Cause.CHECKSUM, Cause.HALF))
        return self.n_bytes > 0 and 2 * garbled > self.n_pieces
