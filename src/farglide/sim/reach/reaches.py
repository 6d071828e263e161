"""Reaches: what all draws make good on straight tracks, at no price of time and at rising ones."""

from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import FloatArray, SingleArray
from farglide.kernel import merged
from farglide.sim.core.draws import Drawn
from farglide.sim.core.scene import Scene
from farglide.sim.core.workers import Stretch, Workers, in_one_go
from farglide.sim.reach.drawnglider import DrawnGlider
from farglide.sim.reach.glides import Slabs, glides_of
from farglide.sim.reach.speeds import Speeds, speeds_of
from farglide.sim.reach.straight import Straight, fill_row, sum_straight
from farglide.sim.reach.support import FactorRange

_MOST_KEPT: Final = 2
"""Edges told of a table summed layer by layer: straight lines between them are good to metres."""


class Reaches(NamedTuple):
    """What all draws make good on straight tracks at price 0 and at rising prices of time."""

    free: Straight
    priced: Straight  # row j * n_draws + i: price j, draw i
    price_mps: FloatArray
    craft: DrawnGlider  # as its crew believes it to be
    speeds: Speeds


class Asked(NamedTuple):
    """The prices of a second above 0, and how many layers are taken as one at them: odd."""

    price_mps: FloatArray
    slab: int


def reaches_of(
    scene: Scene, craft: DrawnGlider, drawn: Drawn, asked: Asked, workers: Workers = in_one_go
) -> Reaches:
    """Return what all draws make good at the speeds that are best as the crew knows it.

    `craft`: as the crew believes it to be; how good a draw's is stands among what is drawn.
    """
    price_mps = np.append(0.0, asked.price_mps)
    speeds = speeds_of(scene, craft, price_mps, workers)
    factors = drawn.glide_factor
    between = FactorRange(max(float(factors.min()), 0.05), min(float(factors.max()), 4.0))

    def summed(slabs: Slabs, rows: Stretch) -> Straight:
        glides = glides_of(scene, craft, speeds, slabs, rows, between, workers)
        return sum_straight(scene, glides, drawn, workers)

    free = summed(Slabs(1, min(asked.slab, _MOST_KEPT)), Stretch(0, 1))
    priced = summed(Slabs(asked.slab, 1), Stretch(1, len(price_mps)))
    return Reaches(free, priced, asked.price_mps, craft, speeds)


@merged
def fill_priced(reaches: Reaches, i: int, amsl_m: float, out: SingleArray) -> None:
    """Fill `out`, (n_prices, N_BEARING), with the rows of draw `i` at a height, at every price.

    One right after the other: the tables are far larger than the caches.
    """
    n_draws = len(reaches.free.made_m)
    for q in range(len(reaches.price_mps)):
        fill_row(reaches.priced, q * n_draws + i, amsl_m, out[q])


@merged
def fill_level(
    reaches: Reaches, i: int, level: int, amsl_m: float, free: SingleArray, priced: SingleArray
) -> None:
    """Fill the rows of draw `i` at the height of a level, without a price and at every price.

    `free`: (n_draws, n_levels, N_BEARING); `priced`: (n_prices, n_draws, n_levels, N_BEARING).
    """
    n_draws = len(free)
    fill_row(reaches.free, i, amsl_m, free[i, level])
    for q in range(len(priced)):
        fill_row(reaches.priced, q * n_draws + i, amsl_m, priced[q, i, level])
