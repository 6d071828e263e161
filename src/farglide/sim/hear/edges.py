"""Edges: the one that stands for all ground in the way of a wave, by the fan of taut strings."""

import math
from typing import Final, NamedTuple

from farglide.atlas.horizon import flattened_m
from farglide.kernel import inner
from farglide.radio.path.bulge import NO_EDGE_ROOT_M, nearest_m
from farglide.radio.path.diffraction import _meeting_nu
from farglide.radio.path.parts import Slopes, Span
from farglide.sim.core.workers import Stretch
from farglide.sim.hear.ears import Ears, FanPost
from farglide.sim.hear.smoothed import _below_m, _over_ends_m

_N_NEAR: Final = 8
_STEEP: Final = 0.05  # so far above its horizon a way is clear of hills, whatever the wave
_HIGH_M: Final = 150.0  # and so far above the ground below it, clear near the point
_CLEAR_M: Final = 0.16
"""Slope times height of the antenna over its foot from which even ground near it is clear of a wave
of 144 MHz: nu of its nearest point, -2 sqrt(2 slope height / wavelength), is below -0.78."""
_TOUCH_M: Final = 1e-6  # lower than this over the way an edge only touches it: no rays meet


class _Beeline(NamedTuple):
    """The straight way from a stand to a point: where it begins, how it rises, how long it is."""

    from_amsl_m: float
    slope: float
    whole_m: float


@inner
def _edge_root_m(ears: Ears, post: FanPost, amsl_m: float, distance_m: float) -> float:
    """Return nu, times the root of the wavelength, of the edge that stands for all ground between.

    The ground is that of the nearest ray of the fan. Out of sight the edge is where the rays of
    both horizons meet, in sight the post that comes nearest to the line.
    Source: Bullington's construction of ITU-R P.526, its posts thinned to those of the taut string,
    the eight nearest to each end and the two where level ground would come nearest to the way.
    """
    s, ray, ring = post
    earth_m, from_m = ears.earth_m, ears.amsl_m[s]
    point = flattened_m(amsl_m, distance_m, earth_m)
    sight = (point - from_m) / distance_m
    k = ring
    if math.isnan(ears.ground_amsl_m[s, ray, k]):
        k = ears.before[s, ray, k]
    if k < 0:
        return NO_EDGE_ROOT_M
    is_high = amsl_m - ears.ground_amsl_m[s, ray, k] > _HIGH_M
    over_horizon = sight - ears.steepest_ratio[s, ray]
    own_m = max(from_m - ears.foot_amsl_m[s], 0.0)
    if is_high and over_horizon > _STEEP and over_horizon * own_m > _CLEAR_M:
        return NO_EDGE_ROOT_M
    slope, highest, above = -1e9, NO_EDGE_ROOT_M, -1e9
    d = ears.step_m
    while k >= 0:
        d = (k + 1) * ears.step_m
        left = max(distance_m - d, 0.5 * ears.step_m)
        ground = flattened_m(ears.ground_amsl_m[s, ray, k], d, earth_m)
        above = ground - from_m - sight * d  # of the straight way
        slope = max(slope, above / left - sight)
        highest = max(highest, above * math.sqrt(2.0 * distance_m / (d * left)))
        k = ears.before[s, ray, k]
    if above > _TOUCH_M:  # the last one touched is the stand's own horizon
        span, slopes = Span(from_m, point, distance_m), Slopes(sight + above / d, slope)
        return _meeting_nu(span, slopes, 1.0)
    beeline = _Beeline(from_m, sight, distance_m)
    n = min(ring + 1, _N_NEAR)
    highest = max(highest, _highest_post(ears, post, Stretch(0, n), beeline))
    last = max(ring + 1 - _N_NEAR, n)
    highest = max(highest, _highest_post(ears, post, Stretch(last, ring + 1), beeline))
    over_m = _over_ends_m(ears, s, amsl_m, _below_m(ears, post, distance_m))
    k = int(nearest_m(distance_m, over_m, earth_m) / ears.step_m)
    middle = Stretch(max(k - 1, n), min(k + 1, last))
    return max(highest, _highest_post(ears, post, middle, beeline))


@inner
def _highest_post(ears: Ears, post: FanPost, rings: Stretch, beeline: _Beeline) -> float:
    """Return the largest nu, times the root of the wavelength, of posts on the ray of `post`.

    Near either end the zone of the wave is narrow, and a post well below the string can touch it.
    """
    s, ray, _ = post
    from_m, sight, whole = beeline
    highest = NO_EDGE_ROOT_M
    for k in range(rings.first, rings.last):
        d = (k + 1) * ears.step_m
        left = max(whole - d, 0.5 * ears.step_m)
        above = flattened_m(ears.ground_amsl_m[s, ray, k], d, ears.earth_m) - from_m
        nu = (above - sight * d) * math.sqrt(2.0 * whole / (d * left))
        if nu > highest:  # not where the ground is unknown
            highest = nu
    return highest
