"""The air of the demo by hand: the standard atmosphere of 1976 to 47 km, and winds by height.

Nothing here comes from the package.
Source: US Standard Atmosphere 1976, eqs. 18, 23, 33, 42, 50, 51.
"""

import math
from itertools import pairwise
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]

G0_MPS2: Final = 9.80665
GAS_JPKGK: Final = 287.05287
EARTH_M: Final = 6_356_766.0
RHO0_KGPM3: Final = 1.225
_LAYERS: Final = ((0.0, -6.5e-3), (11e3, 0.0), (20e3, 1e-3), (32e3, 2.8e-3), (47e3, 0.0))

# km, from which direction, m/s: linear between in components
WINDS: Final = (
    (0, 330, 3), (1, 325, 5), (3, 318, 9), (5, 312, 14), (8, 306, 25), (10, 303, 36),
    (12, 305, 28), (15, 310, 11), (18, 318, 5), (21, 345, 3), (24, 100, 6), (27, 112, 9),
    (30, 118, 12), (34, 120, 14),
)  # fmt: skip


class Air(NamedTuple):
    """The air at a height above sea level."""

    t_k: float
    p_pa: float
    rho: float
    sound_mps: float
    viscosity_pas: float


def air(amsl_m: float) -> Air:
    """Return the standard air at a geometric height."""
    height = EARTH_M * amsl_m / (EARTH_M + amsl_m)
    t_k, p_pa = 288.15, 101_325.0
    for (base, lapse), (top, _) in pairwise(_LAYERS):
        rise = min(height, top) - base
        if lapse:
            warmer = t_k + lapse * rise
            p_pa *= (t_k / warmer) ** (G0_MPS2 / (GAS_JPKGK * lapse))
            t_k = warmer
        else:
            p_pa *= math.exp(-G0_MPS2 * rise / (GAS_JPKGK * t_k))
        if height <= top:
            break
    viscosity = 1.458e-6 * t_k**1.5 / (t_k + 110.4)
    return Air(t_k, p_pa, p_pa / (GAS_JPKGK * t_k), math.sqrt(1.4 * GAS_JPKGK * t_k), viscosity)


def wind_mps(amsl_m: float | FloatArray) -> tuple[FloatArray, FloatArray]:
    """Return how fast the air goes to the east and to the north."""
    km, from_deg, speed = np.array(WINDS, dtype=float).T
    to_rad = np.radians(from_deg + 180.0)
    above_km = np.asarray(amsl_m, dtype=float) / 1e3
    east = np.interp(above_km, km, speed * np.sin(to_rad))
    return east, np.interp(above_km, km, speed * np.cos(to_rad))


def root_density_m(from_m: float) -> float:
    """Return the integral of sqrt(density / sea-level density) over height from 0."""
    heights = np.arange(5.0, from_m, 10.0)
    return float(10.0 * sum(math.sqrt(air(h).rho / RHO0_KGPM3) for h in heights))
