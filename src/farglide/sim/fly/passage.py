"""Passage: one glide flown along the edge of the reach, layer by layer, with its time and track."""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from farglide.air.doubt import _at_layer
from farglide.glider.polar import Polar, _best_eas, _steady
from farglide.kernel import compiled
from farglide.sim.core.scene import Scene
from farglide.sim.core.step import Errors, _metres_per_rad, _moved, _wind, layer_index
from farglide.sim.reach.reach import Reach
from farglide.sim.reach.rose import FINE, LANES, Rose, _along, _between, _least, _support_at
from farglide.sim.reach.support import Limits, glide_air, speed_band

FloatArray = NDArray[np.float64]


class Way(NamedTuple):
    """Where to head and what a second is worth: together they fix the speed in every layer."""

    east: float
    north: float
    price_mps: float


class Turn(NamedTuple):
    """How height is flown off over one place."""

    eas_mps: float = 0.0  # 0: the flattest glide of each layer
    load: float = 1.0  # in the turn; 1: so wide that the bank costs nothing


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
    craft: tuple[Polar, Limits, float],
    errors: Errors,
    way: Way,
    state: tuple[float, float, float, float],
    to_amsl_m: float,
    rows: FloatArray,
) -> int:
    """Fill rows of time, height, north, east, EAS and return how many. `state`: height, N, E, t."""
    polar, limits, factor = craft
    layers = scene.layers
    z, north, east, t = state
    n = 0
    while z > to_amsl_m + 1e-6 and n < rows.shape[0] - 1:
        k = layer_index(layers, z - 1e-6)
        low = max(layers.base_amsl_m + k * layers.step_m, to_amsl_m)
        u, v = _wind(layers, scene.knots, errors, (0, k))
        up = scene.up_sd_mps * _at_layer(scene.knots, errors.up, k)
        winds = (u * way.east + v * way.north, up, way.price_mps)
        air = glide_air(layers, k)
        eas = _best_eas(polar, air, speed_band(polar, limits, layers, k), factor, winds)
        level, sink = _steady(polar, eas, air, (factor, 1.0))
        rows[n, 0], rows[n, 1], rows[n, 2], rows[n, 3], rows[n, 4] = t, z, north, east, eas
        n += 1
        dt = (z - low) / max(sink - up, 1e-3)
        ground = layers.shortening_ratio[k] * dt
        north, east = _moved(
            scene.frame,
            (north, east),
            (level * way.east + u) * ground,
            (level * way.north + v) * ground,
        )
        z, t = low, t + dt
    rows[n, 0], rows[n, 1], rows[n, 2], rows[n, 3] = t, z, north, east
    rows[n, 4] = rows[n - 1, 4] if n > 0 else 0.0
    return n + 1


@compiled
def _aim_row(
    reach: Reach, row: int, heights: tuple[float, float], offset: tuple[float, float], rose: Rose
) -> tuple[float, float, float]:
    high, low, along = (
        np.empty_like(rose.east),
        np.empty_like(rose.east),
        np.empty_like(rose.east),
    )
    lanes = np.empty(LANES, np.float32)
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


def fly_way(
    scene: Scene,
    craft: tuple[Polar, Limits, float],
    way: Way,
    state: tuple[float, float, float, float],
    to_amsl_m: float,
) -> Passage:
    """Return the glide of the error-free draw from a state along a way down to a height."""
    n_knots = int(scene.knots.cell[-1]) + 2
    zero = np.zeros(n_knots)
    rows = np.empty((len(scene.layers.rho_kgpm3) + 2, 5))
    n = _fly_way(scene, craft, Errors(zero, zero, zero), way, state, to_amsl_m, rows)
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
    scene: Scene, craft: tuple[Polar, Limits, float], limits: tuple[float, float], turn: Turn
) -> float:
    """Return the time from the upper to the lower of `limits` in one way of turning."""
    polar, caps, factor = craft
    layers = scene.layers
    total, z = 0.0, limits[0]
    while z > limits[1] + 1e-6:
        k = layer_index(layers, z - 1e-6)
        low = max(layers.base_amsl_m + k * layers.step_m, limits[1])
        air = glide_air(layers, k)
        eas = turn.eas_mps
        if eas <= 0.0:
            band = speed_band(polar, caps, layers, k)
            eas = _best_eas(polar, air, band, factor, (0.0, 0.0, 0.0))
        total += (z - low) / _steady(polar, eas, air, (factor, turn.load))[1]
        z = low
    return total


def descent_s(
    scene: Scene,
    craft: tuple[Polar, Limits, float],
    heights: tuple[float, float],
    turn: Turn,
) -> float:
    """Return seconds from one height down to another."""
    return float(_descent_s(scene, craft, heights, turn))


def east_north_m(scene: Scene, north_rad: float, east_rad: float) -> tuple[float, float]:
    """Return metres east and north of the launch for an offset in radians."""
    meridian, parallel = _metres_per_rad(scene.frame, 0.5 * north_rad)
    return float(parallel * east_rad), float(meridian * north_rad)
