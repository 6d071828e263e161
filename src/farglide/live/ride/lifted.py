"""Lifted: the moment when the balloon left the hand, by its own fixes, as a ride keeps it."""

from dataclasses import replace
from typing import Final

from farglide.live.ride.phase import launch_of
from farglide.live.ride.state import Ride
from farglide.sortie.spec import Launch
from farglide.track.heights import amsl_m
from farglide.track.liftoff import SURE_M, liftoff_t_s

_LATEST_S: Final = 24.0 * 3600.0


def with_liftoff(ride: Ride, planned: Launch) -> Ride:
    """Return a ride with the moment when it left the hand, once its own fixes tell it.

    It is told once, where the balloon is 300 m up, and kept.
    """
    height_m = None if ride.newest is None else amsl_m(ride.newest)
    launch = launch_of(ride, planned)
    if ride.lifted_t_s is not None or height_m is None:
        return ride
    if not SURE_M <= height_m - launch.amsl_m <= 3.0 * SURE_M:
        return ride
    found = liftoff_t_s(ride.fixes(), launch.amsl_m)
    if found is None or abs(found - launch.t_s) > _LATEST_S:
        return ride
    return replace(ride, lifted_t_s=found)
