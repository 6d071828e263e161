"""Homing: straight on to a field, layer by layer, in a wind nobody knows, and down fast over it."""

from typing import Final, NamedTuple

import numpy as np

from farglide.glider.polar import EasBand, _steady
from farglide.glider.wing import Polar
from farglide.kernel import inner, merged
from farglide.sim.core.march import Velocity, carried, cell_below, lowered
from farglide.sim.core.scene import Scene
from farglide.sim.core.step import Errors, Offset, apart_m
from farglide.sim.core.tracks import Point
from farglide.sim.core.wind import Wind, wind_at
from farglide.sim.reach.bearings import Line, line_to
from farglide.sim.reach.drawnglider import glide_air
from farglide.sim.reach.speeds import Kept, Speeds, kept_track, speed_on
from farglide.sim.reach.straight import LEAST_SINK_RATIO

_LEAST_PART: Final = 0.125
_TURN_RATIO: Final = 0.02
"""Set aside by this share of what is left of the way, the course turns by one degree."""
OVER_M: Final = 500.0
"""Blown off farther than this, it flies back."""


class Goal(NamedTuple):
    """The field flown to, how the glider comes down over it, and what a second is worth."""

    north_rad: float
    east_rad: float
    ground_amsl_m: float
    circle_load: float  # load factor of the spiral
    circle_eas_mps: float
    price_mps: float = 0.0  # of a second on the way: 0 as far as it goes, more when short of time


class Homer(NamedTuple):
    """One glider on its way home, and the speeds its crew flies."""

    polar: Polar
    glide_factor: float
    speeds: Speeds
    price_row: int  # of the speeds


class GroundSpeed(NamedTuple):
    """How a glider on a straight track moves over the ground."""

    east_mps: float
    north_mps: float
    along_mps: float  # the track


class KeptLine(NamedTuple):
    """How a glider keeps its line, and how fast it comes down over the ground."""

    kept: Kept
    sink_mps: float


class Dived(NamedTuple):
    """How fast a glider that dives flies through the air, and comes down over the ground."""

    level_mps: float
    sink_mps: float


@inner
def line_home(scene: Scene, at: Point, goal: Goal) -> Line:
    """Return the straight line from a place to the field."""
    here, there = Offset(at.north_rad, at.east_rad), Offset(goal.north_rad, goal.east_rad)
    east_m, north_m = apart_m(scene.frame, here, there)
    return line_to(east_m, north_m)


@merged
def toward(wind: Wind, line: Line, kept: Kept) -> GroundSpeed:
    """Return the ground speed on a straight track.

    Where the cross wind beats the airspeed the glider heads straight into it and is set aside.
    """
    along = wind.u_mps * line.east + wind.v_mps * line.north
    across = wind.v_mps * line.east - wind.u_mps * line.north
    made = along + np.sqrt(max(kept.level_mps * kept.level_mps - across * across, 0.0))
    east_mps = made * line.east - kept.across_mps * line.north
    return GroundSpeed(east_mps, made * line.north + kept.across_mps * line.east, made)


@merged
def kept_on(scene: Scene, homer: Homer, line: Line, k: int, wind: Wind) -> KeptLine:
    """Return how a glider keeps its line in the wind of layer `k`, faster where that is across."""
    speeds = homer.speeds
    across = wind.v_mps * line.east - wind.u_mps * line.north
    band = EasBand(speed_on(speeds, homer.price_row, k, line), speeds.fastest_mps[k])
    kept = kept_track(homer.polar, glide_air(scene.layers, k), homer.glide_factor, across, band)
    return KeptLine(kept, max(kept.sink_mps - wind.up_mps, LEAST_SINK_RATIO * kept.sink_mps))


@merged
def dived(scene: Scene, homer: Homer, k: int, wind: Wind) -> Dived:
    """Return how a glider that comes down as fast as it may flies in layer `k`."""
    eas_mps, air = homer.speeds.fastest_mps[k], glide_air(scene.layers, k)
    level, sink = _steady(homer.polar, eas_mps, air, homer.glide_factor, 1.0)
    return Dived(level, max(sink - wind.up_mps, LEAST_SINK_RATIO * sink))


@merged
def home_layer(
    scene: Scene, errors: Errors, homer: Homer, goal: Goal, at: Point
) -> tuple[Point, bool]:
    """Return where a glider on its way leaves its layer, or comes over the field, and if it did.

    Set aside, its course turns, near the field quickly: a part of a layer, an eighth at the least.
    """
    layers, cell, line = scene.layers, cell_below(scene, at), line_home(scene, at, goal)
    k, ground = cell.layer, layers.shortening_ratio[cell.layer]
    wind = wind_at(scene, errors, cell)
    kept, sink = kept_on(scene, homer, line, k, wind)
    part_m = layers.step_m
    if kept.across_mps != 0.0:
        aside_m = abs(kept.across_mps) * part_m / sink
        part_m *= min(max(_TURN_RATIO * line.away_m / aside_m, _LEAST_PART), 1.0)
    low_m = max(layers.base_amsl_m + k * layers.step_m, goal.ground_amsl_m, at.amsl_m - part_m)
    made = toward(wind, line, kept)
    seconds = (at.amsl_m - low_m) / sink
    there = made.along_mps * seconds * ground >= line.away_m
    used_s = line.away_m / (made.along_mps * ground) if there else seconds
    end = carried(scene, cell, at, Velocity(made.east_mps, made.north_mps, sink), used_s)
    if there:
        end = Point(end.t_s, end.amsl_m, goal.north_rad, goal.east_rad)
    else:
        end = Point(end.t_s, low_m, end.north_rad, end.east_rad)
    return end, there


@merged
def is_over(scene: Scene, at: Point, goal: Goal) -> bool:
    """Tell whether a glider that stays over the field has not been blown off it."""
    return line_home(scene, at, goal).away_m < OVER_M


@merged
def dive_layer(scene: Scene, errors: Errors, homer: Homer, at: Point, to_amsl_m: float) -> Point:
    """Return where a glider over the field that comes down as fast as it may leaves its layer."""
    cell = cell_below(scene, at)
    wind = wind_at(scene, errors, cell)
    level, sink = dived(scene, homer, cell.layer, wind)
    wind_mps = np.sqrt(wind.u_mps * wind.u_mps + wind.v_mps * wind.v_mps)
    slip = max(1.0 - level / max(wind_mps, 1e-9), 0.0)
    return lowered(scene, cell, at, Velocity(wind.u_mps * slip, wind.v_mps * slip, sink), to_amsl_m)
