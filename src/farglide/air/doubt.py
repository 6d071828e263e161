"""Wind doubt: how far winds may be off, shallow and deep, by their age, distance and lead time."""

import math
from dataclasses import dataclass
from typing import Final, NamedTuple

import numpy as np

from farglide.air.stratosphere import BY_AGE, BY_DISTANCE, Aloft, going_over
from farglide.arrays import FloatArray
from farglide.errors import InputError

_HOUR_S: Final = 3600.0
_KM_M: Final = 1000.0
_WELL_SAMPLED_M: Final = 1500.0  # to the nearest level: levels 3 km apart tell a wind between them

FIT_AGE_S: Final = 72.0 * _HOUR_S
FIT_DISTANCE_M: Final = 600.0 * _KM_M
FIT_LEAD_S: Final = 120.0 * _HOUR_S
"""The law is fitted up to these, or made for them; beyond, its variances grow on as they did."""
NEAREST_AGE_S: Final = 0.1 * _HOUR_S
NEAREST_M: Final = 5.0 * _KM_M
"""The nearest pairs of the fit; winds said to be nearer are doubted as these."""

_SHALLOW_MPS: Final = 1.65
_SHALLOW_DEPTH_M: Final = 330.0
_SHALLOW_S: Final = 1.0 * _HOUR_S
_SHALLOW_M: Final = 25.0 * _KM_M
_RENEWAL_S: Final = 1.0 * _HOUR_S
_AGE_S: Final = 12.0 * _HOUR_S
_AGED_MPS: Final = 5.09
_AGE_POWER: Final = 0.79  # of the variance
_AGE_DEPTH_M: Final = 3110.0
_AGE_DEPTH_POWER: Final = 0.2
_FAR_M: Final = 250.0 * _KM_M
_FAR_MPS: Final = 4.30
_FAR_POWER: Final = 1.70
_FAR_DEPTH_M: Final = 3354.0
_FAR_DEPTH_POWER: Final = 1.2
_DOUBLED_MPS: Final = 37.7  # wind of which the deep variance is twice that of calm air
_AGE_PER_LEAD: Final = 1.0 / 6.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Apart:
    """How far winds and flight are apart: in time and place, and a forecast from its run."""

    age_s: float = 0.0  # between the time of the winds and the launch, whichever is first
    distance_m: float = 0.0
    lead_s: float | None = None  # None: measured winds, no forecast

    def __post_init__(self) -> None:
        for name, unit in (("age_s", "s"), ("distance_m", "m"), ("lead_s", "s")):
            value = getattr(self, name)
            if value is not None and not 0.0 <= value < 1e12:
                raise InputError(name, f"{value} {unit}", f"0 {unit} or more, finite")


@dataclass(frozen=True, slots=True, kw_only=True)
class WindDoubt:
    """Standard deviations of each wind component, and over which heights an error hangs together.

    The shallow error is that of waves and of the sampling: it averages out over a climb. The deep
    one is the weather's, its size and depth those of the troposphere (above: ``stratosphere``).
    `growth_ratio` multiplies what it changes in the course of a flight; `beyond_mps` is its size
    well above the top of the winds. By default that of winds 12 h old.
    """

    shallow_mps: float = _SHALLOW_MPS
    shallow_depth_m: float = _SHALLOW_DEPTH_M
    renewal_s: float = _RENEWAL_S  # in which the shallow error falls to 1/e of itself
    deep_mps: float = _AGED_MPS  # in calm air
    deep_ratio: float = _AGED_MPS / _DOUBLED_MPS  # share of the speed, added as a variance
    deep_depth_m: float = _AGE_DEPTH_M
    aloft: Aloft = BY_AGE  # what the stratosphere makes of the deep error
    age_s: float = _AGE_S  # how old such winds are: what they change in a flight hangs on it
    growth_ratio: float = 1.0
    beyond_mps: float = 10.0

    def __post_init__(self) -> None:
        sizes = "shallow_mps", "deep_mps", "deep_ratio", "age_s", "growth_ratio", "beyond_mps"
        for name in sizes:
            most = 1e12 if name == "age_s" else 1000.0
            if not 0.0 <= getattr(self, name) <= most:
                raise InputError(name, getattr(self, name), f"0 to {most:g}")
        for name in ("shallow_depth_m", "deep_depth_m"):
            if not 10.0 <= getattr(self, name) <= 20_000.0:
                raise InputError(name, f"{getattr(self, name)} m", "10 to 20 000 m")
        if not self.renewal_s > 0.0:
            raise InputError("renewal_s", f"{self.renewal_s} s", "more than 0 s")


