"""Strides: five layers of a way home taken as one, where nothing turns the course within them."""

from typing import Final

from farglide.kernel import merged
from farglide.sim.core.march import Velocity, carried, cell_below
from farglide.sim.core.scene import Scene
from farglide.sim.core.step import Errors
from farglide.sim.core.tracks import Point
from farglide.sim.core.wind import AirCell, slab_wind, when_at
from farglide.sim.fly.homing import (
    Goal,
    Homer,
    dive_layer,
    dived,
    home_layer,
    kept_on,
    line_home,
    toward,
)

_STRIDE: Final = 5
_NEAR_M: Final = 10_000.0
"""Nearer to the field it is flown layer by layer."""


@merged
def home_stride(
    scene: Scene, errors: Errors, homer: Homer, goal: Goal, at: Point
) -> tuple[Point, bool]:
    """Return where a glider on its way leaves five layers, or one of them, and if it is over.

    In the mean wind of the five, at the speed of the middle one. Where that sets it aside, near the
    field and at the ground it is one layer, as `home_layer` flies it.
    """
    layers, line = scene.layers, line_home(scene, at, goal)
    low = cell_below(scene, at).layer - _STRIDE + 1
    low_m = layers.base_amsl_m + low * layers.step_m
    if low < 0 or low_m < goal.ground_amsl_m or line.away_m < _NEAR_M:
        return home_layer(scene, errors, homer, goal, at)
    k = low + _STRIDE // 2
    cell = AirCell(k, when_at(at))
    wind = slab_wind(scene, errors, cell, _STRIDE)
    kept, sink = kept_on(scene, homer, line, k, wind)
    if kept.across_mps != 0.0:
        return home_layer(scene, errors, homer, goal, at)
    made, seconds = toward(wind, line, kept), (at.amsl_m - low_m) / sink
    if made.along_mps * seconds * layers.shortening_ratio[k] > line.away_m - _NEAR_M:
        return home_layer(scene, errors, homer, goal, at)
    end = carried(scene, cell, at, Velocity(made.east_mps, made.north_mps, sink), seconds)
    return Point(end.t_s, low_m, end.north_rad, end.east_rad), False


@merged
def dive_stride(scene: Scene, errors: Errors, homer: Homer, at: Point, to_amsl_m: float) -> Point:
    """Return where a glider that comes down over a field as fast as it may leaves five layers.

    Where the wind is faster than it is, and at the end of the way, it is one layer.
    """
    layers = scene.layers
    low = cell_below(scene, at).layer - _STRIDE + 1
    low_m = layers.base_amsl_m + low * layers.step_m
    if low < 0 or low_m < to_amsl_m:
        return dive_layer(scene, errors, homer, at, to_amsl_m)
    k = low + _STRIDE // 2
    cell = AirCell(k, when_at(at))
    wind = slab_wind(scene, errors, cell, _STRIDE)
    level, sink = dived(scene, homer, k, wind)
    if wind.u_mps * wind.u_mps + wind.v_mps * wind.v_mps > level * level:
        return dive_layer(scene, errors, homer, at, to_amsl_m)
    return Point(at.t_s + (at.amsl_m - low_m) / sink, low_m, at.north_rad, at.east_rad)
