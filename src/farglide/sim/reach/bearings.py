"""Bearings: evenly spaced directions over the ground, and what lies between two of them."""

from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import SingleArray
from farglide.kernel import inner, merged

N_BEARING: Final = 32
"""A power of two: four vector registers, and a row of a table is two lines of the cache."""
_HALF: Final = N_BEARING // 2
_ANGLES: Final = 2.0 * np.pi * np.arange(N_BEARING) / N_BEARING
EAST: Final = np.cos(_ANGLES).astype(np.float32)
NORTH: Final = np.sin(_ANGLES).astype(np.float32)
"""The unit vectors, counted from east through north."""
_NEAR_M: Final = 1e-3


class Line(NamedTuple):
    """A straight line to a place: how far, which way, and where that lies between the bearings.

    `first`: the bearing before; the four weights are those of the cubic through it, the one before
    and the two after.
    """

    away_m: float
    east: float  # of the unit vector
    north: float
    first: int
    before_ratio: float
    first_ratio: float
    next_ratio: float
    after_ratio: float


@inner
def line_to(east_m: float, north_m: float) -> Line:
    """Return the line to a place so far away."""
    away_m = np.sqrt(east_m * east_m + north_m * north_m)
    x = np.arctan2(north_m, east_m) * (N_BEARING / (2.0 * np.pi)) + N_BEARING
    first = int(x)
    t = x - first
    over = 1.0 / max(away_m, _NEAR_M)
    return Line(
        away_m,
        east_m * over,
        north_m * over,
        first % N_BEARING,
        -t * (t - 1.0) * (t - 2.0) / 6.0,
        (t + 1.0) * (t - 1.0) * (t - 2.0) / 2.0,
        -(t + 1.0) * t * (t - 2.0) / 2.0,
        (t + 1.0) * t * (t - 1.0) / 6.0,
    )


@merged
def ahead_on(line: Line, high: SingleArray, low: SingleArray) -> float:
    """Return how much more one row of a table holds than another on the bearing of a line."""
    j = line.first
    a, b, c, d = (j - 1) % N_BEARING, j, (j + 1) % N_BEARING, (j + 2) % N_BEARING
    return (
        line.before_ratio * (high[a] - low[a])
        + line.first_ratio * (high[b] - low[b])
        + line.next_ratio * (high[c] - low[c])
        + line.after_ratio * (high[d] - low[d])
    )


@merged
def turned(line: Line) -> Line:
    """Return the line as it is flown backwards: on the opposite bearing."""
    away_m, east, north, first, before, at_first, following, after = line
    opposite = (first + _HALF) % N_BEARING
    return Line(away_m, -east, -north, opposite, before, at_first, following, after)
