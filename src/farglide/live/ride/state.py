"""Ride: all that is known at one moment of a flight under way, as one value."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from types import MappingProxyType

from farglide.live.ride.alone import ALONE_S, HeightRead, fix_handed, fix_typed, heights_alone
from farglide.live.ride.task import Entered, Task
from farglide.live.ride.told import Told
from farglide.track.filter.particles import Particles
from farglide.track.handover.sentence import HandedOver
from farglide.track.heights import amsl_m
from farglide.track.received import Received
from farglide.track.reports import Fix
from farglide.track.typed.entries import (
    FieldRefused,
    FlownFor,
    Mark,
    MarkKind,
    Overlay,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class FeedNow:
    """What one feed has come to: when it was heard last (monotonic), its last believed fix.

    `doubted`: the last fix that was not believed, `n_doubted` how many of them in a row.
    """

    heard_s: float | None = None
    believed: Received | None = None
    believed_s: float | None = None  # monotonic
    doubted: Received | None = None
    n_doubted: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Noted:
    """One suspicion, and when it came up (monotonic)."""

    at_s: float
    feed: str
    oddity: str
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Loosed:
    """That a flight hangs on no whole balloon any more, by how it sinks; the last fix before."""

    left: Fix


@dataclass(frozen=True, slots=True, kw_only=True)
class Followed:
    """The stories of a loose flight, and what has been taken into them.

    `key`: what they began with; `fix_t_s`: up to which fix, UTC; `entries`: the numbers of those
    that stood then.
    """

    key: tuple[object, ...]
    particles: Particles
    fix_t_s: float
    entries: tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Ride:
    """The state of a ride behind one record of its log.

    `kept`: believed fixes of the balloon, about one a second, the newest beside them; `ahead_s`:
    UTC less the monotonic time of the ride, by the last sender that told its clock, else by ours;
    `used`: the tables that answers are made of.
    """

    entries: tuple[Entered, ...] = ()
    kept: tuple[Fix, ...] = ()
    newest: Fix | None = None
    points: tuple[Fix, ...] = ()  # believed places without a height, about one a second
    loosed: Loosed | None = None
    feeds: Mapping[str, FeedNow] = field(default_factory=lambda: MappingProxyType({}))
    noted: tuple[Noted, ...] = ()
    ahead_s: float | None = None
    lifted_t_s: float | None = None  # when it left the hand, by its own fixes
    begun: Task | None = None
    used: Task | None = None
    followed: Followed | None = None
    told: Told = field(default_factory=Told)
    telling: Told = field(default_factory=Told)  # of an advice that is not in the log yet
    at_s: float = 0.0  # monotonic, of the last record
    is_over: bool = False

    def feed(self, name: str) -> FeedNow:
        """Return what a feed has come to."""
        return self.feeds.get(name, FeedNow())

    def with_feed(self, name: str, now: FeedNow) -> "Ride":
        """Return the ride with a feed that has come to something else."""
        return replace(self, feeds=MappingProxyType({**self.feeds, name: now}))

    def now_t_s(self, monotonic_s: float, utc_s: float) -> float:
        """Return the time by the clock of the senders, else by this machine's."""
        return utc_s if self.ahead_s is None else monotonic_s + self.ahead_s

    @property
    def marks(self) -> tuple[MarkKind, ...]:
        """Return the marks that stand, in their order."""
        return tuple(one.entry.kind for one in self.entries if isinstance(one.entry, Mark))

    @property
    def bound_for(self) -> str:
        """Return the field for which it is flown, as typed last; empty: nobody said, or refused."""
        found = [one.entry.field for one in self.entries if isinstance(one.entry, FlownFor)]
        return "" if not found or found[-1] in self.refused else found[-1]

    @property
    def refused(self) -> tuple[str, ...]:
        """Return the fields on which nobody may land."""
        found = (one.entry.field for one in self.entries if isinstance(one.entry, FieldRefused))
        return tuple(dict.fromkeys(found))

    @property
    def balloon(self) -> Fix | None:
        """Return the newest fix of the balloon, heard or typed."""
        typed = tuple(self._typed())
        return typed[-1] if typed else self.newest

    @property
    def height_alone(self) -> HeightRead | None:
        """Return the last height typed alone; None where one with a place came later."""
        last_t_s = -1e15 if self.balloon is None else _t_s(self.balloon)
        found = heights_alone(self.entries, (last_t_s,))
        return found[-1] if found and found[-1].t_s > last_t_s else None

    @property
    def height_m(self) -> float | None:
        """Return the height above sea level that was told last, with a place or alone."""
        if self.height_alone is not None:
            return self.height_alone.amsl_m
        return None if self.balloon is None else amsl_m(self.balloon)

    def fixes(self) -> tuple[Fix, ...]:
        """Return all fixes of the balloon; those typed stand where no feed tells."""
        heard = self.kept
        if self.newest is not None and (not heard or heard[-1] is not self.newest):
            heard = (*heard, self.newest)
        typed = tuple(self._typed())
        return heard if not typed else tuple(sorted((*heard, *typed), key=_t_s))

    def _typed(self) -> Iterator[Fix]:
        last_t_s = -1e15 if self.newest is None else _t_s(self.newest)
        for one in self.entries:
            if isinstance(one.entry, HandedOver) and one.entry.at_t_s > last_t_s + ALONE_S:
                yield fix_handed(one.entry)
            if isinstance(one.entry, Overlay) and one.t_s > last_t_s + ALONE_S:
                fix = fix_typed(one.t_s, one.entry)
                if fix is not None:
                    yield fix


def _t_s(fix: Fix) -> float:
    return fix.t_s or 0.0
