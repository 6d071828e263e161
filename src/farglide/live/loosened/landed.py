"""Landed: where it was seen last, once the crew has marked it as down."""

from farglide.live.ride.state import Ride
from farglide.outlook.askedafter import LandedNow
from farglide.sortie.spec import Launch
from farglide.track.heights import amsl_m


def landed_now(ride: Ride, launch: Launch, now_t_s: float) -> LandedNow:
    """Return where it was seen last, and when; nothing of one that never was."""
    last = ride.balloon
    seen_s = None if last is None or last.t_s is None else last.t_s - launch.t_s
    return LandedNow(
        after_launch_s=now_t_s - launch.t_s,
        lat_deg=None if last is None else last.lat_deg,
        lon_deg=None if last is None else last.lon_deg,
        amsl_m=None if last is None else amsl_m(last),
        seen_after_launch_s=seen_s,
    )
