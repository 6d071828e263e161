"""Moving: where the glider goes over the ground, as its last fixes show it."""

from typing import Final, NamedTuple

from farglide.earth.geodesy import geodesic
from farglide.earth.state import Place
from farglide.live.ride.stage import WITHIN_S
from farglide.live.ride.state import Ride
from farglide.track.reports import Fix

_LEAST_S: Final = 8.0
_FRESH_S: Final = 60.0
"""What was seen so long ago may have turned; common practice, no source."""


class Moving(NamedTuple):
    """Which way over the ground, degrees from true north, and how fast."""

    to_deg: float
    mps: float


def moving(ride: Ride, now_t_s: float) -> Moving | None:
    """Return how it moved over its last fixes, up to half a minute; None: not known by now."""
    last = ride.newest
    if last is None or last.t_s is None or now_t_s - last.t_s > _FRESH_S:
        return None
    before = [one for one in ride.kept[-100:]
              if one.t_s is not None and _LEAST_S <= last.t_s - one.t_s <= WITHIN_S]  # fmt: skip
    if not before or before[0].t_s is None:
        return None
    line = geodesic(_level(before[0]), _level(last))
    return Moving(line.azimuth_deg, line.distance_m / (last.t_s - before[0].t_s))


def _level(fix: Fix) -> Place:
    return Place(lat_deg=fix.lat_deg, lon_deg=fix.lon_deg, amsl_m=0.0)
