"""Passage: fixes of one balloon as a flight in the frame of its launch."""

import math
from collections.abc import Iterable
from typing import Final, NamedTuple

import numpy as np

from farglide.air.layers import Layers
from farglide.air.standard import standard_air
from farglide.arrays import FloatArray
from farglide.sim.core.scene import Scene
from farglide.track.drift import Been
from farglide.track.heights import amsl_m
from farglide.track.reports import Fix, HeightKind

_HIGHEST_STANDARD_M: Final = 80_000.0


class Launched(NamedTuple):
    """When the balloon left the hand, and how far the geoid is above the ellipsoid about there."""

    utc_s: float
    separation_m: float = 0.0


def been_of(fixes: Iterable[Fix], launched: Launched, scene: Scene) -> Been:
    """Return where a balloon has been since its launch, by its fixes in any order.

    Left out are fixes without a height or a time, from before the launch, outside the column, and
    all but the first of one moment. Heights of all kinds become heights above mean sea level; a
    pressure height by the pressures of the column.
    """
    rows = [row for fix in fixes if (row := _row(fix, launched, scene)) is not None]
    if not rows:
        return Been(*(np.zeros(0) for _ in range(4)))
    table = np.array(rows)
    _, first = np.unique(table[:, 0], return_index=True)  # rising, and the first of each
    return Been(*np.ascontiguousarray(table[first].T))


def sea_level_m(fix: Fix, launched: Launched, layers: Layers) -> float | None:
    """Return a fix's height above mean sea level, None where it says none or none that is known."""
    told = amsl_m(fix)
    if told is not None or fix.height_m is None:
        return told
    if fix.height_kind is HeightKind.ELLIPSOID:
        return fix.height_m - launched.separation_m
    return _at_pressure_height(layers, fix.height_m)


def _at_pressure_height(layers: Layers, height_m: float) -> float | None:
    """Return where the column has the pressure of the standard atmosphere at a height."""
    if not -500.0 <= height_m <= _HIGHEST_STANDARD_M:
        return None
    log_p = math.log(float(standard_air(height_m).p_pa))
    middles_m = layers.base_amsl_m + layers.step_m * (np.arange(len(layers.p_pa)) + 0.5)
    known: FloatArray = -np.log(layers.p_pa)
    if not known[0] <= -log_p <= known[-1]:
        return None
    return float(np.interp(-log_p, known, middles_m))


def _row(fix: Fix, launched: Launched, scene: Scene) -> tuple[float, ...] | None:
    height_m = sea_level_m(fix, launched, scene.layers)
    if height_m is None or fix.t_s is None or fix.t_s < launched.utc_s:
        return None
    layers, frame = scene.layers, scene.frame
    top_m = layers.base_amsl_m + layers.step_m * len(layers.p_pa)
    if not layers.base_amsl_m <= height_m <= top_m:
        return None
    north_rad = math.radians(fix.lat_deg) - frame.lat_rad
    east_rad = math.remainder(math.radians(fix.lon_deg) - frame.lon_rad, 2.0 * math.pi)
    return fix.t_s - launched.utc_s, height_m, north_rad, east_rad
