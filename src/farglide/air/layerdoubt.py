"""Layer doubt: what a wind doubt is in each layer, and what becomes of it till the way home."""

from typing import Final, NamedTuple

import numpy as np

from farglide.air.doubt import DOUBLED_MPS, WindDoubt, age_depth_m, aged_mps2
from farglide.air.stratosphere import BY_AGE, going_over
from farglide.arrays import FloatArray
from farglide.errors import InputError

_HELD_DEPTH_M: Final = 8000.0
"""Where no wind is told the last one is held: that is one error, which hardly averages out.

Source: open soundings cut at 1, 12, 16 and 18 km, held on over 7 to 9 km (``bench/odds/held``): the
mean misses by 7.7 to 10.7 m/s a component; 12.5 m/s over this depth make 9.7, and 8.6 above 18 km.
"""
_WELL_SAMPLED_M: Final = 1500.0  # to the nearest level: levels 3 km apart tell a wind between them


class LayerDoubt(NamedTuple):
    """Doubt in every layer, arrays of shape (n_layers,); sizes are standard deviations."""

    shallow_mps: FloatArray  # of each component
    deep_mps: FloatArray  # across the wind
    deep_along_mps: FloatArray
    slower_ratio: FloatArray  # by which share of its speed it is slower than told, on average
    deep_depth_m: FloatArray  # over which the deep error hangs together there


class DeepChange(NamedTuple):
    """What the deep error is after a time: a share of what it was, and an error of its own."""

    kept_ratio: FloatArray
    grown_mps: FloatArray  # across the wind
    grown_along_mps: FloatArray
    depth_m: FloatArray  # over which what has grown hangs together


class Passed(NamedTuple):
    """Layers and the time between two passages of each, arrays (n_layers,)."""

    middle_m: FloatArray  # above mean sea level
    speed_mps: FloatArray  # of the wind
    elapsed_s: FloatArray


def deep_change(doubt: WindDoubt, layer: LayerDoubt, passed: Passed) -> DeepChange:
    """Return what becomes of the deep error of each layer between its two passages.

    The weather itself changes by what a fresh wind ages in the time, and after it the error has
    the size of winds so much older; both together tell how much of the old error is still there,
    covariance (V(A) + V(A + t) - V(t)) / 2, along the wind as across it. A doubt stated wider than
    the law's changes as the law's does, a narrower one less, and so does what speed adds along it.
    """
    elapsed_s = passed.elapsed_s
    aged, older, change = (
        np.array([aged_mps2(float(one)) for one in times_s])
        for times_s in (doubt.age_s + 0.0 * elapsed_s, doubt.age_s + elapsed_s, elapsed_s)
    )
    across = (doubt.growth_ratio * going_over(passed.middle_m, BY_AGE.size_ratio)) ** 2
    was, wider, change = layer.deep_mps**2, across * (older - aged), across * change
    kept = 1.0 - (change - wider) / np.maximum(2.0 * was, 1e-12)
    faster = 1.0 + (doubt.speed_growth_ratio * passed.speed_mps / DOUBLED_MPS) ** 2
    grown, along = (
        np.sqrt(np.maximum((1.0 - kept**2) * before + more, 0.0))
        for before, more in ((was, wider), (layer.deep_along_mps**2, faster * wider))
    )
    deeper = going_over(passed.middle_m, BY_AGE.depth_ratio)
    depth_m = age_depth_m(max(float(elapsed_s.max()), 60.0)) * deeper
    return DeepChange(kept, grown, along, depth_m)


def kept_ratio(doubt: WindDoubt, elapsed_s: FloatArray) -> FloatArray:
    """Return how much of the shallow error is still the same after these times."""
    kept: FloatArray = np.exp(-elapsed_s / doubt.renewal_s)
    return kept


def by_layer(
    doubt: WindDoubt, middle_m: FloatArray, speed_mps: FloatArray, level_m: FloatArray
) -> LayerDoubt:
    """Return the doubt in layers: the deep one widens outside the levels and in wide gaps.

    There it hangs together over more, too. `middle_m`, `speed_mps`: of the layers; `level_m`:
    heights of the winds' levels.
    """
    size_ratio = going_over(middle_m, doubt.aloft.size_ratio)
    above = np.clip(np.searchsorted(level_m, middle_m), 1, len(level_m) - 1)
    nearest_m = np.minimum(np.abs(middle_m - level_m[above - 1]), np.abs(middle_m - level_m[above]))
    inside = (middle_m >= level_m[0]) & (middle_m <= level_m[-1])
    outside_m = np.where(inside, nearest_m - _WELL_SAMPLED_M, nearest_m)
    share = np.clip(outside_m / doubt.deep_depth_m, 0.0, 1.0)
    known = doubt.deep_mps, np.hypot(doubt.deep_mps, doubt.deep_ratio * speed_mps)
    across, along = (
        size_ratio * (one + share * np.maximum(doubt.beyond_mps - one, 0.0)) for one in known
    )
    depth_m = doubt.deep_depth_m * going_over(middle_m, doubt.aloft.depth_ratio)
    depth_m = depth_m + share * np.maximum(_HELD_DEPTH_M - depth_m, 0.0)
    shallow = np.full(len(middle_m), doubt.shallow_mps)
    return LayerDoubt(shallow, across, along, doubt.slower_ratio * size_ratio**2, depth_m)


def correlated(normals: FloatArray, depth_m: FloatArray, step_m: float) -> FloatArray:
    """Return errors of unit variance, correlated as exp(-dz / depth) along the first axis.

    `normals`: independent standard normal numbers, shape (n_layers, ..., n_errors), in layers
    `step_m` thick; `depth_m`: of each error, (n_errors,), or in each layer, (n_layers, n_errors).
    Source: first-order autoregression (Box & Jenkins, Time Series Analysis, 3.2.3), from memory.
    """
    if not (depth_m > 0.0).all():
        raise InputError("depth_m", f"{depth_m.min()} m", "more than 0 m")
    keep = np.broadcast_to(np.exp(-step_m / depth_m), (len(normals), normals.shape[-1]))
    fresh = np.sqrt(1.0 - keep * keep)
    errors = np.empty_like(normals)
    errors[0] = normals[0]
    for k in range(1, len(normals)):
        errors[k] = keep[k] * errors[k - 1] + fresh[k] * normals[k]
    return errors
