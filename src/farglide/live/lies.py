"""Lies: where a flight that is marked as down is to be looked for, and how far from the car."""

from math import isfinite
from typing import Final

from farglide.earth.geodesy import geodesic
from farglide.earth.state import Place
from farglide.live.ride.stage import marked_t_s
from farglide.live.ride.state import Ride
from farglide.outlook.advice import Advice
from farglide.outlook.rideview import LiesAt, SeenLast
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
    seen, reckoned = _seen(ride.balloon, launch, advice), _reckoned(ride.balloon, launch, advice)
    if reckoned is not None:
        at, within_m = reckoned
        within_m += _GLIDE_RATIO * max(at.amsl_m - _ground_m(launch, advice), 0.0)
    elif seen is not None:
        at = Place(lat_deg=seen.lat_deg, lon_deg=seen.lon_deg, amsl_m=seen.amsl_m)
        within_m = _FIX_M + _GLIDE_RATIO * seen.agl_m
    else:
        return None
    line = None if car is None else geodesic(car, at)
    return LiesAt(
        landed_t_s=landed_t_s,
        lat_deg=at.lat_deg,
        lon_deg=at.lon_deg,
        within_m=within_m,
        is_reckoned=reckoned is not None,
        seen=seen,
        car_away_m=None if line is None else line.distance_m,
        car_bearing_deg=None if line is None else line.azimuth_deg,
    )


def _reckoned(fix: Fix | None, launch: Launch, advice: Advice | None) -> tuple[Place, float] | None:
    """Return where what was told since the last position has it, and how wide nine in ten lie.

    None where it was seen until the end, or no advice tells: the last position counts then.
    """
    if advice is None or not isfinite(advice.place.lat_deg):
        return None
    told, fix_t_s = advice.place, None if fix is None else fix.t_s
    seen_t_s = launch.t_s + told.seen_after_launch_s
    is_silent = seen_t_s + _SINCE_S < launch.t_s + advice.after_launch_s
    if fix_t_s is not None and not (fix_t_s <= seen_t_s + _SINCE_S and is_silent):
        return None
    at = Place(lat_deg=told.lat_deg, lon_deg=told.lon_deg, amsl_m=told.amsl_m)
    return at, told.most_within_m


def _seen(fix: Fix | None, launch: Launch, advice: Advice | None) -> SeenLast | None:
    """Return the last position that was told with its height."""
    high_m = None if fix is None else amsl_m(fix)
    if fix is None or fix.t_s is None or high_m is None:
        return None
    return SeenLast(
        t_s=fix.t_s,
        lat_deg=fix.lat_deg,
        lon_deg=fix.lon_deg,
        amsl_m=high_m,
        agl_m=max(high_m - _ground_m(launch, advice), 0.0),
    )


def _ground_m(launch: Launch, advice: Advice | None) -> float:
    after = None if advice is None else advice.after
    return launch.amsl_m if after is None or after.landing is None else after.landing.ground_amsl_m
