"""Speeds: what the crew flies on a straight track, by layer, bearing and price of a second.

The best in the wind that the crew can know, the column's own; flown in the wind there is.
"""

from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import FloatArray, SingleArray
from farglide.glider.polar import EasBand, GlideAir, Steady, _steady
from farglide.glider.wing import Polar
from farglide.kernel import inner, laned, merged
from farglide.sim.core.scene import Scene
from farglide.sim.core.step import Errors
from farglide.sim.core.wind import cell_in, no_errors, wind_at
from farglide.sim.core.workers import Stretch, Workers, in_one_go
from farglide.sim.reach.bearings import EAST, N_BEARING, NORTH, Line
from farglide.sim.reach.drawnglider import DrawnGlider, glide_air, speed_band

_N_SPEED: Final = 96
CRAB_RATIO: Final = 0.95
"""A cross wind may be this share of the airspeed, 72 degrees of crab, before it is flown faster."""
_NEVER: Final = -1e30


class Speeds(NamedTuple):
    """EAS to fly by price of a second, layer and bearing, and the fastest allowed in each layer."""

    price_mps: FloatArray  # (n_prices,) rising from 0
    eas_mps: SingleArray  # (n_prices, n_layers, N_BEARING)
    fastest_mps: FloatArray  # (n_layers,)


class Kept(NamedTuple):
    """How a glider keeps a straight track in a cross wind."""

    level_mps: float
    sink_mps: float
    eas_mps: float
    across_mps: float  # what of the cross wind it cannot hold against: 0 where it keeps the track


@laned
def _fill_speeds(
    scene: Scene, errors: Errors, craft: DrawnGlider, some: Stretch, speeds: Speeds
) -> None:
    """Fill the speeds of layers `some`: the best of many, by a parabola through three of them."""
    layers, n_prices = scene.layers, len(speeds.price_mps)
    level2, per_sink = np.empty(_N_SPEED, np.float32), np.empty(_N_SPEED, np.float32)
    made = np.empty(_N_SPEED, np.float32)
    for k in range(some.first, some.last):
        air, band = glide_air(layers, k), speed_band(craft.polar, craft.limits, layers, k)
        step = (band.fastest_mps - band.slowest_mps) / (_N_SPEED - 1)
        for j in range(_N_SPEED):
            eas_mps = band.slowest_mps + step * j
            level, sink = _steady(craft.polar, eas_mps, air, craft.glide_factor, 1.0)
            level2[j], per_sink[j] = level * level, 1.0 / sink
        speeds.fastest_mps[k] = band.fastest_mps
        wind = wind_at(scene, errors, cell_in(k))
        for q in range(n_prices):
            price = speeds.price_mps[q] / layers.shortening_ratio[k]
            for b in range(N_BEARING):
                along = np.float32(wind.u_mps * EAST[b] + wind.v_mps * NORTH[b] - price)
                across = np.float32(wind.v_mps * EAST[b] - wind.u_mps * NORTH[b])
                for j in range(_N_SPEED):
                    left = level2[j] - across * across
                    kept = left if left > np.float32(0.0) else np.float32(0.0)
                    gained = (np.sqrt(kept) + along) * per_sink[j]
                    made[j] = gained if left > np.float32(0.0) else np.float32(_NEVER)
                best = _N_SPEED - 1  # where none keeps the track, the fastest is set aside least
                for j in range(_N_SPEED):
                    if made[j] > made[best]:
                        best = j
                x = 0.0
                if 0 < best < _N_SPEED - 1 and made[best - 1] > np.float32(0.5 * _NEVER):
                    bend = made[best - 1] - 2.0 * made[best] + made[best + 1]
                    if bend < 0.0:
                        x = 0.5 * (made[best - 1] - made[best + 1]) / bend
                speeds.eas_mps[q, k, b] = band.slowest_mps + step * (best + x)


def speeds_of(
    scene: Scene, craft: DrawnGlider, price_mps: FloatArray, workers: Workers = in_one_go
) -> Speeds:
    """Return the speeds that make most ground on each bearing at each price, or the one held.

    `craft`: as its crew believes it to be. `price_mps`: rising from 0.
    Source: tangent condition as in `glider.polar.speed_to_fly`, with what crabbing leaves of the
    airspeed, sqrt(V^2 - c^2), in place of V.
    """
    n = len(scene.layers.rho_kgpm3)
    eas_mps = np.empty((len(price_mps), n, N_BEARING), np.float32)
    speeds, calm = Speeds(price_mps, eas_mps, np.empty(n)), no_errors(scene)
    workers(lambda a, b: _fill_speeds(scene, calm, craft, Stretch(a, b), speeds), n)
    return speeds


@inner
def price_row(speeds: Speeds, price_mps: float) -> int:
    """Return the row of the nearest price."""
    nearest = 0
    for q in range(1, len(speeds.price_mps)):
        before, here = speeds.price_mps[q - 1], speeds.price_mps[q]
        if price_mps - before > here - price_mps:
            nearest = q
    return nearest


@merged
def speed_on(speeds: Speeds, row: int, k: int, line: Line) -> float:
    """Return the EAS to fly in a layer along a line, straight between two bearings."""
    t = line.next_ratio + 2.0 * line.after_ratio - line.before_ratio  # a cubic keeps a straight one
    here, following = line.first, (line.first + 1) % N_BEARING
    return (1.0 - t) * speeds.eas_mps[row, k, here] + t * speeds.eas_mps[row, k, following]


@inner
def kept_track(
    polar: Polar, air: GlideAir, glide_factor: float, across_mps: float, band: EasBand
) -> Kept:
    """Return how a glider keeps its track in a cross wind at the slowest EAS of a band, or faster.

    As fast as the band allows it heads straight into what it cannot hold against.
    """
    wanted, fastest = band
    steady = Steady(*_steady(polar, wanted, air, glide_factor, 1.0))
    needed = abs(across_mps) / CRAB_RATIO
    for _ in range(3):  # a steep path needs a little more
        if steady.level_mps >= needed * (1.0 - 1e-4) or wanted >= fastest:
            break
        wanted = min(wanted * (needed / max(steady.level_mps, 1.0)), fastest)
        steady = Steady(*_steady(polar, wanted, air, glide_factor, 1.0))
    over = max(abs(across_mps) - steady.level_mps, 0.0)
    return Kept(steady.level_mps, steady.sink_mps, wanted, over if across_mps > 0.0 else -over)
