"""Homing: straight on to a field and down over it, layer by layer, in a wind nobody knows."""

from typing import Final, NamedTuple

import numpy as np

from farglide.glider.polar import Polar, _steady
from farglide.kernel import merged
from farglide.sim.core.march import (
    SLOWEST_MPS,
    Velocity,
    carried,
    cell_below,
    lowered,
)
from farglide.sim.core.scene import Scene
from farglide.sim.core.step import Errors, Offset, apart_m
from farglide.sim.core.tracks import Point
from farglide.sim.core.wind import AirCell, Wind, wind_at
from farglide.sim.fly.speeds import Speeds, speed_at
from farglide.sim.reach.support import glide_air

_NEAR_SIDEWAYS: Final = 0.7
"""Where the cross wind passes this share of the airspeed, a layer is flown in parts."""
_PART: Final = 0.125


class Goal(NamedTuple):
    """The field flown to, and how the glider comes down over it."""

    north_rad: float
    east_rad: float
    ground_amsl_m: float
    circle_load: float  # load factor of the spiral
    circle_eas_mps: float
    top_eas_mps: float


class Homer(NamedTuple):
    """One glider on its way home, and the speeds its crew flies."""

    polar: Polar
    glide_factor: float
    speeds: Speeds


class Course(NamedTuple):
    """The straight way to a place."""

    away_m: float
    east: float  # of the unit vector
    north: float


class GroundSpeed(NamedTuple):
    """How a glider on a straight track moves over the ground."""

    east_mps: float
    north_mps: float
    along_mps: float  # the track


@merged
def _course(scene: Scene, at: Point, goal: Goal) -> Course:
    here, there = Offset(at.north_rad, at.east_rad), Offset(goal.north_rad, goal.east_rad)
    east_m, north_m = apart_m(scene.frame, here, there)
    away_m = np.sqrt(east_m * east_m + north_m * north_m)
    inverse = 1.0 / max(away_m, 1e-3)
    return Course(away_m, east_m * inverse, north_m * inverse)


@merged
def toward(wind: Wind, course: Course, level: float) -> GroundSpeed:
    """Return the ground speed on a straight track.

    Where the cross wind beats the airspeed the glider heads straight into it and is set down.
    """
    along = wind.u_mps * course.east + wind.v_mps * course.north
    across = -wind.u_mps * course.north + wind.v_mps * course.east
    left = level * level - across * across
    if left > 0.0:
        made = along + np.sqrt(left)
        return GroundSpeed(made * course.east, made * course.north, made)
    drift = across - level if across > 0.0 else across + level
    east_mps = along * course.east - drift * course.north
    return GroundSpeed(east_mps, along * course.north + drift * course.east, along)


@merged
def home_layer(
    scene: Scene, errors: Errors, homer: Homer, goal: Goal, at: Point
) -> tuple[Point, bool]:
    """Return where a glider on its way leaves its layer, or comes over the field, and if it did.

    With a cross wind nearly as fast as the glider the course turns quickly: an eighth of a layer.
    """
    layers, cell, course = scene.layers, cell_below(scene, at), _course(scene, at, goal)
    k, ground = cell.layer, layers.shortening_ratio[cell.layer]
    wind = wind_at(scene, errors, cell)
    tail = (wind.u_mps * course.east + wind.v_mps * course.north) / layers.tas_per_eas[k]
    eas = speed_at(homer.speeds, k, tail)
    level, sink = _steady(homer.polar, eas, glide_air(layers, k), homer.glide_factor, 1.0)
    sink = max(sink - wind.up_mps, SLOWEST_MPS)
    across = -wind.u_mps * course.north + wind.v_mps * course.east
    part_m = layers.step_m if abs(across) <= _NEAR_SIDEWAYS * level else _PART * layers.step_m
    low_m = max(layers.base_amsl_m + k * layers.step_m, goal.ground_amsl_m, at.amsl_m - part_m)
    made = toward(wind, course, level)
    seconds = (at.amsl_m - low_m) / sink
    there = made.along_mps * seconds * ground >= course.away_m
    used_s = course.away_m / (made.along_mps * ground) if there else seconds
    end = carried(scene, cell, at, Velocity(made.east_mps, made.north_mps, sink), used_s)
    if there:
        end = Point(end.t_s, end.amsl_m, goal.north_rad, goal.east_rad)
    else:
        end = Point(end.t_s, low_m, end.north_rad, end.east_rad)
    return end, there


@merged
def hold_speed(goal: Goal, wind_eas: float) -> tuple[float, float]:
    """Return EAS and load factor over the field: circling, or facing a wind that is faster."""
    if wind_eas < 0.95 * goal.circle_eas_mps:
        return goal.circle_eas_mps, goal.circle_load
    return min(max(1.03 * wind_eas, goal.circle_eas_mps), goal.top_eas_mps), 1.0


@merged
def hold_layer(scene: Scene, errors: Errors, homer: Homer, goal: Goal, at: Point) -> Point:
    """Return where a glider that stays over the field leaves its layer, or is down."""
    cell: AirCell = cell_below(scene, at)
    wind, air = wind_at(scene, errors, cell), glide_air(scene.layers, cell.layer)
    wind_mps = np.sqrt(wind.u_mps * wind.u_mps + wind.v_mps * wind.v_mps)
    eas, load = hold_speed(goal, wind_mps / air.tas_per_eas)
    level, sink = _steady(homer.polar, eas, air, homer.glide_factor, load)
    if load == 1.0 and level < wind_mps:  # a steep path needs more speed to face the wind
        eas = min(eas * 1.002 * wind_mps / level, max(goal.top_eas_mps, eas))
        level, sink = _steady(homer.polar, eas, air, homer.glide_factor, load)
    slip = max(1.0 - level / max(wind_mps, 1e-9), 0.0)
    velocity = Velocity(wind.u_mps * slip, wind.v_mps * slip, sink - wind.up_mps)
    return lowered(scene, cell, at, velocity, goal.ground_amsl_m)
