"""Bands: by how much a climb is faster or slower than its drag curve says, by bands of height."""

from typing import Final

import numpy as np

from farglide.arrays import FloatArray
from farglide.errors import InputError
from farglide.kernel import merged

BAND_M: Final = 5000.0
"""Height of a band, from mean sea level."""
N_BANDS: Final = 8
"""Bands to 40 km; above, the last one holds on."""
_DEPTH_M: Final = 9000.0
"""Neighbours hang together by 0.57. Source: 18 open soundings above 20 km; the speeds one, two and
three bands apart hang together by 0.2, -0.3 and -0.65 once the mean of each climb is taken off; no
closer than 0.5 to 0.7."""
_ROUNDS: Final = 8


@merged
def _band_ratio(factors: FloatArray, amsl_m: float) -> float:
    """Return a factor at a height, by straight lines between the middles of the bands."""
    x = min(max(amsl_m / BAND_M - 0.5, 0.0), N_BANDS - 1.000001)
    i = int(x)
    w = x - i
    return (1.0 - w) * factors[i] + w * factors[i + 1]


def hats(amsl_m: FloatArray) -> FloatArray:
    """Return how much each band's middle counts at heights, (n_heights, n_bands); rows add to 1."""
    x = np.clip(amsl_m / BAND_M - 0.5, 0.0, N_BANDS - 1.0)
    return np.maximum(1.0 - np.abs(x[:, None] - np.arange(N_BANDS)), 0.0)


def stay_ratios(amsl_m: FloatArray) -> FloatArray:
    """Return the share of a climb that each band takes, (n_bands,).

    `amsl_m`: heights of the climb at even steps of time, one at least.
    """
    if amsl_m.size == 0:
        raise InputError("amsl_m", "empty", "one height of the climb or more")
    return np.asarray(hats(amsl_m).mean(axis=0))


def band_errors(normals: FloatArray, stay_ratio: FloatArray) -> FloatArray:
    """Return errors of the speed in the bands that leave the mean of the climb as it is.

    Of the speed averaged over each band, as a share of that mean, they have unit variance, within
    5 % in each band that the climb passes. `normals`: independent standard normal numbers,
    (n_draws, n_bands); `stay_ratio`: see `stay_ratios`.
    """
    apart_m = BAND_M * np.abs(np.subtract.outer(np.arange(N_BANDS), np.arange(N_BANDS)))
    root = np.linalg.cholesky(np.exp(-apart_m / _DEPTH_M))
    inside_m = np.asarray(BAND_M * (np.arange(100.0 * N_BANDS) + 0.5) / 100.0)
    averaging = hats(inside_m).reshape(N_BANDS, 100, N_BANDS).mean(axis=1)
    for _ in range(_ROUNDS):  # the mean taken off makes the bands unlike, levelling moves the mean
        root = root / np.sqrt(np.square(averaging @ root).sum(axis=1))[:, None]
        root = root - stay_ratio @ root
    errors: FloatArray = normals @ root.T
    return errors
