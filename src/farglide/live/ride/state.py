"""Ride: all that is known at one moment of a flight under way, as one value."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from enum import StrEnum
from types import MappingProxyType
from typing import Final

from farglide.live.asking import HANDED
from farglide.live.ride.told import Told
from farglide.sortie.spec import Launch
from farglide.track.filter.particles import Particles
from farglide.track.handover.sentence import HandedOver
from farglide.track.heights import amsl_m
from farglide.track.received import Received
from farglide.track.reports import Fix
from farglide.track.typed.entries import (
    Entry,
    FieldRefused,
    LaunchLate,
    LaunchMoved,
    Mark,
    MarkKind,
    Overlay,
)
from farglide.track.typed.told import words_of

TYPED: Final = "typed"
"""The feed of what the crew reads off the picture."""
_OFF_HAND_M: Final = 100.0
"""So far above the launch nobody holds it any more, marked or not; common practice, no source."""


class Phase(StrEnum):
    """What has happened to the flight so far."""

    HAND = "on the hand"
    CLIMB = "climbing"
    SENT = "release sent"
    STUCK = "release stuck"
    RELEASED = "released"
    BURST = "burst"
    DOWN = "down"

    @property
    def is_carried(self) -> bool:
        """Tell whether the balloon carries the glider."""
        return self in (Phase.CLIMB, Phase.SENT, Phase.STUCK)

    @property
    def is_up(self) -> bool:
        """Tell whether it is in the air."""
        return self not in (Phase.HAND, Phase.DOWN)


@dataclass(frozen=True, slots=True, kw_only=True)
class Entered:
    """One entry of the crew, by the number of its record, and when it was typed, UTC."""

    number: int
    t_s: float
    entry: Entry

    @property
    def words(self) -> str:
        """Return what it says."""
        return words_of(self.entry)


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
class Onward:
    """What the way ahead is asked of: a level glider, the field advised, where the car is.

    `t_s`: when it was asked, UTC.
    """

    t_s: float
    fix: Fix
    field: str
    car: Fix | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Task:
    """What slow tables are computed from; `number`: of the record that began them.

    `fixes`: of the balloon; `onward`: None while it carries the glider, or before one is level.
    """

    number: int
    launch: Launch
    refused: tuple[str, ...]
    fixes: tuple[Fix, ...]
    now_t_s: float
    onward: Onward | None = None
    is_loose: bool = False

    @property
    def asked_t_s(self) -> float:
        """Return of which moment its answers are, UTC."""
        return self.now_t_s if self.onward is None else self.onward.t_s


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
    def refused(self) -> tuple[str, ...]:
        """Return the fields on which nobody may land."""
        found = (one.entry.field for one in self.entries if isinstance(one.entry, FieldRefused))
        return tuple(dict.fromkeys(found))

    @property
    def balloon(self) -> Fix | None:
        """Return the newest fix of the balloon, heard or typed."""
        typed = tuple(self._typed())
        return typed[-1] if typed else self.newest

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
            if isinstance(one.entry, HandedOver) and one.entry.at_t_s > last_t_s + 60.0:
                yield _fix_handed(one.entry)
            if isinstance(one.entry, Overlay) and one.t_s > last_t_s + 60.0:
                fix = _fix_of(one.t_s, one.entry)
                if fix is not None:
                    yield fix


def phase_of(ride: Ride, launch: Launch, now_t_s: float) -> Phase:
    """Return what has happened: by the marks, and without one by clock and height."""
    marks = ride.marks
    for kind, phase in (
        (MarkKind.LANDED, Phase.DOWN),
        (MarkKind.RELEASED, Phase.RELEASED),
        (MarkKind.BURST, Phase.BURST),
    ):
        if kind in marks:
            return phase
    orders = [one for one in marks if one in (MarkKind.SENT, MarkKind.STUCK)]
    if orders:
        return Phase.SENT if orders[-1] is MarkKind.SENT else Phase.STUCK
    if MarkKind.LAUNCHED in marks:
        return Phase.CLIMB
    last = ride.balloon
    height_m = None if last is None else amsl_m(last)
    is_up = height_m is not None and height_m > launch.amsl_m + _OFF_HAND_M
    return Phase.CLIMB if is_up and now_t_s >= launch.t_s else Phase.HAND


def launch_of(ride: Ride, planned: Launch) -> Launch:
    """Return the launch as it was: at its mark, else by its own fixes, else as planned or typed."""
    launch, late_s = planned, 0.0
    for one in ride.entries:
        entry = one.entry
        if isinstance(entry, LaunchMoved):
            launch = replace(launch, lat_deg=entry.lat_deg, lon_deg=entry.lon_deg)
        elif isinstance(entry, LaunchLate):
            late_s = entry.late_s
    marked = [one.t_s for one in ride.entries if one.entry == Mark(kind=MarkKind.LAUNCHED)]
    lifted_t_s = planned.t_s + late_s if ride.lifted_t_s is None else ride.lifted_t_s
    return replace(launch, t_s=marked[-1] if marked else lifted_t_s)


def _fix_of(t_s: float, entry: Overlay) -> Fix | None:
    """Return digits off the picture as a fix; None where place or height is not among them."""
    if entry.lat_deg is None or entry.lon_deg is None or entry.amsl_m is None:
        return None
    return Fix(
        feed=TYPED, lat_deg=entry.lat_deg, lon_deg=entry.lon_deg, t_s=t_s, height_m=entry.amsl_m
    )


def _fix_handed(entry: HandedOver) -> Fix:
    """Return what the other car said as a fix."""
    return Fix(
        feed=HANDED,
        lat_deg=entry.lat_deg,
        lon_deg=entry.lon_deg,
        t_s=entry.at_t_s,
        height_m=entry.amsl_m,
    )


def _t_s(fix: Fix) -> float:
    return fix.t_s or 0.0
