"""Passage: one glide flown along the edge of the reach, layer by layer, with its time and track."""

from typing import NamedTuple

import numpy as np

from farglide.arrays import FloatArray
from farglide.earth.geodesy import EastNorth
from farglide.kernel import compiled, roomy
from farglide.sim.core.march import is_above
from farglide.sim.core.scene import Scene, check_in_air
from farglide.sim.core.step import Errors, _metres_per_rad
from farglide.sim.core.tracks import Point, put_point
from farglide.sim.core.wind import no_errors
from farglide.sim.fly.glide import Craft, Gliding, Turn, Turning, Way, glide_layer, turn_layer
from farglide.sim.reach.doors import Reaches
from farglide.sim.reach.reach import Descent, Reach
from farglide.sim.reach.rose import FINE, LANES, Rose, _along, _between, _least, _support_at


class Passage(NamedTuple):
    """A glide as rows from the top down."""

    after_s: FloatArray
    amsl_m: FloatArray
    north_rad: FloatArray
    east_rad: FloatArray
    eas_mps: FloatArray


class Aimed(NamedTuple):
    """How far inside the reach a place lies, and the direction, a unit vector, of the edge there.

    Negative is outside.
    """

    margin_m: float
    east: float
    north: float


@compiled
def _fly_way(
    scene: Scene, errors: Errors, gliding: Gliding, at: Point, to_amsl_m: float, rows: FloatArray
) -> int:
    """Fill rows of time, height, north, east, EAS and return how many."""
    n, eas_mps = 0, 0.0
    while is_above(at, to_amsl_m) and n < rows.shape[0] - 1:
        put_point(rows, n, at)
        at, eas_mps = glide_layer(scene, errors, gliding, at, to_amsl_m)
        rows[n, 4] = eas_mps
        n += 1
    put_point(rows, n, at)
    rows[n, 4] = eas_mps
    return n + 1


@roomy
def _aim_row(reach: Reach, descent: Descent, away: EastNorth, row: int, rose: Rose) -> Aimed:
    n = len(rose.east)
    high, low = np.empty(n, np.float32), np.empty(n, np.float32)
    along, lanes = np.empty(n, np.float32), np.empty(LANES, np.float32)
    _support_at(reach, row, descent.from_amsl_m, rose, high)
    _support_at(reach, row, descent.to_amsl_m, rose, low)
    _along(rose, away.east_m, away.north_m, along)
    least, at = _between(high, low, along, _least(high, low, along, lanes))
    angle = 2.0 * np.pi * at / len(high)
    return Aimed(least, np.cos(angle), np.sin(angle))


def aim(reach: Reach, descent: Descent, away: EastNorth, row: int = 0) -> Aimed:
    """Return how far inside the reach a place lies, and where the edge is; `row`: of the tables."""
    return Aimed._make(float(one) for one in _aim_row(reach, descent, away, row, FINE))


def fly_way(scene: Scene, craft: Craft, way: Way, begin: Point, to_amsl_m: float) -> Passage:
    """Return the glide of the error-free draw from a state along a way down to a height."""
    rows = np.empty((len(scene.layers.rho_kgpm3) + 2, 5))
    n = _fly_way(scene, no_errors(scene), Gliding(craft, way), begin, to_amsl_m, rows)
    return Passage(*(np.ascontiguousarray(rows[:n, j]) for j in range(5)))


def quickest_way(reaches: Reaches, descent: Descent, away: EastNorth) -> tuple[float, Way]:
    """Return the least flight time to a place in reach, and the way that takes it.

    `reaches`: of one draw, prices above 0. In reach within tau means n.d <= H(n, q) + q tau for
    every direction n and price q, so tau is the largest (n.d - H(n, q)) / q.
    """
    best_s, best = 0.0, Way(1.0, 0.0, float(reaches.price_mps[-1]))
    for row, price_mps in enumerate(reaches.price_mps):
        aimed = aim(reaches.priced, descent, away, row)
        needed_s = -aimed.margin_m / price_mps
        if needed_s > best_s:
            best_s, best = float(needed_s), Way(aimed.east, aimed.north, float(price_mps))
    return best_s, best


def spare_way(
    reach: Reach, ground_amsl_m: float, descent: Descent, away: EastNorth
) -> tuple[float, Way]:
    """Return the greatest height over a place in reach and held from there down, and the way.

    `descent`: down to the arrival height. The height is found by bisection between the two; it is
    the arrival height when the place is only just in reach.
    """
    low, high = descent.to_amsl_m, descent.from_amsl_m
    way = Way(1.0, 0.0, 0.0)
    while high - low > 10.0:
        middle = 0.5 * (low + high)
        aimed = aim(reach, Descent(descent.from_amsl_m, middle), away)
        held_m = aim(reach, Descent(middle, ground_amsl_m), EastNorth(0.0, 0.0)).margin_m
        if aimed.margin_m >= 0.0 and held_m >= 0.0:
            low, way = middle, Way(aimed.east, aimed.north, 0.0)
        else:
            high = middle
    if way == Way(1.0, 0.0, 0.0):
        aimed = aim(reach, descent, away)
        way = Way(aimed.east, aimed.north, 0.0)
    return low, way


@compiled
def _descent_s(scene: Scene, errors: Errors, turning: Turning, descent: Descent) -> float:
    at = Point(0.0, descent.from_amsl_m, 0.0, 0.0)
    while is_above(at, descent.to_amsl_m):
        at, _ = turn_layer(scene, errors, turning, at, descent.to_amsl_m)
    return at.t_s


def descent_s(scene: Scene, craft: Craft, descent: Descent, turn: Turn) -> float:
    """Return seconds from one height down to another in one way of turning."""
    check_in_air(scene, "to_amsl_m", descent.to_amsl_m)
    return float(_descent_s(scene, no_errors(scene), Turning(craft, turn), descent))


def from_launch_m(scene: Scene, north_rad: float, east_rad: float) -> EastNorth:
    """Return metres east and north of the launch for an offset in radians."""
    meridian, parallel = _metres_per_rad(scene.frame, 0.5 * north_rad)
    return EastNorth(float(parallel * east_rad), float(meridian * north_rad))
