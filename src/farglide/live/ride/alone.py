"""Alone: digits typed off the picture, where no feed tells them: fixes, and heights alone."""

from collections.abc import Iterable, Sequence
from typing import Final, NamedTuple, Protocol

from farglide.live.asking import HANDED
from farglide.track.handover.sentence import HandedOver
from farglide.track.reports import Fix
from farglide.track.typed.entries import Entry, Overlay

TYPED: Final = "typed"
"""The feed of what the crew reads off the picture."""
ALONE_S: Final = 60.0
"""What is typed counts where no feed has told it for so long; common practice, no source."""


class Typed(Protocol):
    """An entry, and when it was typed, UTC."""

    @property
    def t_s(self) -> float:
        """Return when it was typed."""

    @property
    def entry(self) -> Entry:
        """Return what it says."""


class HeightRead(NamedTuple):
    """A height above sea level, and when it was typed, UTC."""

    t_s: float
    amsl_m: float


def heights_alone(entries: Iterable[Typed], told_s: Sequence[float]) -> list[HeightRead]:
    """Return the heights typed without a place, but those typed while a feed told one.

    `told_s`: when feeds told a height, UTC: each counts for a minute from then on.
    """
    found = []
    for one in entries:
        amsl_m = _alone_m(one.entry)
        if amsl_m is not None and not any(0.0 <= one.t_s - t_s <= ALONE_S for t_s in told_s):
            found.append(HeightRead(one.t_s, amsl_m))
    return found


def places_alone(entries: Iterable[Typed], told_s: Sequence[float]) -> list[Fix]:
    """Return the places typed without a height, but those typed while a feed told one.

    `told_s`: when feeds told a place, UTC: each counts for a minute from then on.
    """
    found = []
    for one in entries:
        place = one.entry
        if not isinstance(place, Overlay) or place.lat_deg is None or place.lon_deg is None:
            continue
        if place.amsl_m is None and not any(0.0 <= one.t_s - t_s <= ALONE_S for t_s in told_s):
            fix = Fix(feed=TYPED, lat_deg=place.lat_deg, lon_deg=place.lon_deg, t_s=one.t_s)
            found.append(fix)
    return found


def _alone_m(entry: Entry) -> float | None:
    return entry.amsl_m if isinstance(entry, Overlay) and entry.lat_deg is None else None


def fix_typed(t_s: float, entry: Overlay) -> Fix | None:
    """Return digits off the picture as a fix; None where place or height is not among them."""
    if entry.lat_deg is None or entry.lon_deg is None or entry.amsl_m is None:
        return None
    return Fix(
        feed=TYPED, lat_deg=entry.lat_deg, lon_deg=entry.lon_deg, t_s=t_s, height_m=entry.amsl_m
    )


def fix_handed(entry: HandedOver) -> Fix:
    """Return what the other car said as a fix."""
    return Fix(
        feed=HANDED,
        lat_deg=entry.lat_deg,
        lon_deg=entry.lon_deg,
        t_s=entry.at_t_s,
        height_m=entry.amsl_m,
    )
