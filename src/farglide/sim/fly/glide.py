"""Glide: a steered glider down through one layer from any state, straight on or in circles."""

from typing import NamedTuple

from farglide.glider.polar import Polar, Winds, _best_eas, _steady
from farglide.kernel import inner
from farglide.sim.core.march import Velocity, cell_below, lowered
from farglide.sim.core.scene import Scene
from farglide.sim.core.step import Errors
from farglide.sim.core.tracks import Point
from farglide.sim.core.wind import wind_at
from farglide.sim.reach.support import Limits, glide_air, speed_band


class Craft(NamedTuple):
    """One glider: its polar, what is allowed, and how good the draw has made it."""

    polar: Polar
    limits: Limits
    glide_factor: float


class Way(NamedTuple):
    """Where to head and what a second is worth: together they fix the speed in every layer."""

    east: float
    north: float
    price_mps: float


class Gliding(NamedTuple):
    """One glider on its way."""

    craft: Craft
    way: Way


class Turn(NamedTuple):
    """How height is flown off over one place."""

    eas_mps: float = 0.0  # 0: the flattest glide of each layer
    load: float = 1.0  # in the turn; 1: so wide that the bank costs nothing


class Turning(NamedTuple):
    """One glider that flies its height off over one place."""

    craft: Craft
    turn: Turn


class Glided(NamedTuple):
    """Where a glider leaves its layer, and the speed it flew there."""

    to: Point
    eas_mps: float


@inner
def glide_layer(
    scene: Scene, errors: Errors, gliding: Gliding, at: Point, to_amsl_m: float
) -> Glided:
    """Return where a glider on a way leaves its layer, at the best speed or the one it holds."""
    (polar, limits, factor), way = gliding.craft, gliding.way
    cell = cell_below(scene, at)
    u, v, up = wind_at(scene, errors, cell)
    air = glide_air(scene.layers, cell.layer)
    winds = Winds(u * way.east + v * way.north, up, way.price_mps)
    eas = _best_eas(polar, air, speed_band(polar, limits, scene.layers, cell.layer), factor, winds)
    level, sink = _steady(polar, eas, air, factor, 1.0)
    velocity = Velocity(level * way.east + u, level * way.north + v, sink - up)
    return Glided(lowered(scene, cell, at, velocity, to_amsl_m), eas)


@inner
def turn_layer(
    scene: Scene, errors: Errors, turning: Turning, at: Point, to_amsl_m: float
) -> Glided:
    """Return where a glider that turns on one spot of the air leaves its layer."""
    (polar, limits, factor), turn = turning.craft, turning.turn
    cell = cell_below(scene, at)
    u, v, up = wind_at(scene, errors, cell)
    air = glide_air(scene.layers, cell.layer)
    eas = turn.eas_mps
    if eas <= 0.0:
        band = speed_band(polar, limits, scene.layers, cell.layer)
        eas = _best_eas(polar, air, band, factor, Winds(0.0, 0.0, 0.0))
    sink = _steady(polar, eas, air, factor, turn.load)[1]
    return Glided(lowered(scene, cell, at, Velocity(u, v, sink - up), to_amsl_m), eas)
