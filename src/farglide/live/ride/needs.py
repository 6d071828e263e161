"""Needs: how old what is needed now is, by what it is needed for."""

from collections.abc import Iterator
from typing import Final

from farglide.live.ride.state import Ride
from farglide.outlook.after import Stage
from farglide.outlook.freshness import Freshness, NeedNow
from farglide.track.typed.entries import Grade, Mark, MarkKind, Overlay

_QUICK_S: Final = 5.0
_SLOW_S: Final = 15.0
_CAR_S: Final = 60.0
"""Fresh up to so long: what falls or is about to land, what flies, a car; common practice."""
LOW_M: Final = 1000.0
"""Below this over the ground of a field a place is needed as often as in a fall."""


def place_within_s(stage: Stage, agl_m: float) -> float:
    """Return up to which age a fix is fresh enough for what is decided now."""
    is_quick = stage in (Stage.TIED_ON, Stage.DROPPED) or (
        stage in (Stage.GLIDING, Stage.UNSTEERED) and agl_m < LOW_M
    )
    return _QUICK_S if is_quick else _SLOW_S


def needs_of(ride: Ride, cars: tuple[str, ...], at_s: float, now_t_s: float) -> tuple[NeedNow, ...]:
    """Return how old picture and car are, as far as anything was ever told of them.

    `cars`: feeds of the car; `at_s`: monotonic.
    """
    return tuple(_needs(ride, cars, at_s, now_t_s))


def _needs(ride: Ride, cars: tuple[str, ...], at_s: float, now_t_s: float) -> Iterator[NeedNow]:
    seen_t_s, is_lost = picture_t_s(ride)
    if seen_t_s is not None:
        age_s = max(now_t_s - seen_t_s, 0.0)
        data = Freshness.for_need(age_s, _SLOW_S)
        yield NeedNow(what="picture", data=Freshness.UNKNOWN if is_lost else data, age_s=age_s)
    heard = [one for name in cars if (one := ride.feed(name).believed_s) is not None]
    if heard:
        age_s = max(at_s - max(heard), 0.0)
        yield NeedNow(what="car", data=Freshness.for_need(age_s, _CAR_S), age_s=age_s)


def picture_t_s(ride: Ride) -> tuple[float | None, bool]:
    """Return when the picture was seen last by what was typed, and whether it is marked as lost."""
    seen_t_s, is_lost = None, False
    for one in ride.entries:
        entry = one.entry
        if isinstance(entry, Overlay) or (isinstance(entry, Grade) and entry.grade > 0):
            seen_t_s, is_lost = one.t_s, False
        elif entry in (Mark(kind=MarkKind.LOST), Mark(kind=MarkKind.LAST)):
            seen_t_s, is_lost = one.t_s, True
        elif entry == Mark(kind=MarkKind.BACK):
            seen_t_s, is_lost = one.t_s, False
        elif isinstance(entry, Grade):
            seen_t_s, is_lost = seen_t_s or one.t_s, True
    return seen_t_s, is_lost
