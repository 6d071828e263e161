"""Reaches: what all draws make good on straight tracks, at no price of time and at rising ones."""

from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import FloatArray
from farglide.sim.core.draws import Drawn
from farglide.sim.core.scene import Scene
from farglide.sim.core.workers import Stretch, Workers, in_one_go
from farglide.sim.reach.glides import Slabs, glides_of
from farglide.sim.reach.speeds import Speeds, speeds_of
from farglide.sim.reach.straight import Straight, sum_straight
from farglide.sim.reach.support import Craft, FactorRange

_MOST_KEPT: Final = 2
"""Edges told of a table summed layer by layer: straight lines between them are good to metres."""


class Reaches(NamedTuple):
    """What all draws make good on straight tracks at price 0 and at rising prices of time."""

    free: Straight
    priced: Straight  # row j * n_draws + i: price j, draw i
    price_mps: FloatArray
    craft: Craft  # as its crew believes it to be
    speeds: Speeds


class Asked(NamedTuple):
    """The prices of a second above 0, and how many layers are taken as one at them: odd."""

    price_mps: FloatArray
    slab: int


def reaches_of(
    scene: Scene, craft: Craft, drawn: Drawn, asked: Asked, workers: Workers = in_one_go
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