class LayerDoubt(NamedTuple):
    """Doubt in every layer, arrays of shape (n_layers,); sizes are standard deviations."""

    shallow_mps: FloatArray  # of each component
    deep_mps: FloatArray
    deep_depth_m: FloatArray  # over which the deep error hangs together there


class _Part(NamedTuple):
    """What age, lead or distance adds to the deep error: its variance in calm air, and depth."""

    mps2: float
    depth_m: float
    aloft: Aloft

    @property
    def high_mps2(self) -> float:
        """Return the variance in the stratosphere."""
        return self.mps2 * self.aloft.size_ratio**2

    @property
    def high_depth_m(self) -> float:
        """Return the depth in the stratosphere."""
        return self.depth_m * self.aloft.depth_ratio


def wind_doubt(apart: Apart) -> WindDoubt:
    """Return the doubt about winds this far apart from the flight.

    What age, distance and lead time add is added as variances, and the depth is the mean of theirs
    by these. A model wind has no waves of its own: half of the shallow variance of a difference of
    two soundings is left, however new it is. Beyond what was fitted sizes grow on, and depths stay:
    never narrower.
    Valid: ages to 72 h, distances to 600 km; between 5 and 80 km by the law's shape alone.
    Source: differences of open soundings, fitted by ``bench/odds`` (5 to 95 %: 5.09 m/s 4.7-5.6,
    power 0.65-0.99, 4.30 m/s 3.6-5.1, power 1.30-2.14, 37.7 m/s 30-54, depths 2.5-4.0 and
    2.2-4.8 km, 1.65 m/s 1.1-2.1). A lead time counts as a sixth of it in age: common practice, no
    source.
    """
    age_s, far_m = max(apart.age_s, NEAREST_AGE_S), max(apart.distance_m, NEAREST_M)
    lead_s = _AGE_PER_LEAD * (apart.lead_s or 0.0)
    far_depth_m = _FAR_DEPTH_M * (min(far_m, FIT_DISTANCE_M) / _FAR_M) ** _FAR_DEPTH_POWER
    parts = (
        _Part(_aged_mps2(age_s), age_depth_m(age_s), BY_AGE),
        _Part(_aged_mps2(lead_s), age_depth_m(lead_s), BY_AGE),
        _Part(_FAR_MPS**2 * (far_m / _FAR_M) ** _FAR_POWER, far_depth_m, BY_DISTANCE),
    )
    deep_mps2 = sum(one.mps2 for one in parts)
    deep_mps = math.sqrt(deep_mps2)
    depth_m = sum(one.mps2 * one.depth_m for one in parts) / deep_mps2
    high_mps2 = sum(one.high_mps2 for one in parts)
    high_depth_m = sum(one.high_mps2 * one.high_depth_m for one in parts) / high_mps2
    shallow_ratio = -math.expm1(-age_s / _SHALLOW_S - far_m / _SHALLOW_M)
    return WindDoubt(
        shallow_mps=_SHALLOW_MPS * math.sqrt(shallow_ratio if apart.lead_s is None else 0.5),
        deep_mps=deep_mps,
        deep_ratio=deep_mps / _DOUBLED_MPS,
        deep_depth_m=depth_m,
        aloft=Aloft(math.sqrt(high_mps2 / deep_mps2), high_depth_m / depth_m),
        age_s=age_s,
    )


