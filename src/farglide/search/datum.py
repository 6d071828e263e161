"""Datum: the last true position, and what the glide that was left reaches from there."""

import math
from dataclasses import dataclass
from typing import Final

from farglide.atlas.outline import LatLon
from farglide.earth.geodesy import destination
from farglide.earth.state import Place
from farglide.errors import InputError, check_range

SECTOR_DEG: Final = 60.0  # 30 to each side of a heading by eye: common practice, no source
_CORNER_DEG: Final = 5.0


@dataclass(frozen=True, slots=True, kw_only=True)
class LastSeen:
    """The last true position: place above sea level, UTC, true heading of the glider if known.

    `spread_m`: one deviation of the place along each axis.
    """

    place: Place
    t_s: float
    heading_deg: float | None = None
    spread_m: float = 10.0

    def __post_init__(self) -> None:
        if not math.isfinite(self.t_s):
            raise InputError("t_s of the last place", self.t_s, "a finite time, UTC seconds")
        if self.heading_deg is not None:
            remedy = "True, north is 0, east 90."
            check_range("heading", self.heading_deg, "deg", (0.0, 360.0), remedy)
        check_range("spread_m", self.spread_m, "m", (0.0, 100_000.0))


def glide_radius_m(agl_m: float, glide_ratio: float) -> float:
    """Return how far a glide of this ratio gets through still air from a height over ground.

    >>> glide_radius_m(120.0, 9.0)
    1080.0
    """
    check_range("height above the ground", agl_m, "m", (0.0, 100_000.0))
    check_range("glide ratio", glide_ratio, "", (0.1, 100.0))
    return agl_m * glide_ratio


def sector_area_m2(radius_m: float, width_deg: float = 360.0) -> float:
    """Return the area of a circle, or of a sector so wide.

    >>> [round(sector_area_m2(1080.0, width) / 1e6, 2) for width in (360.0, 60.0)]
    [3.66, 0.61]
    """
    check_range("radius", radius_m, "m", (0.0, 1e6))
    check_range("width of a sector", width_deg, "deg", (0.0, 360.0))
    return math.pi * radius_m**2 * width_deg / 360.0


def glide_outline(
    middle: Place, radius_m: float, heading_deg: float | None = None
) -> tuple[LatLon, ...]:
    """Return the corners of the circle round a place, or of the sector ahead of it, turning left.

    `middle`: the last place, moved by the wind of the way down.
    """
    if heading_deg is None:
        turns = [-_CORNER_DEG * k for k in range(round(360.0 / _CORNER_DEG))]
    else:
        n = round(SECTOR_DEG / _CORNER_DEG)
        turns = [heading_deg + SECTOR_DEG * (0.5 - k / n) for k in range(n + 1)]
    at = [destination(middle, turn % 360.0, radius_m) for turn in turns]
    corners = [(one.lat_deg, one.lon_deg) for one in at]
    return tuple(corners if heading_deg is None else [(middle.lat_deg, middle.lon_deg), *corners])
