"""March: how the air moves where a flight is, and a flight moved on through a layer or a time."""

from typing import Final, NamedTuple

import numpy as np

from farglide.air.doubt import _at_layer
from farglide.kernel import compiled, merged
from farglide.sim.core.scene import Scene
from farglide.sim.core.step import Errors, _moved, layer_index
from farglide.sim.core.tracks import Point

SLOWEST_MPS: Final = 0.02
"""Rising air may hold a slow glider up for a while; this ends the wait."""
_EDGE_M: Final = 1e-6
"""A height this near to the edge of a layer lies on it."""


class Cell(NamedTuple):
    """Where the air is sampled."""

    column: np.int64  # on the axis of places and times: 0, as long as one column serves them all
    layer: int


class Wind(NamedTuple):
    """How the air moves."""

    u_mps: float
    v_mps: float
    up_mps: float


class Velocity(NamedTuple):
    """How a thing moves: as the ground would have it at its own height."""

    east_mps: float
    north_mps: float
    sink_mps: float


@merged
def cell_in(layer: int) -> Cell:
    """Return the cell of a layer, for those who know no place and no time."""
    return Cell(np.int64(0), layer)  # a bare 0 is a type of its own to the compiler


@merged
def cell_at(scene: Scene, at: Point) -> Cell:
    """Return the cell around a place at a time."""
    return cell_in(layer_index(scene.layers, at.amsl_m))


@merged
def wind_at(scene: Scene, errors: Errors, cell: Cell) -> Wind:
    """Return the wind of one draw in a cell: the one place where flights sample moving air."""
    layers, knots = scene.layers, scene.knots
    i, k = cell
    sd = layers.wind_sd_mps[k]
    return Wind(
        layers.u_mps[i, k] + sd * _at_layer(knots, errors.east, k),
        layers.v_mps[i, k] + sd * _at_layer(knots, errors.north, k),
        scene.up_sd_mps * _at_layer(knots, errors.up, k),
    )


def no_errors(scene: Scene) -> Errors:
    """Return the errors of air that is as the column has it."""
    zero = np.zeros(int(scene.knots.cell[-1]) + 2)
    return Errors(zero, zero, zero)


def mean_wind(scene: Scene, amsl_m: float) -> Wind:
    """Return the wind at a height without any draw's error."""
    return Wind(*_wind_in(scene, no_errors(scene), Point(0.0, amsl_m, 0.0, 0.0)))


@compiled
def _wind_in(scene: Scene, errors: Errors, at: Point) -> Wind:
    return wind_at(scene, errors, cell_at(scene, at))


@merged
def cell_below(scene: Scene, at: Point) -> Cell:
    """Return the cell into which a descent goes."""
    return cell_at(scene, Point(at.t_s, at.amsl_m - _EDGE_M, at.north_rad, at.east_rad))


@merged
def cell_above(scene: Scene, at: Point) -> Cell:
    """Return the cell into which a climb goes."""
    return cell_at(scene, Point(at.t_s, at.amsl_m + _EDGE_M, at.north_rad, at.east_rad))


@merged
def is_above(at: Point, amsl_m: float) -> bool:
    """Tell whether there is height left to lose."""
    return at.amsl_m > amsl_m + _EDGE_M


@merged
def carried(scene: Scene, cell: Cell, at: Point, velocity: Velocity, seconds: float) -> Point:
    """Return where a thing is after moving for a time at one velocity."""
    ground = scene.layers.shortening_ratio[cell.layer] * seconds
    north_rad, east_rad = _moved(
        scene.frame,
        (at.north_rad, at.east_rad),
        velocity.east_mps * ground,
        velocity.north_mps * ground,
    )
    return Point(at.t_s + seconds, at.amsl_m - velocity.sink_mps * seconds, north_rad, east_rad)


@merged
def lowered(scene: Scene, cell: Cell, at: Point, velocity: Velocity, to_amsl_m: float) -> Point:
    """Return where a thing leaves the layer of a cell downward, or comes to a height in it.

    On the way all four numbers change evenly.
    """
    low_m = max(scene.layers.base_amsl_m + cell.layer * scene.layers.step_m, to_amsl_m)
    seconds = (at.amsl_m - low_m) / max(velocity.sink_mps, SLOWEST_MPS)
    end = carried(scene, cell, at, velocity, seconds)
    return Point(end.t_s, low_m, end.north_rad, end.east_rad)


@merged
def drifted(scene: Scene, errors: Errors, at: Point, seconds: float) -> Point:
    """Return where a thing is that keeps its height and drifts with the wind there."""
    cell = cell_at(scene, at)
    wind = wind_at(scene, errors, cell)
    return carried(scene, cell, at, Velocity(wind.u_mps, wind.v_mps, 0.0), seconds)
