"""Passage: one glide flown along the edge of the reach, layer by layer, with its time and track."""

from typing import NamedTuple

import numpy as np

from farglide.arrays import FloatArray
from farglide.kernel import compiled, roomy
from farglide.sim.core.march import is_above
from farglide.sim.core.scene import Scene
from farglide.sim.core.step import Errors, _metres_per_rad
from farglide.sim.core.tracks import Point, put_point
from farglide.sim.core.wind import no_errors
from farglide.sim.fly.glide import Craft, Turn, Way, glide_layer, turn_layer
from farglide.sim.reach.reach import Reach
from farglide.sim.reach.rose import FINE, LANES, Rose, _along, _between, _least, _support_at


class Passage(NamedTuple):
    """A glide as rows from the top down."""

    after_s: FloatArray
    amsl_m: FloatArray
    north_rad: FloatArray
    east_rad: FloatArray
    eas_mps: FloatArray


@compiled
def _fly_way(
    scene: Scene,
    errors: Errors,
    flight: tuple[Craft, Way],
    heights: tuple[Point, float],
    rows: FloatArray,
) -> int:
    """Fill rows of time, height, north, east, EAS and return how many."""
    at, to_amsl_m = heights
    n, eas_mps = 0, 0.0
    while is_above(at, to_amsl_m) and n < rows.shape[0] - 1:
        put_point(rows, n, at)
        at, eas_mps = glide_layer(scene, errors, flight, at, to_amsl_m)
        rows[n, 4] = eas_mps
        n += 1
    put_point(rows, n, at)
    rows[n, 4] = eas_mps
    return n + 1


@roomy
def _aim_row(
    reach: Reach, row: int, heights: tuple[float, float], offset: tuple[float, float], rose: Rose
) -> tuple[float, float, float]:
    n = len(rose.east)
    high, low = np.empty(n, np.float32), np.empty(n, np.float32)
    along, lanes = np.empty(n, np.float32), np.empty(LANES, np.float32)
    _support_at(reach, row, heights[0], rose, high)
    _support_at(reach, row, heights[1], rose, low)
    _along(rose, offset[0], offset[1], along)
    least, at = _between(high, low, along, _least(high, low, along, lanes))
    angle = 2.0 * np.pi * at / len(high)
    return least, np.cos(angle), np.sin(angle)


def aim(
    reach: Reach, heights: tuple[float, float], offset: tuple[float, float], row: int = 0
) -> tuple[float, float, float]:
    """Return how far inside the reach an offset lies, and the direction (east, north) of its edge.

    `heights`: from and to; `offset`: metres east and north; `row`: of the reach tables.
    """
    least, east, north = _aim_row(reach, row, heights, offset, FINE)
    return float(least), float(east), float(north)


def fly_way(scene: Scene, craft: Craft, way: Way, begin: Point, to_amsl_m: float) -> Passage:
    """Return the glide of the error-free draw from a state along a way down to a height."""
    rows = np.empty((len(scene.layers.rho_kgpm3) + 2, 5))
    n = _fly_way(scene, no_errors(scene), (craft, way), (begin, to_amsl_m), rows)
    return Passage(*(np.ascontiguousarray(rows[:n, j]) for j in range(5)))


def quickest_way(
    priced: tuple[FloatArray, Reach],
    heights: tuple[float, float],
    offset: tuple[float, float],
) -> tuple[float, Way]:
    """Return the least flight time to an offset in reach, and the way that takes it.

    `priced`: rising prices above 0 and one draw's reach tables, a row a price. In reach within tau
    means n.d <= H(n, q) + q tau for every direction n and price q, so tau is the largest
    (n.d - H(n, q)) / q.
    """
    prices_mps, reach = priced
    best_s, best = 0.0, Way(1.0, 0.0, float(prices_mps[-1]))
    for row, price_mps in enumerate(prices_mps):
        margin, east, north = aim(reach, heights, offset, row)
        needed_s = -margin / price_mps
        if needed_s > best_s:
            best_s, best = float(needed_s), Way(east, north, float(price_mps))
    return best_s, best


def spare_way(
    reach: Reach, ground_amsl_m: float, heights: tuple[float, float], offset: tuple[float, float]
) -> tuple[float, Way]:
    """Return the greatest height over an offset in reach and held from there down, and the way.

    `heights`: from, and the arrival height. The height is found by bisection between them; it is
    the arrival height when the offset is only just in reach.
    """
    low, high = heights[1], heights[0]
    way = Way(1.0, 0.0, 0.0)
    while high - low > 10.0:
        middle = 0.5 * (low + high)
        margin, east, north = aim(reach, (heights[0], middle), offset)
        held = aim(reach, (middle, ground_amsl_m), (0.0, 0.0))[0]
        if margin >= 0.0 and held >= 0.0:
            low, way = middle, Way(east, north, 0.0)
        else:
            high = middle
    if way == Way(1.0, 0.0, 0.0):
        _, east, north = aim(reach, heights, offset)
        way = Way(east, north, 0.0)
    return low, way


@compiled
def _descent_s(
    scene: Scene,
    errors: Errors,
    flight: tuple[Craft, Turn],
    from_amsl_m: float,
    to_amsl_m: float,
) -> float:
    at = Point(0.0, from_amsl_m, 0.0, 0.0)
    while is_above(at, to_amsl_m):
        at, _ = turn_layer(scene, errors, flight, at, to_amsl_m)
    return at.t_s


def descent_s(scene: Scene, craft: Craft, heights: tuple[float, float], turn: Turn) -> float:
    """Return seconds from one height down to another in one way of turning."""
    return float(_descent_s(scene, no_errors(scene), (craft, turn), *heights))


def from_launch_m(scene: Scene, north_rad: float, east_rad: float) -> tuple[float, float]:
    """Return metres east and north of the launch for an offset in radians."""
    meridian, parallel = _metres_per_rad(scene.frame, 0.5 * north_rad)
    return float(parallel * east_rad), float(meridian * north_rad)
