"""Reach: where a glider can get to from here, exactly, as a sum over layers for every direction.

The ground reachable after many layers is the Minkowski sum of what each layer gives; it is convex,
and its support function is the sum of the layers' own. In each layer that is a smooth function of
the cosine between the direction and the wind, hence a short cosine series; a reach table keeps the
series summed from the ground up, and a query evaluates it in 72 directions.
"""

from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from farglide.air.doubt import _at_layer
from farglide.kernel import compiled, inlined
from farglide.sim.climb import Scene, Swarm, _errors
from farglide.sim.spread import Spread, in_one_go
from farglide.sim.step import Errors, _wind
from farglide.sim.support import Support, _cell, _look_up

FloatArray = NDArray[np.float64]
SingleArray = NDArray[np.float32]

N_NODE: Final = 12
N_TERM: Final = 2 * N_NODE - 1
N_DIRECTION: Final = 72


def _cosines() -> tuple[FloatArray, FloatArray]:
    """Return the nodes' cosines and the matrix from node values to cosine coefficients."""
    angle = np.pi * (np.arange(N_NODE) + 0.5) / N_NODE
    order = np.arange(N_NODE)[:, None]
    weights = np.cos(order * angle[None, :]) * (2.0 / N_NODE)
    weights[0] *= 0.5
    return np.cos(angle), weights


NODE_COSINE, NODE_WEIGHT = _cosines()
_ANGLE = 2.0 * np.pi * np.arange(N_DIRECTION) / N_DIRECTION
DIRECTION_EAST, DIRECTION_NORTH = np.cos(_ANGLE), np.sin(_ANGLE)
_ORDER = np.arange(1, N_NODE)[:, None]
BASIS = np.ascontiguousarray(
    np.concatenate([np.ones((1, N_DIRECTION)), np.cos(_ORDER * _ANGLE), np.sin(_ORDER * _ANGLE)])
).astype(np.float32)
"""Cosine and sine of each order in each direction: series times BASIS is the support function."""


class Reach(NamedTuple):
    """Reach tables of all draws: series from the lowest layer edge up to every n-th edge.

    `series`: (n_draws, n_edges, N_TERM), metres.
    """

    base_amsl_m: float
    step_m: float
    series: SingleArray


@compiled
def _layer_series(
    scene: Scene,
    support: Support,
    draw: tuple[Errors, tuple[int, float], float],
    slab: tuple[int, int],
    out: FloatArray,
) -> None:
    """Add to `out` the series of layer `slab[0]`, as thick as `slab[1]` layers.

    `draw`: errors of the air, cell of the glide factor, and the price of a second in metres. Air
    that rises with `up` makes the sink smaller: max (V_h + c) / (s - up) is the F that solves
    F = F0(c + up F), to first order in the curvature F0 / (1 - up F0').
    """
    layers = scene.layers
    errors, cell, price_mps = draw
    k = slab[0]
    u, v = _wind(layers, scene.knots, errors, (0, k))
    up = scene.up_sd_mps * _at_layer(scene.knots, errors.up, k)
    speed = np.sqrt(u * u + v * v)
    scale = 1.0 / layers.tas_per_eas[k]
    metres = slab[1] * layers.step_m * layers.shortening_ratio[k]
    cosine, sine = 1.0, 0.0
    if speed > 1e-9:
        cosine, sine = u / speed, v / speed
    values = np.empty(N_NODE)
    for m in range(N_NODE):
        f, slope = _look_up(support, k, cell, (speed * NODE_COSINE[m] - price_mps) * scale)
        values[m] = metres * f / max(1.0 - up * slope * scale, 0.2)
    c_before, s_before, c, s = 1.0, 0.0, cosine, sine
    total = 0.0
    for m in range(N_NODE):
        total += NODE_WEIGHT[0, m] * values[m]
    out[0] += total
    for j in range(1, N_NODE):
        total = 0.0
        for m in range(N_NODE):
            total += NODE_WEIGHT[j, m] * values[m]
        out[j] += total * c
        out[N_NODE - 1 + j] += total * s
        c_next, s_next = 2.0 * cosine * c - c_before, 2.0 * cosine * s - s_before
        c_before, s_before, c, s = c, s, c_next, s_next


