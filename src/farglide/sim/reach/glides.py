"""Glides: the glides of the speeds to fly, by price, layer, bearing and glide factor."""

from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import SingleArray
from farglide.errors import InputError
from farglide.glider.polar import _steady
from farglide.kernel import compiled
from farglide.sim.core.scene import Scene
from farglide.sim.core.workers import Stretch, Workers, in_one_go
from farglide.sim.reach.bearings import N_BEARING
from farglide.sim.reach.drawnglider import DrawnGlider, glide_air
from farglide.sim.reach.speeds import Speeds
from farglide.sim.reach.support import FactorRange

N_FACTOR: Final = 9
"""Level speed squared and 1 / sink bend little with the glide factor: straight lines serve."""


class Slabs(NamedTuple):
    """How many layers are taken as one, and how many of these lie between two edges told."""

    layers: int  # odd; 1 is exact
    kept: int


class Glides(NamedTuple):
    """The glides of the speeds to fly, at some glide factors; slab by slab of some layers."""

    craft: DrawnGlider
    speeds: Speeds
    slabs: Slabs
    first_row: int  # of the speeds' prices
    first_factor: float
    step_factor: float
    level2: SingleArray  # (n_prices, n_slabs, n_factors, N_BEARING) level speed squared
    per_sink: SingleArray


@compiled
def _fill_glides(scene: Scene, glides: Glides, some: Stretch) -> None:
    """Fill the glides of slabs `some`."""
    polar, thick = glides.craft.polar, glides.slabs.layers
    for s in range(some.first, some.last):
        k = s * thick + thick // 2
        air = glide_air(scene.layers, k)
        for q in range(glides.level2.shape[0]):
            for b in range(N_BEARING):
                eas_mps = np.float64(glides.speeds.eas_mps[glides.first_row + q, k, b])
                for f in range(glides.level2.shape[2]):
                    factor = glides.first_factor + f * glides.step_factor
                    level, sink = _steady(polar, eas_mps, air, factor, 1.0)
                    glides.level2[q, s, f, b] = level * level
                    glides.per_sink[q, s, f, b] = 1.0 / sink


def glides_of(
    scene: Scene,
    craft: DrawnGlider,
    speeds: Speeds,
    slabs: Slabs,
    rows: Stretch,
    factors: FactorRange,
    workers: Workers = in_one_go,
) -> Glides:
    """Return the glides at the speeds of some prices over a range of glide factors.

    Valid: factors 0.05 to 4.
    """
    low, high = factors
    if not 0.05 <= low <= high <= 4.0:
        raise InputError("glide factors", (low, high), "0.05 to 4, rising")
    if slabs.layers < 1 or slabs.layers % 2 == 0:
        raise InputError("layers taken as one", slabs.layers, "an odd number, 1 or more")
    n = len(scene.layers.rho_kgpm3) // slabs.layers
    n_factor = N_FACTOR if high > low else 2
    shape = (rows.last - rows.first, n, n_factor, N_BEARING)
    arrays = (np.empty(shape, np.float32) for _ in range(2))
    step = max(high - low, 1e-6) / (n_factor - 1)
    glides = Glides(craft, speeds, slabs, rows.first, low, step, *arrays)
    workers(lambda a, b: _fill_glides(scene, glides, Stretch(a, b)), n)
    return glides
