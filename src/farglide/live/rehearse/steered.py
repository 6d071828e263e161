"""Steered: a rehearsed glide by a crew that looks at the advice on its way, and follows it."""

from dataclasses import replace
from typing import Final, NamedTuple

import numpy as np

from farglide.errors import InputError
from farglide.live.asking import thinned
from farglide.live.rehearse.ended import Flown
from farglide.live.rehearse.flown import let_go, turned
from farglide.live.rehearse.sent import EVERY_S, TRACKER, Ground, Receiver
from farglide.live.rehearse.sitting import SPEC, Look, Sitting
from farglide.live.ride.slow import Maker
from farglide.live.ride.state import Ride
from farglide.live.ride.task import Entered
from farglide.live.session import Session
from farglide.sortie.feeds import FeedSpec
from farglide.track.codecs.nmea import NmeaCodec
from farglide.track.reports import Fix
from farglide.track.typed.entries import Mark, MarkKind

LOOK_S: Final = 120.0
"""Between two looks of a crew that steers; common practice, no source."""
_FIRST_S: Final = 90.0
_OWN_SEED: Final = 7_000_003


class Turn(NamedTuple):
    """When a crew turned to another field, after the launch, and to which."""

    t_s: float
    field: int


class Steered(NamedTuple):
    """A flight as it was steered, what was advised on its way, and where it turned."""

    flown: Flown
    looks: tuple[Look, ...]
    turns: tuple[Turn, ...]


def straight(sitting: Sitting, free_s: float | None, field: int) -> Steered:
    """Return a flight that makes for one field all the way, whatever is advised."""
    return Steered(let_go(sitting.truth, sitting.lift, free_s, field), (), ())


def steered(sitting: Sitting, seed: int, free_s: float | None, field: int) -> Steered:
    """Return a flight whose crew looks at the advice on its way and turns where it says so.

    `free_s`: when the pin let go, None: never. The same seed gives the same flight.
    """
    flown = let_go(sitting.truth, sitting.lift, free_s, field)
    if free_s is None or not np.isfinite(flown.release_s):
        return Steered(flown, (), ())
    heard, looks, turns = _Heard(sitting, seed, free_s), list[Look](), list[Turn]()
    t_s = free_s + _FIRST_S
    while t_s < min(flown.path.end_s, sitting.truth.dead_s):
        look = heard.look(flown, t_s, field)
        looks.append(look)
        wanted = None if look.advice is None else _field(sitting, look)
        if wanted is not None and wanted != field:
            field = wanted
            flown = turned(sitting.truth, flown, t_s, field)
            turns.append(Turn(t_s, field))
        t_s += LOOK_S
    return Steered(flown, tuple(looks), tuple(turns))


def _field(sitting: Sitting, look: Look) -> int | None:
    after = None if look.advice is None else look.advice.after
    if after is None or after.steer is None:
        return None
    names = [one.name for one in sitting.planned.sortie.fields]
    return names.index(after.steer.field)


class _Heard:
    """What a crew hears after the release, and the ride that this makes."""

    def __init__(self, sitting: Sitting, seed: int, free_s: float) -> None:
        planned = sitting.planned
        self._sitting, self._heard_s = sitting, free_s
        ground = Ground(planned.sortie.launch, planned.air.scene)
        self._receiver = Receiver(TRACKER, ground, seed + _OWN_SEED)
        self._codec, self._session = NmeaCodec(SPEC), Session(
            planned.sortie, (FeedSpec(name=TRACKER, where=SPEC.where, format="nmea"),),
            Maker.of(planned),
        )  # fmt: skip
        launch_t_s = planned.sortie.launch.t_s
        climbed = tuple(
            one for one in sitting.believed.fixes if (one.t_s or 0.0) <= launch_t_s + free_s
        )
        marks = ((1, launch_t_s, MarkKind.LAUNCHED), (2, launch_t_s + free_s, MarkKind.RELEASED))
        entries = tuple(
            Entered(number=number, t_s=t_s, entry=Mark(kind=kind)) for number, t_s, kind in marks
        )
        kept = thinned(climbed)
        self._ride = Ride(entries=entries, kept=kept, newest=kept[-1] if kept else None)

    def look(self, flown: Flown, t_s: float, field: int) -> Look:
        """Return what is advised at a moment, after the launch, of a flight to a field."""
        self._hear(flown, t_s)
        now_t_s = self._sitting.planned.sortie.launch.t_s + t_s
        name = self._sitting.planned.sortie.fields[field].name
        ride = replace(self._ride, told=replace(self._ride.told, to_field=name))
        task = replace(self._session.task(ride, 0, now_t_s), onward=None)
        try:
            self._ride, advice = self._session.loosely(ride, task, now_t_s)
        except InputError:  # nothing was heard in the climb
            return Look(t_s, None)
        return Look(t_s, advice)

    def _hear(self, flown: Flown, until_s: float) -> None:
        found: list[Fix] = []
        while self._heard_s + EVERY_S <= until_s:
            self._heard_s += EVERY_S
            raw = self._receiver.tell(self._heard_s, flown.path, self._sitting.truth.changes)
            if raw is not None:
                found += [one for one in self._codec.take(raw) if isinstance(one, Fix)]
        if found:
            kept = (*self._ride.kept, *found)
            self._ride = replace(self._ride, kept=kept, newest=found[-1])