@compiled
def _sum_some(
    scene: Scene,
    support: Support,
    swarm: tuple[Swarm, FloatArray],
    some: tuple[int, int],
    price: tuple[float, int],
    series: SingleArray,
) -> None:
    """Fill the series of draws `some`; `price`: metres per second, and layers taken as one."""
    price_mps, stride = price
    draws, glide_factor = swarm
    for i in range(some[0], some[1]):
        draw = (_errors(draws, i), _cell(support, glide_factor[i]), price_mps)
        total = np.zeros(N_TERM)
        series[i, 0] = 0.0
        for edge in range(1, series.shape[1]):
            k = edge * stride - stride // 2 - 1  # the middle one of an odd number of layers
            _layer_series(scene, support, draw, (k, stride), total)
            for j in range(N_TERM):
                series[i, edge, j] = total[j]


def sum_reach(
    scene: Scene,
    support: Support,
    swarm: tuple[Swarm, FloatArray],
    price: tuple[float, int] = (0.0, 1),
    spread: Spread = in_one_go,
) -> Reach:
    """Return the reach tables of all draws at one price of time.

    `swarm`: the draws and their glide factors. `price`: what a second costs in metres (0: as far as
    it goes, however long it takes) and how many layers are taken as one (odd; 1 is exact).
    """
    draws, glide_factor = swarm
    n, stride = len(glide_factor), price[1]
    n_edges = len(scene.layers.rho_kgpm3) // stride + 1
    series = np.empty((n, n_edges, N_TERM), dtype=np.float32)
    spread(
        lambda first, last: _sum_some(
            scene, support, (draws, glide_factor), (first, last), price, series
        ),
        n,
    )
    return Reach(scene.layers.base_amsl_m, scene.layers.step_m * stride, series)


def directions(reach: Reach) -> SingleArray:
    """Return the support function in 72 directions from east, shape (n_draws, n_edges, 72)."""
    n, n_edges, _ = reach.series.shape
    flat: SingleArray = reach.series.reshape(-1, N_TERM) @ BASIS
    return flat.reshape(n, n_edges, N_DIRECTION)


def support_between(reach: Reach, heights: tuple[float, float]) -> FloatArray:
    """Return draw 0's support function from the upper to the lower height, in 72 directions."""
    high, low = np.empty(N_DIRECTION, np.float32), np.empty(N_DIRECTION, np.float32)
    _fill_support(reach, 0, heights[0], high)
    _fill_support(reach, 0, heights[1], low)
    return high.astype(np.float64) - low.astype(np.float64)


@compiled
def _fill_support(reach: Reach, i: int, amsl_m: float, out: SingleArray) -> None:
    _support_at(reach, i, amsl_m, out)


@inlined
def _support_at(reach: Reach, i: int, amsl_m: float, out: SingleArray) -> None:
    """Fill `out` with draw i's support function from the base up to a height."""
    x = (amsl_m - reach.base_amsl_m) / reach.step_m
    x = min(max(x, 0.0), reach.series.shape[1] - 1.000001)
    k = int(x)
    w = np.float32(x - k)
    low, high = reach.series[i, k], reach.series[i, k + 1]
    for n in range(N_DIRECTION):
        out[n] = low[0] + w * (high[0] - low[0])
    for j in range(1, N_TERM):
        term = low[j] + w * (high[j] - low[j])
        row = BASIS[j]
        for n in range(N_DIRECTION):
            out[n] += term * row[n]


@inlined
def _margin(
    high: SingleArray, low: SingleArray, east_m: float, north_m: float
) -> tuple[float, int]:
    """Return the least of H(n) - n.d over all directions, and the direction it is nearest to.

    `high`, `low`: supports at the two heights. A parabola through the three directions around the
    least corrects for directions in between.
    """
    least, at = np.inf, 0
    for n in range(N_DIRECTION):
        m = high[n] - low[n] - DIRECTION_EAST[n] * east_m - DIRECTION_NORTH[n] * north_m
        if m < least:
            least, at = m, n
    before, after = (at - 1) % N_DIRECTION, (at + 1) % N_DIRECTION
    a = (
        high[before]
        - low[before]
        - DIRECTION_EAST[before] * east_m
        - DIRECTION_NORTH[before] * north_m
    )
    b = high[after] - low[after] - DIRECTION_EAST[after] * east_m - DIRECTION_NORTH[after] * north_m
    bend = a - 2.0 * least + b
    if bend > 0.0:
        least -= (a - b) * (a - b) / (8.0 * bend)
    return least, at
