"""Utterance: a sentence that may be spoken, how urgent it is, and when it may come again."""

from enum import IntEnum
from typing import Final, NamedTuple

WORDS_PER_MIN: Final = 160.0
AGAIN_S: Final = 20.0
"""No sentence is repeated sooner."""
NEVER_S: Final = float("inf")


class Urgency(IntEnum):
    """How urgent a sentence is, the most urgent first."""

    NOW = 1  # to be done at once
    WINDOW = 2  # the release window, a field or a barrier that is closing, and the count to it
    NEWS = 3  # what changed, how old the last fix is


class Utterance(NamedTuple):
    """A sentence that may be spoken. Of one `key` it is said once, or again after so long."""

    urgency: Urgency
    words: str
    key: str
    again_s: float = NEVER_S

    @property
    def takes_s(self) -> float:
        """Return how long it takes to say."""
        return 60.0 * len(self.words.split()) / WORDS_PER_MIN
