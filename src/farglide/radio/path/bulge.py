"""Bulge: where a bare round earth comes nearest to a way, and the one edge that stands for it."""

import math
from typing import Final

from farglide.kernel import compiled
from farglide.radio.path.diffraction import _meeting_nu
from farglide.radio.path.parts import Heights, Slopes, Span

NO_EDGE_ROOT_M: Final = -1e9
_BEYOND: Final = 1.000001  # of the way to the horizon: nearer to it the horizons' rays are as one
_N_REFINED: Final = 3


@compiled
def nearest_m(distance_m: float, heights_m: Heights, earth_m: float) -> float:
    """Return how far from the first end a bare earth reaches farthest into the zones of a wave.

    >>> round(nearest_m(20e3, Heights(10.0, 10.0), 8.5e6))
    10000

    Valid: heights above 0. Source: derivation: with u = d1 / d2 the clearance over the zone's
    radius is least where (h2 u - h1) (1 + u)^2 = D^2 u (1 - u) / 2 a, which has one root; Newton's
    way from above it, where the cube is left out, cannot miss it.
    """
    one, other = heights_m
    low, high = min(one, other), max(one, other)
    bend = distance_m * distance_m / (2.0 * earth_m)
    square, line = 2.0 * high - low + bend, high - 2.0 * low - bend
    root = math.sqrt(line * line + 4.0 * square * low)
    u = 2.0 * low / (line + root) if line > 0.0 else 0.5 * (root - line) / square
    for _ in range(_N_REFINED):
        off = ((high * u + square) * u + line) * u - low
        u -= off / ((3.0 * high * u + 2.0 * square) * u + line)
    at_m = distance_m * u / (1.0 + u)
    return at_m if one <= other else distance_m - at_m


@compiled
def bulge_root_m(distance_m: float, heights_m: Heights, earth_m: float) -> float:
    """Return nu, times the root of the wavelength, of the edge that stands for a bare earth.

    Valid: heights above 0. Source: Bullington's construction of ITU-R P.526 over level ground whose
    posts are as close as one likes.
    """
    one, other = heights_m
    whole = distance_m
    sight_m = math.sqrt(2.0 * earth_m) * (math.sqrt(one) + math.sqrt(other))
    if whole > _BEYOND * sight_m:
        half = 0.5 * whole / earth_m
        from_one = half - math.sqrt(2.0 * one / earth_m)
        from_other = half - math.sqrt(2.0 * other / earth_m)
        return _meeting_nu(Span(one, other, whole), Slopes(from_one, from_other), 1.0)
    at = nearest_m(whole, heights_m, earth_m)
    left = whole - at
    above = 0.5 * at * left / earth_m - (one * left + other * at) / whole
    return above * math.sqrt(2.0 * whole / (at * left))
