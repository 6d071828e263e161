"""Sighted: what the crew typed of what it sees, as an observation of a loose flight."""

from typing import Final

from farglide.earth.state import Place, place_of
from farglide.sortie.spec import Sortie
from farglide.track.filter.observed import (
    Aimed,
    EdgeSeen,
    Graded,
    High,
    Placed,
    SunSeen,
    What,
)
from farglide.track.typed.entries import (
    Bearing,
    Entry,
    Grade,
    Overlay,
    Seen,
    Side,
    Sighting,
)

_READ_SD_M: Final = 150.0
_READ_UP_SD_M: Final = 50.0
"""Digits are read and typed some seconds late, from a picture that lags; common practice."""
_MOST_SD_DEG: Final = 45.0
"""A direction off by more says nothing."""
_KINDS: Final = {Seen.WOOD: "closed forest", Seen.WATER: "water", Seen.BORDER: "border"}
"""Barriers that a flight file states, by what is seen of them; a ridge is none."""


def observed_of(
    entry: Entry, sortie: Sortie, at_stand: int | None, car: Place | None = None
) -> What | None:
    """Return what an entry says of where a flight is, None for nothing.

    `at_stand`: at which stand the crew is, where that is known; `car`: where it is otherwise.
    """
    match entry:
        case Overlay():
            return _read(entry)
        case Bearing():
            mast = _mast(entry.stand, sortie, at_stand)
            return _bearing(entry, car if mast is None else mast)
        case Grade():
            return None if at_stand is None else Graded(grade=entry.grade, stand=at_stand)
        case Sighting():
            return _sighted(entry, sortie)
    return None


def _read(entry: Overlay) -> What | None:
    if entry.lat_deg is not None and entry.lon_deg is not None:
        return Placed(
            lat_deg=entry.lat_deg,
            lon_deg=entry.lon_deg,
            sd_m=_READ_SD_M,
            amsl_m=entry.amsl_m,
            amsl_sd_m=_READ_UP_SD_M,
        )
    return None if entry.amsl_m is None else High(amsl_m=entry.amsl_m, sd_m=_READ_UP_SD_M)


def _bearing(entry: Bearing, at: Place | None) -> What | None:
    if at is None:
        return None
    return Aimed(
        stand=at,
        azimuth_deg=entry.azimuth_deg,
        elevation_deg=entry.elevation_deg,
        sd_deg=min(entry.sd_deg, _MOST_SD_DEG),
    )


def _mast(name: str, sortie: Sortie, at_stand: int | None) -> Place | None:
    """Return where the antenna is; a stand that is not named is the one at which the car is."""
    for k, one in enumerate(sortie.stands):
        if one.name == name or (not name and k == at_stand):
            return place_of(one, one.amsl_m + one.mast_m)
    return None


def _sighted(entry: Sighting, sortie: Sortie) -> What | None:
    if entry.clock_h is not None:
        return SunSeen(clock_h=entry.clock_h)
    kind = _KINDS.get(entry.what)
    outlines = tuple(one.outline for one in sortie.barriers if one.kind == kind)
    if not outlines:
        return None
    return EdgeSeen(outlines=outlines, is_left=entry.side is Side.LEFT)
