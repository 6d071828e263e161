"""Best place: where a loose flight is best known to be, and was when the balloon let it go."""

from math import isnan
from typing import Final

from farglide.chances.onward import Seen
from farglide.earth.state import place_deg
from farglide.live.free.beginning import Carried, carried_at
from farglide.live.ride.tables import Tables
from farglide.sortie.spec import Launch
from farglide.track.filter.particles import Particles
from farglide.track.filter.told import where
from farglide.track.reports import Fix

STORIES: Final = "stories"
"""The feed of a place that no feed told."""
_SAME_S: Final = 1.0


def carried_of(made: Tables) -> Carried:
    """Return the balloon as some tables know it."""
    return Carried(made.drawn, made.seen)


def left_seen(made: Tables, t_s: float) -> Seen:
    """Return where the balloon was at a moment, UTC, as its draws have it."""
    at = carried_at(carried_of(made), t_s - made.task.launch.t_s)
    return Seen(at.after_launch_s, at.amsl_m, at.north_rad, at.east_rad)


def place_of(made: Tables, particles: Particles) -> Seen:
    """Return where the stories have it now, all of them counted."""
    found = where(made.laws, particles)
    return Seen(particles.after_launch_s, found.amsl_m, found.north_rad, found.east_rad)


def best_seen(made: Tables, particles: Particles, last: Seen | None) -> Seen:
    """Return where it was seen last, or where the stories have it if a fix as new as that is gone.

    `last`: its last whole fix.
    """
    if last is None or isnan(last.amsl_m) or last.after_launch_s < particles.placed_s - _SAME_S:
        return place_of(made, particles)._replace(after_launch_s=particles.placed_s)
    return last


def told_fix(launch: Launch, seen: Seen) -> Fix:
    """Return a place in the frame of a launch as a fix."""
    lat_deg, lon_deg = place_deg(launch, seen.north_rad, seen.east_rad)
    t_s = launch.t_s + seen.after_launch_s
    return Fix(feed=STORIES, lat_deg=lat_deg, lon_deg=lon_deg, t_s=t_s, height_m=seen.amsl_m)
