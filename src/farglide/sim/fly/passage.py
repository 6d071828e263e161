"""Passage: one glide flown on a straight track, layer by layer, with its time and track."""

from typing import NamedTuple

import numpy as np

from farglide.arrays import FloatArray
from farglide.earth.geodesy import EastNorth
from farglide.kernel import compiled
from farglide.sim.core.march import is_above
from farglide.sim.core.scene import Scene
from farglide.sim.core.step import Errors, Offset, _metres_per_rad, apart_m
from farglide.sim.core.tracks import Point, put_point
from farglide.sim.core.wind import no_errors
from farglide.sim.fly.glide import Course, Gliding, Way, glide_layer
from farglide.sim.reach.drawnglider import DrawnGlider
from farglide.sim.reach.holding import Holder, held_up_to
from farglide.sim.reach.reach import Descent
from farglide.sim.reach.reaches import Reaches
from farglide.sim.reach.straight import made_good


class Passage(NamedTuple):
    """A glide as rows from the top down."""

    after_s: FloatArray
    amsl_m: FloatArray
    north_rad: FloatArray
    east_rad: FloatArray
    eas_mps: FloatArray
    short_m: FloatArray  # how far it still has to go; negative once it has passed its place


@compiled
def _fly_way(
    scene: Scene, errors: Errors, gliding: Gliding, at: Point, to_amsl_m: float, rows: FloatArray
) -> int:
    """Fill rows of time, height, north, east, EAS, metres to go and return how many."""
    n, eas_mps, course = 0, 0.0, Course(0.0, 0.0)
    while is_above(at, to_amsl_m) and n < rows.shape[0] - 1:
        put_point(rows, n, at)
        here = at
        at, eas_mps, course = glide_layer(scene, errors, gliding, course, at, to_amsl_m)
        rows[n, 4], rows[n, 5] = eas_mps, _short_m(scene, gliding.way, here, course)
        n += 1
    put_point(rows, n, at)
    rows[n, 4], rows[n, 5] = eas_mps, _short_m(scene, gliding.way, at, course)
    return n + 1


@compiled
def _short_m(scene: Scene, way: Way, at: Point, course: Course) -> float:
    """Return how far along its course the place of a way lies before a glider."""
    here, there = Offset(at.north_rad, at.east_rad), Offset(way.north_rad, way.east_rad)
    east_m, north_m = apart_m(scene.frame, here, there)
    return east_m * course.east + north_m * course.north


def fly_way(scene: Scene, craft: DrawnGlider, way: Way, begin: Point, to_amsl_m: float) -> Passage:
    """Return the glide of the error-free draw from a state along a way down to a height."""
    rows = np.empty((len(scene.layers.rho_kgpm3) + 2, 6))
    n = _fly_way(scene, no_errors(scene), Gliding(craft, way), begin, to_amsl_m, rows)
    return Passage(*(np.ascontiguousarray(rows[:n, j]) for j in range(6)))


class Soonest(NamedTuple):
    """The least time of flight to a place, and which of the prices of a second takes it."""

    seconds: float
    row: int


def quickest_way(reaches: Reaches, descent: Descent, away: EastNorth) -> Soonest:
    """Return the least flight time to a place in reach, and the price that takes it.

    `reaches`: of one draw. In reach within tau means d <= H(b, q) + q tau for every price q, so tau
    is the largest (d - H(b, q)) / q; the other way round where the wind carries it too far.
    """
    best = Soonest(0.0, len(reaches.price_mps) - 1)
    for row, price_mps in enumerate(reaches.price_mps):
        made = made_good(reaches.priced, descent, away, row)
        needed_s = -made.inside_m / float(price_mps)
        if needed_s > best.seconds:
            best = Soonest(needed_s, row)
    return best


@compiled
def _held_up_to(scene: Scene, errors: Errors, holder: Holder, down: Descent) -> float:
    return held_up_to(scene, errors, holder, down)


def held_amsl_m(scene: Scene, reaches: Reaches, glide_factor: float, down: Descent) -> float:
    """Return the greatest height in a descent from which the error-free draw can stay there."""
    holder = Holder(reaches.craft, reaches.speeds, glide_factor)
    return float(_held_up_to(scene, no_errors(scene), holder, down))


def spare_amsl_m(reaches: Reaches, descent: Descent, top_m: float, away: EastNorth) -> float:
    """Return the greatest height over a place in reach, up to a height from where it can be held.

    `descent`: down to the arrival height. The height is found by bisection between the two; it is
    the arrival height when the place is only just in reach.
    """
    low, high = descent.to_amsl_m, min(descent.from_amsl_m, top_m)
    if low < high and made_good(reaches.free, descent._replace(to_amsl_m=high), away).inside_m >= 0:
        return high
    while high - low > 10.0:
        middle = 0.5 * (low + high)
        made = made_good(reaches.free, descent._replace(to_amsl_m=middle), away)
        if made.inside_m >= 0.0:
            low = middle
        else:
            high = middle
    return low


def from_launch_m(scene: Scene, north_rad: float, east_rad: float) -> EastNorth:
    """Return metres east and north of the launch for an offset in radians."""
    meridian, parallel = _metres_per_rad(scene.frame, 0.5 * north_rad)
    return EastNorth(float(parallel * east_rad), float(meridian * north_rad))
