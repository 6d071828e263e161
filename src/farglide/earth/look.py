"""Where to look: azimuth, elevation and slant range from one place to another."""

import math
from typing import NamedTuple

from farglide.earth.geodesy import enu_m
from farglide.earth.state import Place, wrapped_azimuth_deg
from farglide.errors import InputError


class Look(NamedTuple):
    """A direction from true north and from the level plane, and the straight distance."""

    azimuth_deg: float
    elevation_deg: float
    range_m: float


def look(observer: Place, target: Place) -> Look:
    """Return azimuth in [0, 360), elevation and slant range from observer to target, no refraction.

    Heights above sea level are taken for heights above the ellipsoid at both ends, which moves the
    direction by less than 0.001 deg. Straight up or down the azimuth is 0.
    Valid: any two places that differ. Source: as `enu_m`, and the definition of azimuth and
    elevation.

    >>> launch = Place(lat_deg=51.0, lon_deg=-1.0, amsl_m=100.0)
    >>> balloon = Place(lat_deg=51.5, lon_deg=0.2, amsl_m=30_000.0)
    >>> tuple(round(value, 2) for value in look(launch, balloon))
    (55.95, 16.07, 105143.16)
    """
    east_m, north_m, up_m = enu_m(observer, target)
    level_m = math.hypot(east_m, north_m)
    range_m = math.hypot(level_m, up_m)
    if not 0.0 < range_m < math.inf:
        raise InputError("range_m", f"{range_m} m", "more than 0 m, finite", "Give two places.")
    azimuth_deg = wrapped_azimuth_deg(math.degrees(math.atan2(east_m, north_m)))
    return Look(azimuth_deg, math.degrees(math.atan2(up_m, level_m)), range_m)
