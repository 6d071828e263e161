"""Bulge: where a bare round earth comes nearest to a way, and what height clears the ground."""

import math
from typing import Final

import numpy as np

from farglide.errors import InputError, check_range
from farglide.kernel import compiled
from farglide.radio.path.diffraction import _meeting_nu, checked_profile
from farglide.radio.path.parts import Heights, Profile, Slopes, Span
from farglide.radio.path.space import wavelength_m

NO_EDGE_ROOT_M: Final = -1e9
_BEYOND: Final = 1.000001  # of the way to the horizon: nearer to it the horizons' rays are as one
_N_REFINED: Final = 3
CLEAR_RATIO: Final = 0.6
"""Share of the first Fresnel zone that must be clear for nothing to be lost (ITU-R P.526)."""


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


def clear_amsl_m(
    frequency_hz: float,
    along: Profile,
    antenna_amsl_m: float,
    earth_m: float,
    clear_ratio: float = CLEAR_RATIO,
) -> float:
    """Return the least height above sea level at the profile's end that is in the clear.

    The ground at both ends is the antenna's own and the target's, and stands in nobody's way.
    `earth_m`: effective radius of the earth. `clear_ratio` 0 asks for the bare line of sight.

    Valid: three posts or more, `clear_ratio` 0 to 1. Source: ITU-R P.526: the line must pass each
    post by that share of the first Fresnel zone there, over ground raised by d (D - d) / 2 a.
    """
    distance_m, ground_m = checked_profile(along)
    if not np.isfinite(ground_m).all():
        remedy = "Fill holes in the terrain before, or say that the ground is flat."
        raise InputError("along", "a profile with holes", "heights at every post", remedy)
    check_range("clear_ratio", clear_ratio, "", (0.0, 1.0))
    whole, inner = float(distance_m[-1]), distance_m[1:-1]
    left = whole - inner
    zone_m = np.sqrt(wavelength_m(frequency_hz) * inner * left / whole)
    wanted_m = ground_m[1:-1] + 0.5 * inner * left / earth_m + clear_ratio * zone_m
    return float((antenna_amsl_m + (wanted_m - antenna_amsl_m) * whole / inner).max())
