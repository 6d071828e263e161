"""Glide: a steered glider down through one layer from any state, straight on."""

from typing import Final, NamedTuple

import numpy as np

from farglide.glider.polar import EasBand, Winds, _best_eas
from farglide.kernel import inner
from farglide.sim.core.march import Velocity, cell_below, lowered
from farglide.sim.core.scene import Scene
from farglide.sim.core.step import Errors, Offset, apart_m
from farglide.sim.core.tracks import Point
from farglide.sim.core.wind import wind_at
from farglide.sim.reach.drawnglider import DrawnGlider, glide_air, speed_band
from farglide.sim.reach.speeds import kept_track

_CLOSE_M: Final = 1000.0


class Way(NamedTuple):
    """Where to fly, what a second is worth, and how much of the airspeed goes that way.

    The rest goes round in circles; a share below 0 flies backwards, or lets itself be blown so.
    """

    north_rad: float
    east_rad: float
    price_mps: float
    share_ratio: float = 1.0


class Gliding(NamedTuple):
    """One glider on its way."""

    craft: DrawnGlider
    way: Way


class Course(NamedTuple):
    """The direction of a track, a unit vector."""

    east: float
    north: float


class Glided(NamedTuple):
    """Where a glider leaves its layer, and the speed it flew there."""

    to: Point
    eas_mps: float
    course: Course


@inner
def course_to(scene: Scene, way: Way, at: Point, was: Course) -> Course:
    """Return the course to the place flown to, or, once that is passed, straight away from it.

    Close to it the course stays what it was.
    """
    here, there = Offset(at.north_rad, at.east_rad), Offset(way.north_rad, way.east_rad)
    east_m, north_m = apart_m(scene.frame, here, there)
    away_m = np.sqrt(east_m * east_m + north_m * north_m)
    if away_m < _CLOSE_M and was.east * was.east + was.north * was.north > 0.0:
        return was
    over = 1.0 / max(away_m, 1e-3)
    if east_m * was.east + north_m * was.north < 0.0:
        over = -over
    return Course(east_m * over, north_m * over)


@inner
def glide_layer(
    scene: Scene, errors: Errors, gliding: Gliding, was: Course, at: Point, to_amsl_m: float
) -> Glided:
    """Return where a glider on its straight track leaves its layer, at the best speed for it.

    `was`: its course so far. Where the cross wind beats the airspeed it is set aside, and heads for
    its place from there.
    """
    (polar, limits, factor), way = gliding.craft, gliding.way
    cell, course = cell_below(scene, at), course_to(scene, way, at, was)
    k = cell.layer
    wind, air = wind_at(scene, errors, cell), glide_air(scene.layers, k)
    along = wind.u_mps * course.east + wind.v_mps * course.north
    across = wind.v_mps * course.east - wind.u_mps * course.north
    price = way.price_mps / scene.layers.shortening_ratio[k]
    band = speed_band(polar, limits, scene.layers, k)
    eas = _best_eas(polar, air, band, factor, Winds(along, across, wind.up_mps, price))
    kept = kept_track(polar, air, factor, across, EasBand(eas, band.fastest_mps))
    left = max(kept.level_mps * kept.level_mps - across * across, 0.0)
    made, aside = way.share_ratio * np.sqrt(left) + along, kept.across_mps
    east_mps = made * course.east - aside * course.north
    north_mps = made * course.north + aside * course.east
    velocity = Velocity(east_mps, north_mps, kept.sink_mps - wind.up_mps)
    return Glided(lowered(scene, cell, at, velocity, to_amsl_m), kept.eas_mps, course)
