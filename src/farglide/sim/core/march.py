"""March: how the air moves where a flight is, and a flight moved on through a layer or a time."""

from typing import Final, NamedTuple

from farglide.kernel import merged
from farglide.sim.core.scene import Scene
from farglide.sim.core.step import Errors, Offset, _moved
from farglide.sim.core.tracks import Point
from farglide.sim.core.wind import AirCell, cell_at, wind_at

SLOWEST_MPS: Final = 0.02
"""Rising air may hold a slow glider up for a while; this ends the wait."""
_EDGE_M: Final = 1e-6
"""A height this near to the edge of a layer lies on it."""


class Velocity(NamedTuple):
    """How a thing moves: as the ground would have it at its own height."""

    east_mps: float
    north_mps: float
    sink_mps: float


@merged
def cell_below(scene: Scene, at: Point) -> AirCell:
    """Return the cell into which a descent goes."""
    return cell_at(scene, Point(at.t_s, at.amsl_m - _EDGE_M, at.north_rad, at.east_rad))


@merged
def cell_above(scene: Scene, at: Point) -> AirCell:
    """Return the cell into which a climb goes."""
    return cell_at(scene, Point(at.t_s, at.amsl_m + _EDGE_M, at.north_rad, at.east_rad))


@merged
def is_above(at: Point, amsl_m: float) -> bool:
    """Tell whether there is height left to lose."""
    return at.amsl_m > amsl_m + _EDGE_M


@merged
def carried(scene: Scene, cell: AirCell, at: Point, velocity: Velocity, seconds: float) -> Point:
    """Return where a thing is after moving for a time at one velocity."""
    ground = scene.layers.shortening_ratio[cell.layer] * seconds
    to = _moved(
        scene.frame,
        Offset(at.north_rad, at.east_rad),
        velocity.east_mps * ground,
        velocity.north_mps * ground,
    )
    amsl_m = at.amsl_m - velocity.sink_mps * seconds
    return Point(at.t_s + seconds, amsl_m, to.north_rad, to.east_rad)


@merged
def lowered(scene: Scene, cell: AirCell, at: Point, velocity: Velocity, to_amsl_m: float) -> Point:
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
