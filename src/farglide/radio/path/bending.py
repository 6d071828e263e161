"""Bending: how air bends a ray, and how far over the round earth two antennas see each other."""

import math
from typing import Final

import numpy as np

from farglide.constants import MEAN_EARTH_RADIUS_M
from farglide.errors import InputError

STANDARD_FACTOR: Final = 4.0 / 3.0
"""Effective earth radius over the true one in usual air, near the ground (ITU-R P.526: 8500 km)."""
SURFACE_REFRACTIVITY: Final = 315.0
SCALE_HEIGHT_M: Final = 7350.0
"""Reference profile N = 315 exp(-h / 7.35 km). Source: ITU-R P.453."""
_N_STEPS: Final = 400


def refractivity(pressure_pa: float, temperature_k: float, vapour_pa: float) -> float:
    """Return the radio refractivity in N units, (n - 1) x 1e6.

    >>> round(refractivity(101_325.0, 288.15, 0.6 * 1705.0), 1)  # 60 % humid
    318.9

    Valid: air pressures 0 to 110 kPa, 150 to 330 K. Source: ITU-R P.453,
    N = 77.6 / T (P + 4810 e / T), hectopascals.
    """
    if not 150.0 <= temperature_k <= 330.0:
        raise InputError("temperature_k", f"{temperature_k:g} K", "150 to 330 K", "Give kelvin.")
    if not 0.0 <= vapour_pa <= pressure_pa <= 110_000.0:
        given = f"{pressure_pa:g} Pa with {vapour_pa:g} Pa of vapour"
        raise InputError("pressure_pa", given, "0 to 110 000 Pa, vapour less")
    return 77.6 / temperature_k * (pressure_pa + 4810.0 * vapour_pa / temperature_k) / 100.0


def radius_factor(gradient_per_km: float) -> float:
    """Return the effective over the true earth radius for a gradient of N with height.

    >>> round(radius_factor(-39.0), 4)
    1.3306

    Valid: -150 to 300 N units a kilometre; at -157 a ray follows the earth. Source: ITU-R P.452 and
    P.526, k = 1 / (1 + a dn/dh).
    """
    if not -150.0 <= gradient_per_km <= 300.0:
        raise InputError("gradient_per_km", f"{gradient_per_km:g} N/km", "-150 to 300 N/km")
    return 1.0 / (1.0 + MEAN_EARTH_RADIUS_M * gradient_per_km * 1e-9)


def radio_horizon_m(height_m: float, factor: float = STANDARD_FACTOR) -> float:
    """Return the distance over ground to the horizon of an antenna above a smooth earth.

    >>> round(radio_horizon_m(30_000.0) / 1000.0, 1)
    713.9

    Valid: heights to 50 km. The air above 10 km bends less than a factor says: `traced_horizon_m`.
    Source: sqrt(2 k a h), ITU-R P.526.
    """
    if not 0.0 <= height_m <= 50_000.0:
        raise InputError("height_m", f"{height_m:g} m", "0 to 50 000 m")
    return math.sqrt(2.0 * factor * MEAN_EARTH_RADIUS_M * height_m)


def traced_horizon_m(one_m: float, other_m: float) -> float:
    """Return the greatest ground distance in sight of each other in the reference atmosphere.

    A ray that grazes the ground is followed up to both heights through N = 315 exp(-h / 7.35 km).

    >>> round(traced_horizon_m(2.0, 10_000.0) / 1000.0, 1)
    411.4

    Valid: 0 to 50 km. Source: Bouguer's law n r cos(elevation) = const.; profile of ITU-R P.453.
    """
    for height_m in (one_m, other_m):
        if not 0.0 <= height_m <= 50_000.0:
            raise InputError("height", f"{height_m:g} m", "0 to 50 000 m")
    return _grazing_arc_m(one_m) + _grazing_arc_m(other_m)


def _grazing_arc_m(height_m: float) -> float:
    if height_m == 0.0:
        return 0.0
    # h = s^2 takes the root out of the integrand where the ray grazes the ground
    middle = (np.arange(_N_STEPS) + 0.5) / _N_STEPS * math.sqrt(height_m)
    h = middle**2
    n = 1.0 + 1e-6 * SURFACE_REFRACTIVITY * np.exp(-h / SCALE_HEIGHT_M)
    r = MEAN_EARTH_RADIUS_M + h
    ratio = n * r / ((1.0 + 1e-6 * SURFACE_REFRACTIVITY) * MEAN_EARTH_RADIUS_M)
    arc = 2.0 * middle / (r * np.sqrt(ratio**2 - 1.0))
    return float(arc.sum() * math.sqrt(height_m) / _N_STEPS * MEAN_EARTH_RADIUS_M)


def elevation_deg(
    from_m: float, to_m: float, arc_m: float, factor: float = STANDARD_FACTOR
) -> float:
    """Return the elevation at which a ray leaves for a target over the round earth.

    >>> [round(elevation_deg(0.0, 30_000.0, 100e3, factor), 2) for factor in (STANDARD_FACTOR, 1.0)]
    [16.33, 16.21]

    Valid: arcs of 1 m to 1500 km. `factor` 1 is the straight line; 4/3 is right near the ground and
    0.1 degree too high for a target at 30 km. Source: spherical geometry.
    """
    if not 1.0 <= arc_m <= 1.5e6:
        raise InputError("arc_m", f"{arc_m:g} m", "1 m to 1500 km")
    radius = factor * MEAN_EARTH_RADIUS_M
    angle = arc_m / radius
    # differences of heights, not of radii: a cosine of a small angle has few digits
    rise = to_m - from_m - (radius + to_m) * 2.0 * math.sin(0.5 * angle) ** 2
    return math.degrees(math.atan2(rise, (radius + to_m) * math.sin(angle)))
