"""Down ways: a glider over its field flies off its height now in one way, now in another."""

import math
from typing import Final

import numpy as np

from farglide.sim.fly.particles import GLIDING, N_DOWN_WAYS, Cloud

HOLDS_S: Final = 120.0
"""So long a crew keeps to one way, in the mean; a guess, no source."""
_GOLDEN: Final = 0.5 * (math.sqrt(5.0) - 1.0)
_PLASTIC: Final = 0.7548776662466927
"""Multiples of both, less whole numbers, lie evenly from 0 to 1, by particle and by moment.
Source: Kronecker sequences; Kuipers & Niederreiter, Uniform Distribution of Sequences (1974), from
memory."""


def with_down_ways(cloud: Cloud, after_launch_s: float, seconds: float) -> Cloud:
    """Return particles of which some that are over their field take to another way down.

    What circled for minutes dives at the next word of its crew: were no particle to do so, what
    falls as fast would be all that is left. Nothing is drawn: which change hangs on the moment.
    `seconds`: to be moved by next.
    """
    over = (cloud.story == GLIDING) & (cloud.over != 0)
    if seconds <= 0.0 or not over.any():
        return cloud
    even = (_GOLDEN * np.arange(len(over)) + _PLASTIC * after_launch_s) % 1.0
    ratio = 1.0 - math.exp(-seconds / HOLDS_S)
    by = 1 + (even < 0.5 * ratio)  # to the next way, or to the one after it
    changes = over & (even < ratio)
    return cloud._replace(
        down_way=np.where(changes, (cloud.down_way + by) % N_DOWN_WAYS, cloud.down_way)
    )
