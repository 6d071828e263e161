"""Smoothed ground: the straight line through the ground of a way, and the round earth it makes."""

import math
from typing import Final, NamedTuple

from farglide.kernel import inner
from farglide.radio.path.bulge import NO_EDGE_ROOT_M, bulge_root_m, nearest_m
from farglide.radio.path.parts import Heights
from farglide.sim.hear.ears import CLEAR_M, Ears, FanPost

_N_POSTS: Final = 40
_LOWEST_M: Final = 0.1  # as low as the law of the smooth earth goes


class FarEnd(NamedTuple):
    """Where a way from a stand ends: its height, how far off, and the ground there."""

    amsl_m: float
    distance_m: float
    ground_amsl_m: float


class Obstacle(NamedTuple):
    """What the ground is in the way of a wave, its edges as nu times the root of the wavelength."""

    edge_root_m: float  # of the one that stands for all ground
    bulge_root_m: float  # the same of the ground smoothed
    over_m: Heights  # of stand and point over the ground smoothed


@inner
def _smoothed(
    ears: Ears, post: FanPost, amsl_m: float, distance_m: float, edge_root_m: float
) -> Obstacle:
    """Return the edge of the ground, that of the smoothed ground, and heights over that.

    The smoothed ground is no higher than that of both ends. `edge_root_m`: of the ground, by the
    taut strings; in sight they miss posts below themselves, which a long wave on its way feels.
    """
    below, from_m = _below_m(ears, post, distance_m), ears.amsl_m[post.stand]
    foot, far_end = ears.foot_amsl_m[post.stand], FarEnd(amsl_m, distance_m, below)
    start, end = _least_squares_m(ears, post, far_end)
    if edge_root_m > 0.0:
        from_start, from_end = _lowered_m(ears, post, far_end)
        start, end = start - from_start, end - from_end
    one, other = from_m - min(start, foot), amsl_m - min(end, below)
    over_m = Heights(max(one, _LOWEST_M), max(other, _LOWEST_M))
    bulge = bulge_root_m(distance_m, over_m, ears.earth_m)
    if edge_root_m > 0.0:
        return Obstacle(edge_root_m, bulge, over_m)
    edge = max(edge_root_m, _nearest_post(ears, post, far_end))
    if bulge > edge and nearest_m(distance_m, over_m, ears.earth_m) < _open_m(ears):
        edge = bulge  # no obstacle stands there, but ground as even as the rest
    return Obstacle(edge, bulge, over_m)


@inner
def _open_m(ears: Ears) -> float:
    """Return how far from the stand the fan begins."""
    return math.ceil(CLEAR_M / ears.step_m) * ears.step_m


@inner
def _below_m(ears: Ears, post: FanPost, distance_m: float) -> float:
    """Return the ground below a point beyond a post, but no farther than the next; NaN without any.

    Beyond the fan, and where it has a hole, that of the last ring known.
    """
    s, ray, ring = post
    here = float(ears.ground_amsl_m[s, ray, ring])
    if math.isnan(here):
        known = ears.before[s, ray, ring]
        return math.nan if known < 0 else float(ears.ground_amsl_m[s, ray, known])
    if ring + 1 >= ears.before.shape[2] or math.isnan(ears.ground_amsl_m[s, ray, ring + 1]):
        return here
    share = distance_m / ears.step_m - (ring + 1)
    return here + share * (float(ears.ground_amsl_m[s, ray, ring + 1]) - here)


@inner
def _over_ends_m(ears: Ears, s: int, amsl_m: float, below_amsl_m: float) -> Heights:
    """Return the heights of both ends over their own ground: no more than over the smoothed."""
    own = ears.amsl_m[s] - ears.foot_amsl_m[s]
    return Heights(max(own, _LOWEST_M), max(amsl_m - below_amsl_m, _LOWEST_M))


@inner
def _least_squares_m(ears: Ears, post: FanPost, far_end: FarEnd) -> tuple[float, float]:
    """Return the ends of the straight line of least squares through the ground of a way.

    `post`: the last one before its far end. The posts are thinned to some forty.
    Source: ITU-R P.526 and P.452, as `radio.path.diffraction.diffraction_loss_db`.
    """
    s, ray, ring = post
    whole, below = far_end.distance_m, far_end.ground_amsl_m
    stride = ring // _N_POSTS + 1
    v1, v2, d0, h0 = 0.0, 0.0, 0.0, ears.foot_amsl_m[s]
    for k in range(stride - 1, ring + 1, stride):
        h = float(ears.ground_amsl_m[s, ray, k])
        if not math.isnan(h):
            d = (k + 1) * ears.step_m
            v1 += (d - d0) * (h + h0)
            v2 += (d - d0) * ((h + h0) * (d + d0) + h * d + h0 * d0)
            d0, h0 = d, h
    v1 += (whole - d0) * (below + h0)
    v2 += (whole - d0) * ((below + h0) * (whole + d0) + below * whole + h0 * d0)
    return (2.0 * v1 * whole - v2) / (whole * whole), (v2 - v1 * whole) / (whole * whole)


@inner
def _lowered_m(ears: Ears, post: FanPost, far_end: FarEnd) -> tuple[float, float]:
    """Return by how much what stands in a way lowers the smoothed ground at its two ends.

    The posts are those that the taut string touches: what stands highest over a straight line is
    among them, however narrow. `post` and source as in `_least_squares_m`.
    """
    s, ray, ring = post
    whole, from_m = far_end.distance_m, ears.amsl_m[s]
    slope = (far_end.amsl_m - from_m) / whole
    highest, from_one, from_other = 0.0, 0.0, 0.0
    k = ring if not math.isnan(ears.ground_amsl_m[s, ray, ring]) else ears.before[s, ray, ring]
    while k >= 0:
        d = (k + 1) * ears.step_m
        over = float(ears.ground_amsl_m[s, ray, k]) - from_m - slope * d
        if over > 0.0:
            highest = max(highest, over)
            from_one = max(from_one, over / d)
            from_other = max(from_other, over / max(whole - d, 0.5 * ears.step_m))
        k = ears.before[s, ray, k]
    if highest == 0.0:
        return 0.0, 0.0
    share = from_one / (from_one + from_other)
    return highest * share, highest * (1.0 - share)


@inner
def _nearest_post(ears: Ears, post: FanPost, far_end: FarEnd) -> float:
    """Return nu, times the root of the wavelength, of the post nearest to a way that is in sight.

    `post` and thinning as in `_least_squares_m`. What stands in the way counts as touching it: the
    taut strings have found that nothing does.
    """
    s, ray, ring = post
    whole, from_m, half_pm = far_end.distance_m, ears.amsl_m[s], 0.5 / ears.earth_m
    slope = (far_end.amsl_m - from_m) / whole
    stride = ring // _N_POSTS + 1
    least = math.inf
    for k in range(stride - 1, ring + 1, stride):
        d = (k + 1) * ears.step_m
        left = max(whole - d, 0.5 * ears.step_m)
        clear = from_m + slope * d - float(ears.ground_amsl_m[s, ray, k]) - d * left * half_pm
        square = max(clear, 0.0) * clear / (d * left)
        if square < least:  # not where the ground is unknown
            least = square
    return max(-math.sqrt(2.0 * whole * least), NO_EDGE_ROOT_M)
