"""Reach: where a glider can get to from here, exactly, as a sum over layers for every direction.

The ground reachable after many layers is the Minkowski sum of what each layer gives; it is convex,
and its support function is the sum of the layers' own. In each layer that is a smooth function of
the cosine between the direction and the wind, hence a short cosine series; a reach table keeps the
series summed from the ground up, and a query evaluates it in the directions of a rose.
"""

from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import FloatArray, SingleArray
from farglide.errors import InputError
from farglide.kernel import inner, laned
from farglide.sim.core.draws import Drawn
from farglide.sim.core.scene import Scene, Swarm, _errors_home
from farglide.sim.core.step import Errors
from farglide.sim.core.wind import cell_in, slab_wind
from farglide.sim.core.workers import Stretch, Workers, in_one_go
from farglide.sim.reach.support import Bracket, Support, _bracket, _look_up

N_NODE: Final = 12
N_TERM: Final = 2 * N_NODE - 1
N_FEW: Final = 6
FEW_BELOW_EAS_MPS: Final = 4.0
"""Winds slower than this, scaled to EAS, bend a layer's support so little that six nodes do."""


def _cosines(n: int) -> tuple[FloatArray, FloatArray]:
    """Return n nodes' cosines and the matrix from node values to cosine coefficients."""
    angle = np.pi * (np.arange(n) + 0.5) / n
    order = np.arange(n)[:, None]
    weights = np.cos(order * angle[None, :]) * (2.0 / n)
    weights[0] *= 0.5
    return np.cos(angle), np.ascontiguousarray(weights.T)


NODE_COSINE, NODE_WEIGHT = _cosines(N_NODE)
FEW_COSINE, FEW_WEIGHT = _cosines(N_FEW)


class Reach(NamedTuple):
    """Reach tables of all draws: series from the lowest layer edge up to every n-th edge.

    `series`: (n_draws, n_edges, N_TERM), metres.
    """

    base_amsl_m: float
    step_m: float
    series: SingleArray


class Descent(NamedTuple):
    """From which height a glide comes down, and to which."""

    from_amsl_m: float
    to_amsl_m: float


class Prices(NamedTuple):
    """What a second costs in metres over the ground, and how many layers are taken as one."""

    price_mps: FloatArray  # 0: as far as it goes, however long it takes
    slab: int  # odd; 1 is exact


class _Priced(NamedTuple):
    """One draw at one price of a second."""

    errors: Errors
    bracket: Bracket  # of its glide factor
    price_mps: float


@inner
def _layer_series(
    scene: Scene,
    support: Support,
    priced: _Priced,
    k: int,
    slab: int,
    orders: FloatArray,
    out: FloatArray,
) -> None:
    """Add to `out` the series of layer `k`, as thick as `slab` layers.

    Air that rises with `up` makes the sink smaller: max (V_h + c) / (s - up) is the F that solves
    F = F0(c + up F), to first order in the curvature F0 / (1 - up F0').
    """
    layers = scene.layers
    # A second costs metres over the ground; those flown up here count for less down there.
    price = priced.price_mps / scene.layers.shortening_ratio[k]
    u, v, up = slab_wind(scene, priced.errors, cell_in(k), slab)
    speed = np.sqrt(u * u + v * v)
    scale = 1.0 / layers.tas_per_eas[k]
    metres = slab * layers.step_m * layers.shortening_ratio[k]
    cosine, sine = 1.0, 0.0
    if speed > 1e-9:
        cosine, sine = u / speed, v / speed
    # Each node's value is spread over all orders at once: the inner loop fills vector registers.
    few = speed * scale < FEW_BELOW_EAS_MPS
    for j in range(N_NODE):
        orders[j] = 0.0
    for m in range(N_FEW if few else N_NODE):
        along = speed * (FEW_COSINE[m] if few else NODE_COSINE[m]) - price
        f, slope = _look_up(support, k, priced.bracket, along * scale)
        value = metres * f / max(1.0 - up * slope * scale, 0.2)
        if few:
            for j in range(N_FEW):
                orders[j] += FEW_WEIGHT[m, j] * value
        else:
            for j in range(N_NODE):
                orders[j] += NODE_WEIGHT[m, j] * value
    c_before, s_before, c, s = 1.0, 0.0, cosine, sine
    out[0] += orders[0]
    for j in range(1, N_NODE):
        out[j] += orders[j] * c
        out[N_NODE - 1 + j] += orders[j] * s
        c_next, s_next = 2.0 * cosine * c - c_before, 2.0 * cosine * s - s_before
        c_before, s_before, c, s = c, s, c_next, s_next


@laned
def _sum_some(
    scene: Scene,
    support: Support,
    swarm: Swarm,
    glide_factor: FloatArray,
    prices: Prices,
    some: Stretch,
    series: SingleArray,
) -> None:
    """Fill the series of rows `some`."""
    n_draws, slab = len(glide_factor), prices.slab
    total, orders = np.empty(N_TERM), np.empty(N_NODE)
    for row in range(some.first, some.last):
        i, price_mps = row % n_draws, prices.price_mps[row // n_draws]
        priced = _Priced(_errors_home(swarm, i), _bracket(support, glide_factor[i]), price_mps)
        total[:] = 0.0
        series[row, 0] = 0.0
        for edge in range(1, series.shape[1]):
            k = edge * slab - slab // 2 - 1  # the middle one of an odd number of layers
            _layer_series(scene, support, priced, k, slab, orders, total)
            for j in range(N_TERM):
                series[row, edge, j] = total[j]


def sum_reach(
    scene: Scene, support: Support, drawn: Drawn, prices: Prices, workers: Workers = in_one_go
) -> Reach:
    """Return the reach tables of all draws at each price of time.

    The table of draw i at price j stands in row j * n_draws + i.
    """
    swarm, factor, slab = drawn.swarm, drawn.glide_factor, prices.slab
    n = len(factor) * len(prices.price_mps)
    if slab < 1 or slab % 2 == 0:
        raise InputError("layers taken as one", slab, "an odd number, 1 or more")
    n_edges = len(scene.layers.rho_kgpm3) // slab + 1
    series = np.empty((n, n_edges, N_TERM), dtype=np.float32)
    workers(lambda a, b: _sum_some(scene, support, swarm, factor, prices, Stretch(a, b), series), n)
    return Reach(scene.layers.base_amsl_m, scene.layers.step_m * slab, series)


FREE: Final = Prices(np.zeros(1), 1)
"""The prices of a reach that counts no time, layer by layer."""
