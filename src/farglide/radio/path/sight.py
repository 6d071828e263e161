"""Sight: how high a target must be for the ground to leave a radio way free."""

from typing import Final

import numpy as np

from farglide.errors import InputError
from farglide.radio.path.parts import Profile
from farglide.radio.path.space import wavelength_m

CLEAR_RATIO: Final = 0.6
"""Share of the first Fresnel zone that must be clear for nothing to be lost (ITU-R P.526)."""


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
    distance_m, ground_m = (np.asarray(values, dtype=np.float64) for values in along)
    if distance_m.ndim != 1 or distance_m.shape != ground_m.shape or len(distance_m) < 3:
        given = f"{distance_m.shape} distances, {ground_m.shape} heights"
        raise InputError("along", given, "as many of both, three or more")
    if distance_m[0] != 0.0 or not (np.diff(distance_m) > 0.0).all():
        raise InputError("along", f"from {distance_m[0]:g} m", "distances rising from 0 m")
    if not np.isfinite(ground_m).all():
        remedy = "Fill holes in the terrain before, or say that the ground is flat."
        raise InputError("along", "a profile with holes", "heights at every post", remedy)
    if not 0.0 <= clear_ratio <= 1.0:
        raise InputError("clear_ratio", f"{clear_ratio:g}", "0 to 1")
    whole, inner = float(distance_m[-1]), distance_m[1:-1]
    left = whole - inner
    zone_m = np.sqrt(wavelength_m(frequency_hz) * inner * left / whole)
    wanted_m = ground_m[1:-1] + 0.5 * inner * left / earth_m + clear_ratio * zone_m
    return float((antenna_amsl_m + (wanted_m - antenna_amsl_m) * whole / inner).max())
