"""The law of the wind's doubt: a shallow and a deep layer, by age and distance of what is known."""

from typing import Final, NamedTuple

import numpy as np

from bench.odds.moments import Law, Moments
from farglide.air.stratosphere import going_over
from farglide.arrays import FloatArray

AGE_H: Final = 12.0
DISTANCE_KM: Final = 250.0
"""Age and distance at which sizes and depths of the deep error are told."""
SHALLOW_DEPTH_M: Final = 330.0
"""From the correlation of fresh pairs, 0.22 over half a kilometre: too shallow for other pairs."""
GROWN_H: Final = 1.0
GROWN_KM: Final = 25.0
"""After so much the shallow error has grown to 0.63 of its variance: from two figures alone."""
AGE_DEPTH_POWER: Final = 0.2
DISTANCE_DEPTH_POWER: Final = 1.2
READING_M2PS2: Final = 0.05
"""What a reading over a layer is off by itself."""


class WindLaw(NamedTuple):
    """Sizes and depths; sizes are standard deviations of a component of the difference."""

    shallow_mps: float
    age_mps: float  # of the deep error at 12 h, in calm air
    age_power: float  # of the variance
    age_depth_m: float  # at 12 h
    distance_mps: float  # of the deep error at 250 km, in calm air
    distance_power: float
    distance_depth_m: float  # at 250 km
    doubled_mps: float  # the speed along which the deep variance is twice that in calm air
    climate_mps: float  # how far winds lie apart, so that strong ones told are partly their error
    age_high_ratio: float  # size of the deep error in the stratosphere, of that below
    age_high_depth_ratio: float  # and its depth
    distance_high_ratio: float
    distance_high_depth_ratio: float


class Parts(NamedTuple):
    """Variances and depths that add up to the covariance of two layers, and the mean along."""

    shallow: FloatArray
    by_age: FloatArray
    by_distance: FloatArray
    age_depth_m: FloatArray
    distance_depth_m: FloatArray
    slower_mps: FloatArray  # what comes, than the wind told


class At(NamedTuple):
    """Winds whose doubt is asked for, all of one shape."""

    age_h: FloatArray
    distance_km: FloatArray
    speed_mps: FloatArray
    height_m: FloatArray
    is_along: FloatArray  # 1: the error along the wind, 0: across it


def parts_of(law: WindLaw, at: At) -> Parts:
    """Return the parts of the doubt."""
    age, distance = np.maximum(at.age_h, 1e-3), np.maximum(at.distance_km, 1e-3)
    faster = 1.0 + at.is_along * (at.speed_mps / law.doubled_mps) ** 2
    z_m = at.height_m
    aged, far = (going_over(z_m, one) ** 2 for one in (law.age_high_ratio, law.distance_high_ratio))
    aged *= law.age_mps**2 * (age / AGE_H) ** law.age_power
    far *= law.distance_mps**2 * (distance / DISTANCE_KM) ** law.distance_power
    age_depth_m = law.age_depth_m * going_over(z_m, law.age_high_depth_ratio)
    far_depth_m = law.distance_depth_m * going_over(z_m, law.distance_high_depth_ratio)
    return Parts(
        law.shallow_mps**2 * -np.expm1(-age / GROWN_H - distance / GROWN_KM),
        faster * aged,
        faster * far,
        age_depth_m * (age / AGE_H) ** AGE_DEPTH_POWER,
        far_depth_m * (distance / DISTANCE_KM) ** DISTANCE_DEPTH_POWER,
        at.is_along * at.speed_mps * (aged + far) / (2.0 * law.climate_mps**2),
    )


def said_by(law: WindLaw, moments: Moments) -> Law:
    """Return variance, covariance and mean of each row of moments."""
    m = moments
    parts = parts_of(law, At(m.age_h, m.distance_km, m.speed_mps, m.height_m, m.is_along))
    shallow, by_age, by_distance, age_depth_m, distance_depth_m, slower_mps = parts
    lag = moments.lag_m
    return Law(
        shallow + by_age + by_distance + READING_M2PS2,
        shallow * np.exp(-lag / SHALLOW_DEPTH_M)
        + by_age * np.exp(-lag / age_depth_m)
        + by_distance * np.exp(-lag / distance_depth_m),
        slower_mps,
    )


class ColumnLaw(NamedTuple):
    """What a law says of a whole column: error told less come, east and north."""

    mean_mps: FloatArray  # (2, n_layers)
    covariance: FloatArray  # (2, n_layers, n_layers)


def column_law(
    law: WindLaw, age_h: float, distance_km: float, wind_mps: FloatArray, middle_m: FloatArray
) -> ColumnLaw:
    """Return mean and covariance of both components' errors; `wind_mps`: told, (2, n_layers).

    Errors of size 1 to east and north hang together by their depth alone; those along the wind of a
    layer are stretched.
    """
    n, speed = len(middle_m), np.hypot(*wind_mps)
    along = wind_mps / np.maximum(speed, 1e-6)
    here = np.full(n, age_h), np.full(n, distance_km), speed, middle_m
    across, more = (parts_of(law, At(*here, np.full(n, one))) for one in (0.0, 1.0))
    depths_m = np.full(n, SHALLOW_DEPTH_M), across.age_depth_m, across.distance_depth_m
    out = np.stack([np.diag(np.full(n, READING_M2PS2))] * 2)
    for low, high, depth_m in zip(across[:3], more[:3], depths_m, strict=True):
        sd, stretch = np.sqrt(low), np.sqrt(high) - np.sqrt(low)
        turned = stretch * along[:, None] * along + sd * np.eye(2)[:, :, None]
        products = np.einsum("cki,ckj->cij", turned, turned)
        out += products * np.exp(-_lags(middle_m, depth_m))
    return ColumnLaw(more.slower_mps * along, out)


def _lags(middle_m: FloatArray, depth_m: FloatArray) -> FloatArray:
    """Return how many depths lie between each two layers."""
    steps = np.diff(middle_m) / depth_m[1:]
    passed = np.concatenate([[0.0], np.cumsum(steps)])
    return np.abs(passed[:, None] - passed)
