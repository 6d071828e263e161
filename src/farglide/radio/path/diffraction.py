"""Diffraction: what ground in the way, or just beside the way, takes from a signal."""

import math

import numpy as np

from farglide.errors import InputError
from farglide.kernel import compiled, inner
from farglide.radio.path.parts import Heights, Profile, Slopes, Span, WaveOverEarth
from farglide.radio.path.smooth_earth import Surface, smooth_earth_loss_db
from farglide.radio.path.space import wavelength_m

FREE_NU = -0.78
"""Below this, with a little more than half of the first Fresnel zone clear, nothing is lost."""
_TOUCH_NU = 1e-6  # an edge that only touches the line: the rays of the horizons do not meet


@compiled
def knife_edge_loss_db(nu: float) -> float:
    """Return the loss behind one knife edge.

    >>> [round(knife_edge_loss_db(nu), 2) for nu in (-0.78, 0.0, 2.4)]
    [0.0, 6.03, 20.54]

    Valid: any nu; 0 below -0.78, within 0.15 dB of the Fresnel integrals above.
    Source: ITU-R P.526, J(nu) = 6.9 + 20 log(sqrt((nu - 0.1)^2 + 1) + nu - 0.1).
    """
    if nu <= FREE_NU:
        return 0.0
    x = nu - 0.1
    return 6.9 + 20.0 * math.log10(math.sqrt(x * x + 1.0) + x)


def diffraction_loss_db(
    frequency_hz: float, along: Profile, antennas_amsl_m: Heights, earth_m: float
) -> float:
    """Return the loss over a profile: Bullington's, and what a smooth earth would take besides.

    `earth_m`: effective radius of the earth.

    Valid: three posts or more, heights -500 to 9000 m, antennas to 50 km and at least 0.1 m above
    the smoothed ground.
    Source: ITU-R P.526, complete "delta-Bullington" model; the smooth ground is the straight line
    of least squares through the profile, held below the ends and below what stands in the way.
    """
    profile = checked_profile(along)
    _check_heights(profile, antennas_amsl_m)
    ends = Heights(*(float(end_m) for end_m in antennas_amsl_m))
    over = WaveOverEarth(wavelength_m(frequency_hz), float(earth_m))
    rough_db = float(bullington_db(profile, ends, over))
    above = _over_smooth_ground(profile, ends)
    bare = Profile(profile.distance_m, np.zeros_like(profile.ground_amsl_m))
    bare_db = float(bullington_db(bare, above, over))
    heights = Heights(max(above.one_m, 0.1), max(above.other_m, 0.1))
    whole_m = float(profile.distance_m[-1])
    smooth_db = smooth_earth_loss_db(frequency_hz, whole_m, heights, earth_m, Surface())
    return rough_db + max(smooth_db - bare_db, 0.0)


def _over_smooth_ground(profile: Profile, antennas_amsl_m: Heights) -> Heights:
    """Return the antennas' heights over the smooth ground of a profile, at its two ends.

    Source: ITU-R P.526 and P.452, effective heights for the diffraction model.
    """
    d, h = profile
    whole = float(d[-1])
    step = np.diff(d)
    v1 = float(np.sum(step * (h[1:] + h[:-1])))
    v2 = float(np.sum(step * (h[1:] * (2.0 * d[1:] + d[:-1]) + h[:-1] * (d[1:] + 2.0 * d[:-1]))))
    start = (2.0 * v1 * whole - v2) / whole**2
    end = (v2 - v1 * whole) / whole**2
    one, other = antennas_amsl_m
    inner, below = d[1:-1], h[1:-1]
    over = below - (one * (whole - inner) + other * inner) / whole
    highest = float(over.max())
    if highest > 0.0:
        toward_one = float((over / inner).max())
        toward_other = float((over / (whole - inner)).max())
        share = toward_one / (toward_one + toward_other)
        start, end = start - highest * share, end - highest * (1.0 - share)
    return Heights(one - min(start, float(h[0])), other - min(end, float(h[-1])))


def checked_profile(along: Profile) -> Profile:
    """Return a profile as the kernels read it; refuse one whose distances do not rise from 0."""
    distance_m, ground_m = (np.ascontiguousarray(one, dtype=np.float64) for one in along)
    if distance_m.shape != ground_m.shape or distance_m.ndim != 1 or len(distance_m) < 3:
        given = f"{distance_m.shape} distances, {ground_m.shape} heights"
        raise InputError("along", given, "as many of both, three or more")
    if distance_m[0] != 0.0 or not (np.diff(distance_m) > 0.0).all():
        raise InputError("along", f"from {distance_m[0]:g} m", "distances rising from 0 m")
    return Profile(distance_m, ground_m)


def _check_heights(profile: Profile, antennas_amsl_m: Heights) -> None:
    ground_m = profile.ground_amsl_m
    if not ((ground_m >= -500.0) & (ground_m <= 9000.0)).all():
        remedy = "Fill holes in the terrain before, or say that the ground is flat."
        raise InputError("along", "heights missing or out of range", "-500 to 9000 m", remedy)
    for end, ground in zip(antennas_amsl_m, (ground_m[0], ground_m[-1]), strict=True):
        if not ground <= end <= 50_000.0:
            allowed = f"its ground at {ground:.0f} m, to 50 000 m"
            raise InputError("antennas_amsl_m", f"{end:g} m", allowed, "Is it under the ground?")


@inner
def _over_edge_db(nu: float, distance_m: float) -> float:
    """Return what Bullington's construction makes of its one edge: more, the longer the way."""
    edge_db = knife_edge_loss_db(nu)
    if edge_db <= 0.0:
        return 0.0
    return edge_db + (1.0 - math.exp(-edge_db / 6.0)) * (10.0 + 0.02 * distance_m / 1000.0)


@inner
def _meeting_nu(span: Span, slopes: Slopes, wave_m: float) -> float:
    """Return nu of the edge that stands for all, out of sight: where the horizons' rays meet."""
    one, other, whole = span
    from_one, from_other = slopes
    at = (other - one + from_other * whole) / (from_one + from_other)
    left = whole - at
    above = one + from_one * at - (one * left + other * at) / whole
    return above * math.sqrt(2.0 * whole / (wave_m * at * left))


@compiled
def bullington_db(profile: Profile, antennas_amsl_m: Heights, over: WaveOverEarth) -> float:
    """Return the loss over a profile of ground by Bullington's construction. Unchecked.

    Too little by some decibels over smooth earth without an edge: `diffraction_loss_db` makes up
    for that.
    Source: ITU-R P.526 (method for a general terrestrial path), as in P.452 and P.1812: nu of an
    edge is h sqrt(2 / lambda (1 / d1 + 1 / d2)).
    """
    distance_m, ground_m = profile
    one, other = antennas_amsl_m
    wave_m, earth_m = over
    whole = distance_m[-1]
    from_one, from_other, nu = -1e30, -1e30, -1e30
    for i in range(1, len(distance_m) - 1):
        d = distance_m[i]
        left = whole - d
        # the earth bulges up between the ends by d (D - d) / 2 a
        h = ground_m[i] + 0.5 * d * left / earth_m
        from_one = max(from_one, (h - one) / d)
        from_other = max(from_other, (h - other) / left)
        above = h - (one * left + other * d) / whole
        nu = max(nu, above * math.sqrt(2.0 * whole / (wave_m * d * left)))
    if nu > _TOUCH_NU:
        nu = _meeting_nu(Span(one, other, whole), Slopes(from_one, from_other), wave_m)
    return _over_edge_db(nu, whole)
