"""The demo's ground by its formula, and from where over a field a stand sees what flies.

Sight over a bulging earth of 4/3 of its radius, six tenths of the first Fresnel zone clear; the
first 300 m round a stand count as clear. Nothing here comes from the package. Source: ITU-R P.526.
"""

import math
from typing import Final

import numpy as np

from .air import FloatArray

EARTH_M: Final = 4.0 / 3.0 * 6_371_000.0
PICTURE_M: Final = 299_792_458.0 / 2.370e9  # its wavelength
_KNAP_KM: Final = (18.0, -15.1)
_FIELDS: Final = ((0.0, 0.0, 240.0), (18.8, -11.8, 255.0), (30.1, -27.9, 265.0))


def ground_amsl_m(x_km: FloatArray, y_km: FloatArray) -> FloatArray:
    """Return the height of the invented ground."""
    along = 0.7660 * x_km - 0.6428 * y_km
    r = np.hypot(x_km - _KNAP_KM[0], y_km - _KNAP_KM[1])
    z = 250.0 + 15.0 * np.sin(x_km / 5.0) * np.cos(y_km / 7.0)
    z = z + 250.0 * np.exp(-(((along - 16.0) / 1.5) ** 2)) + 216.0 * np.exp(-((r / 0.8) ** 2))
    for x, y, amsl in _FIELDS:
        z = np.where(np.hypot(x_km - x, y_km - y) < 0.6, amsl, z)
    return np.asarray(z)


def lost_m(
    stand: tuple[float, float, float], field: tuple[float, float, float],
    clear_ratio: float = 0.6, earth_m: float = EARTH_M,
) -> float:  # fmt: skip
    """Return how high over a field the first Fresnel zone is clear by that share from a stand."""
    far_m = 1e3 * math.hypot(field[0] - stand[0], field[1] - stand[1])
    at_m = np.arange(300.0, far_m - 5.0, 10.0)
    share = at_m / far_m
    x, y = (a + share * (b - a) for a, b in zip(stand[:2], field[:2], strict=True))
    bulge = at_m * (far_m - at_m) / (2.0 * earth_m)
    fresnel = np.sqrt(PICTURE_M * at_m * (far_m - at_m) / far_m)
    needed = ground_amsl_m(x, y) + bulge + clear_ratio * fresnel
    from_m = stand[2] + 3.0
    height = from_m + (needed - from_m) / share
    return max(float(height.max()) - field[2], 0.0)
