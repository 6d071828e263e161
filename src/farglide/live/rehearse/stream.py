"""Stream: what both receivers of a rehearsal tell, in the order in which it comes."""

from collections.abc import Iterator
from typing import Final

from farglide.live.rehearse.car import car_path
from farglide.live.rehearse.digits import EVERY_S as DIGITS_S
from farglide.live.rehearse.sent import (
    CAR,
    TRACKER,
    Ground,
    Receiver,
    is_read_off,
    moments_s,
)
from farglide.live.rehearse.sitting import Sitting
from farglide.live.rehearse.surprises import Changes
from farglide.live.rehearse.trace import Trace
from farglide.track.reports import Raw

_CAR_SEED: Final = 1_000_000_007


class Stream:
    """What the tracker and the car's receiver tell from one moment to the next."""

    def __init__(self, sitting: Sitting, seed: int) -> None:
        ground = Ground(sitting.planned.sortie.launch, sitting.planned.air.scene)
        self._changes = sitting.truth.changes
        self._tracker = Receiver(TRACKER, ground, seed)
        self._car = Receiver(CAR, ground, seed + _CAR_SEED)
        self._road = car_path(sitting.planned.sortie, self._changes.car_late_s)

    def shown(self, t_s: float, path: Trace) -> str | None:
        """Return the digits in the picture where nothing else tells its place, each minute."""
        if not is_read_off(t_s, self._changes) or t_s % DIGITS_S != 0.0:
            return None
        return self._tracker.shown(t_s, path)

    def at(self, t_s: float, path: Trace) -> list[Raw]:
        """Return what comes at a moment; to be asked for each of `moments_s` in turn."""
        told = (
            self._tracker.tell(t_s, path, self._changes),
            self._car.tell(t_s, self._road, Changes()),
        )
        return [one for one in told if one is not None]


def raws(sitting: Sitting, seed: int, path: Trace) -> Iterator[Raw]:
    """Yield all that comes of a whole flight, as fast as it is taken."""
    stream = Stream(sitting, seed)
    for t_s in moments_s(path.end_s):
        yield from stream.at(t_s, path)
