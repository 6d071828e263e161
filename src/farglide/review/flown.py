"""Flown: one flight as its log or its track has it, before anything is made of it."""

from dataclasses import dataclass
from enum import StrEnum
from typing import Final, NamedTuple

from farglide.outlook.advice import Advice
from farglide.track.reports import Fix
from farglide.track.typed.entries import Entry

TYPED: Final = "typed"
"""The feed of what the crew read off the picture."""


class What(StrEnum):
    """Something that happened, as a crew marks it or a rehearsal tells it."""

    LAUNCHED = "launched"
    SENT = "release sent"
    STUCK = "not released"
    RELEASED = "released"
    BURST = "burst"
    TOPPED = "highest"
    LOST = "picture lost"
    BACK = "picture back"
    LAST = "last picture"
    OVER = "over its field"
    DEAD = "packs empty"
    DOWN = "down"


class Heard(NamedTuple):
    """When a feed was heard, UTC."""

    t_s: float
    feed: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Marked:
    """Something that was marked, UTC; `field`: to which it was flown, if that was said."""

    t_s: float
    what: What
    field: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Typed:
    """Something that was typed, UTC."""

    t_s: float
    entry: Entry


@dataclass(frozen=True, slots=True, kw_only=True)
class Flown:
    """One flight as it was written down.

    `fixes`: of the glider, in time; `cars`: of the car; `advices`: in the order in which they were
    given. A track that was brought in has no promises: `is_log` is false. `speed`: of a rehearsal,
    how many times as fast as life; None: it was flown.
    """

    path: str
    is_log: bool
    is_finished: bool
    fixes: tuple[Fix, ...]
    cars: tuple[Fix, ...] = ()
    marked: tuple[Marked, ...] = ()
    typed: tuple[Typed, ...] = ()
    advices: tuple[Advice, ...] = ()
    notes: tuple[str, ...] = ()
    heard: tuple[Heard, ...] = ()  # all reports of the glider, of each feed
    speed: float | None = None

    @property
    def reports(self) -> tuple[Heard, ...]:
        """Return when each feed of the glider was heard; of a track by its fixes."""
        if self.heard:
            return self.heard
        some = (Heard(one.t_s, one.feed) for one in self.fixes if one.t_s is not None)
        return tuple(one for one in some if one.feed != TYPED)

    def first(self, what: What) -> Marked | None:
        """Return the first mark of a kind."""
        return next((one for one in self.marked if one.what is what), None)

    def last(self, what: What) -> Marked | None:
        """Return the last mark of a kind."""
        return next((one for one in reversed(self.marked) if one.what is what), None)
