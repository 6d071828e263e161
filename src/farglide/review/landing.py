"""Landing: on which field a flight came down, as far as anybody saw."""

from typing import Final, NamedTuple

import numpy as np

from farglide.review.flown import Flown, What
from farglide.review.parted import Parted
from farglide.rig.gear import goals_of
from farglide.sim.core.scene import Scene
from farglide.sim.core.step import Offset, apart_m
from farglide.sim.fly.homing import OVER_M
from farglide.sortie.spec import Sortie

_LOW_M: Final = 150.0
"""Over the height at which a field counts as reached: fixes come seconds apart."""
_SEEN_DOWN_M: Final = 1500.0
"""What was last seen lower than this over the lowest field came down near there; a choice."""


class Landed(NamedTuple):
    """Whether anybody knows where it came down, the field there, and when it was seen last."""

    is_known: bool
    field: str  # empty: on none
    seen_s: float | None
    over_s: float | None = None  # when it came over that field, low enough


def landed_of(sortie: Sortie, scene: Scene, flown: Flown, flight: Parted) -> Landed:
    """Return on which field a flight came down.

    One over which it was within 500 m at about the height from which it counts as reached. A mark
    "down", or a last fix below 1500 m, is needed to say that it was none.
    """
    last = flight.landed
    seen_s = float(last.t_s[0]) if len(last.t_s) else None
    over = flown.last(What.OVER)
    if over is not None and over.field:
        return Landed(True, over.field, seen_s, over.t_s - sortie.launch.t_s)
    freed = flight.freed
    goals = goals_of(sortie, sortie.fields)
    for k, field in enumerate(sortie.fields):
        reach_m = field.amsl_m + sortie.wish.arrival_agl_m + _LOW_M
        low = np.flatnonzero(freed.amsl_m <= reach_m)
        there = Offset(float(goals.north_rad[k]), float(goals.east_rad[k]))
        for i in low.tolist():
            here = Offset(float(freed.north_rad[i]), float(freed.east_rad[i]))
            if float(np.hypot(*apart_m(scene.frame, here, there))) < OVER_M:
                return Landed(True, field.name, seen_s, float(freed.t_s[i]))
    lowest_m = min([sortie.launch.amsl_m, *(one.amsl_m for one in sortie.fields)])
    is_low = bool(len(freed.t_s)) and float(freed.amsl_m[-1]) < lowest_m + _SEEN_DOWN_M
    return Landed(is_low or flown.last(What.DOWN) is not None, "", seen_s)
