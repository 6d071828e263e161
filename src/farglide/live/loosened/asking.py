"""Asking: a loose flight made ready for any question, by its log, its track, or what was typed."""

from collections.abc import Sequence
from dataclasses import dataclass

from farglide.atlas.terrain import Terrain
from farglide.live.asked.moment import Told
from farglide.live.free.moving import moving
from farglide.live.loosened.flight import LooseFlight
from farglide.live.ride.state import Ride
from farglide.live.ride.tables import Made, Make, Tables
from farglide.live.ride.task import Task
from farglide.live.session import Session
from farglide.sortie.feeds import FeedSpec
from farglide.sortie.spec import Sortie


class _Keeping:
    """A maker that keeps the last tables it has handed out."""

    def __init__(self, make: Make) -> None:
        self._make = make
        self.last: Made | None = None

    def __call__(self, task: Task) -> Made:
        self.last = self._make(task)
        return self.last


@dataclass(frozen=True, slots=True, kw_only=True)
class Asking:
    """By what a loose flight is asked about: its flight as written, its feeds, its tables."""

    sortie: Sortie
    specs: Sequence[FeedSpec]
    make: Make
    terrain: Terrain | None = None


def loose_flight(
    asking: Asking, ride: Ride, now_t_s: float, told: Told | None = None
) -> LooseFlight | None:
    """Return a flight after its release or burst, ready for any question at a moment, UTC.

    None of one that a whole balloon carries, that is down, or was never seen. Raises InputError.
    """
    make = _Keeping(asking.make)
    advice = Session(asking.sortie, asking.specs, make).asked_at(ride, now_t_s)
    if advice is None or advice.after is None or not isinstance(make.last, Tables):
        return None
    return LooseFlight(
        advice=advice,
        after=advice.after,
        made=make.last,
        terrain=asking.terrain,
        told=told or Told(),
        moves=moving(ride, now_t_s),
    )