def age_depth_m(age_s: float) -> float:
    """Return over which depth an error hangs together that an age alone has made."""
    return _AGE_DEPTH_M * (min(age_s, FIT_AGE_S) / _AGE_S) ** _AGE_DEPTH_POWER


def is_beyond_fit(apart: Apart) -> bool:
    """Tell whether winds are older, farther or longer forecast than the law was fitted to."""
    lead_s = apart.lead_s or 0.0
    return apart.age_s > FIT_AGE_S or apart.distance_m > FIT_DISTANCE_M or lead_s > FIT_LEAD_S


class DeepChange(NamedTuple):
    """What the deep error is after a time: a share of what it was, and an error of its own."""

    kept_ratio: FloatArray
    grown_mps: FloatArray
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
    covariance (V(A) + V(A + t) - V(t)) / 2. A doubt stated wider than the law's changes as the
    law's does, a narrower one less.
    """
    elapsed_s = passed.elapsed_s
    aged, older, change = (
        np.array([_aged_mps2(float(one)) for one in times_s])
        for times_s in (doubt.age_s + 0.0 * elapsed_s, doubt.age_s + elapsed_s, elapsed_s)
    )
    faster = doubt.growth_ratio**2 * (1.0 + (passed.speed_mps / _DOUBLED_MPS) ** 2)
    faster = faster * going_over(passed.middle_m, BY_AGE.size_ratio) ** 2
    was, wider, change = layer.deep_mps**2, faster * (older - aged), faster * change
    kept = 1.0 - (change - wider) / np.maximum(2.0 * was, 1e-12)
    grown = np.sqrt(np.maximum(was + wider - kept**2 * was, 0.0))
    deeper = going_over(passed.middle_m, BY_AGE.depth_ratio)
    depth_m = age_depth_m(max(float(elapsed_s.max()), 60.0)) * deeper
    return DeepChange(kept, grown, depth_m)


def kept_ratio(doubt: WindDoubt, elapsed_s: FloatArray) -> FloatArray:
    """Return how much of the shallow error is still the same after these times."""
    kept: FloatArray = np.exp(-elapsed_s / doubt.renewal_s)
    return kept


def by_layer(
    doubt: WindDoubt, middle_m: FloatArray, speed_mps: FloatArray, level_m: FloatArray
) -> LayerDoubt:
    """Return the doubt in layers: the deep one widens outside the levels and in wide gaps.

    `middle_m`, `speed_mps`: of the layers; `level_m`: heights of the winds' levels.
    """
    known = np.hypot(doubt.deep_mps, doubt.deep_ratio * speed_mps)
    known *= going_over(middle_m, doubt.aloft.size_ratio)
    above = np.clip(np.searchsorted(level_m, middle_m), 1, len(level_m) - 1)
    nearest_m = np.minimum(np.abs(middle_m - level_m[above - 1]), np.abs(middle_m - level_m[above]))
    inside = (middle_m >= level_m[0]) & (middle_m <= level_m[-1])
    outside_m = np.where(inside, nearest_m - _WELL_SAMPLED_M, nearest_m)
    share = np.clip(outside_m / doubt.deep_depth_m, 0.0, 1.0)
    deep: FloatArray = known + share * np.maximum(doubt.beyond_mps - known, 0.0)
    depth_m = doubt.deep_depth_m * going_over(middle_m, doubt.aloft.depth_ratio)
    return LayerDoubt(np.full(len(middle_m), doubt.shallow_mps), deep, depth_m)


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


def _aged_mps2(age_s: float) -> float:
    """Return the deep variance that an age makes in calm air."""
    return _AGED_MPS**2 * (age_s / _AGE_S) ** _AGE_POWER
