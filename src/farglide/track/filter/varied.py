"""Varied: particles put into the air and the sink of other draws, as far as their speed allows."""

from typing import Final

import numpy as np

from farglide.arrays import BoolArray, FloatArray
from farglide.sim.fly.others import Bounds, Tries, strains, tried
from farglide.sim.fly.particles import N_DOWN_WAYS, Cloud
from farglide.track.filter.particles import Laws

STRAINED: Final = 4.0
"""A sink so many variances off its law, in the mean, is no noise: the laws of these particles are
wrong, and others are tried."""
_LOCAL_RATIO: Final = 0.5
_LOCAL_SD: Final = 0.03
"""Half of the sinks tried are a little off the particle's own, the others any draw's."""
_OTHER_RATIO: Final = 0.25
"""So many of those taken again try another way of flying off height over their field, or make for
another field once they fly."""
_TURNS_RATIO: Final = 0.05
"""And so many on their way another field: crews turn, and nobody tells to which."""
_LONGER_RATIO: Final = 1.25
"""How long a glider slows down is never told before it makes way: others taken again try up to so
many times as long."""
_BOUNDS: Final = Bounds(STRAINED, _TURNS_RATIO, _OTHER_RATIO)


def strain(laws: Laws, cloud: Cloud) -> FloatArray:
    """Return how far each particle's sink is off its law, in variances, (n,)."""
    return strains(laws.movers, laws.releases.haste.sink_mps, cloud)


def varied(laws: Laws, cloud: Cloud, again: BoolArray, chance: np.random.Generator) -> Cloud:
    """Return particles of which those taken `again`, and strained ones, try another draw's law.

    Each keeps the speed that it was seen to have: what the other law does not explain of that is
    its error now. By that of its sink the other law is taken or not: so what was believed too early
    can be unlearnt. See `tried` for the rest, and its source.
    """
    n = len(cloud.story)
    tries = Tries(
        again=again,
        draw=chance.integers(laws.n_draws, size=n),
        near=chance.random(n) < _LOCAL_RATIO,
        log_step=_LOCAL_SD * chance.standard_normal(n),
        even=chance.random(n),
        longer=chance.uniform(1 / _LONGER_RATIO, _LONGER_RATIO, n),
        goal=chance.integers(len(laws.movers.goals.north_rad), size=n),
        turns=chance.random(n),
        down_way=chance.integers(N_DOWN_WAYS, size=n),
    )
    return tried(laws.movers, laws.releases.haste.sink_mps, cloud, tries, _BOUNDS)
