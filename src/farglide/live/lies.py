"""Lies: where a flight that is marked as down is to be looked for, and how far from the car."""

from math import isfinite
from typing import Final

from farglide.earth.geodesy import geodesic
from farglide.earth.state import Place
from farglide.live.ride.stage import marked_t_s
from farglide.live.ride.state import Ride
from farglide.outlook.advice import Advice
from farglide.outlook.rideview import LiesAt
from farglide.sortie.spec import Launch
from farglide.track.heights import amsl_m
from farglide.track.reports import Fix
from farglide.track.typed.entries import MarkKind

_GLIDE_RATIO: Final = 10.0
"""So far for each metre of height it may have flown unseen: a camera glider at its best, rounded
up; common practice, no source."""
_FIX_M: Final = 20.0
_SINCE_S: Final = 15.0
"""A place told by the last advice counts where it was seen less than so long after the last fix."""


def lies_at(ride: Ride, launch: Launch, car: Place | None, advice: Advice | None) -> LiesAt | None:
    """Return where to look for what is marked as down; None before that, or if it was never seen.

    The last position, else the place that the last advice told; round it nine in ten of what was
    believed then, and as far as it can have glided from the height at which it was seen.
    """
    landed_t_s = marked_t_s(ride, MarkKind.LANDED)
    if landed_t_s is None:
        return None
    found = _seen(ride.balloon, launch, advice)
    if found is None:
        return None
    at, seen_t_s, within_m = found
    ground_m = _ground_m(launch, advice)
    agl_m = max(at.amsl_m - ground_m, 0.0)
    line = None if car is None else geodesic(car, at)
    return LiesAt(
        landed_t_s=landed_t_s,
        lat_deg=at.lat_deg,
        lon_deg=at.lon_deg,
        within_m=within_m + _GLIDE_RATIO * agl_m,
        seen_t_s=seen_t_s,
        seen_amsl_m=at.amsl_m,
        seen_agl_m=agl_m,
        car_away_m=None if line is None else line.distance_m,
        car_bearing_deg=None if line is None else line.azimuth_deg,
    )


def _seen(
    fix: Fix | None, launch: Launch, advice: Advice | None
) -> tuple[Place, float, float] | None:
    """Return the last place, when it was seen, UTC, and how wide nine in ten lie round it."""
    fix_t_s = None if fix is None else fix.t_s
    if advice is not None and isfinite(advice.place.lat_deg):
        told = advice.place
        told_t_s = launch.t_s + advice.after_launch_s
        seen_t_s = launch.t_s + told.seen_after_launch_s
        if fix_t_s is None or fix_t_s <= seen_t_s + _SINCE_S < told_t_s:
            # silent before it was down: the stories tell more than the last fix
            at = Place(lat_deg=told.lat_deg, lon_deg=told.lon_deg, amsl_m=told.amsl_m)
            return at, seen_t_s, told.most_within_m
    high_m = None if fix is None else amsl_m(fix)
    if fix is None or fix_t_s is None or high_m is None:
        return None
    return Place(lat_deg=fix.lat_deg, lon_deg=fix.lon_deg, amsl_m=high_m), fix_t_s, _FIX_M


def _ground_m(launch: Launch, advice: Advice | None) -> float:
    after = None if advice is None else advice.after
    return launch.amsl_m if after is None or after.landing is None else after.landing.ground_amsl_m
