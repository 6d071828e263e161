"""Climbs: how fast real balloons rise in bands of 5 km, beside a balloon on a drag table."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from typing import Final

import numpy as np

from bench.odds.data import Flown, timed
from farglide.air.layers import LAYER_M
from farglide.air.standard import standard_air
from farglide.arrays import FloatArray
from farglide.balloon.ascent import balance_of
from farglide.balloon.gas import GasMix, fill_of
from farglide.constants import (
    SEA_LEVEL_PRESSURE_PA,
    SEA_LEVEL_TEMPERATURE_K,
    STANDARD_GRAVITY_MPS2,
)
from farglide.earth.heights import geometric_at_m

BAND_M: Final = 5000.0
N_BANDS: Final = 7
LOWEST_TOP_M: Final = 20_000.0
DragTable = tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Lifter:
    """A latex balloon, what it carries, and its mean climb from the ground to its top.

    It is followed above that: a band is told over the mean climb of a flight of middling height.
    """

    balloon_kg: float
    hanging_kg: float
    mean_mps: float
    top_m: float = 30_000.0


TYPICAL: Final = (
    Lifter(balloon_kg=0.35, hanging_kg=0.25, mean_mps=5.0),
    Lifter(balloon_kg=0.6, hanging_kg=0.3, mean_mps=5.3),
    Lifter(balloon_kg=0.8, hanging_kg=0.6, mean_mps=5.5),
    Lifter(balloon_kg=1.2, hanging_kg=0.8, mean_mps=6.0),
)
"""Common practice, no source: balloons of the services, and a glider's."""


def band_ratios(flown: Flown) -> FloatArray:
    """Return the mean speed in each band over that of the climb, NaN where it is not flown through.

    A band counts if four fifths of it were flown through; the climb is that from the first level.
    """
    sounding = flown.sounding
    t_s = sounding.elapsed_s
    if t_s is None:
        return np.full(N_BANDS, np.nan)
    z_m = np.array([geometric_at_m(float(h), sounding.lat_deg) for h in sounding.gph_m])
    known = np.isfinite(t_s)
    return ratios_of(t_s[known], z_m[known])


def ratios_of(t_s: FloatArray, z_m: FloatArray, top_m: float = np.inf) -> FloatArray:
    """Return the mean speed in each band over that of the climb to `top_m`."""
    rising = np.concatenate([[True], np.diff(np.maximum.accumulate(z_m)) > 0.0])
    t_s, z_m = t_s[rising], z_m[rising]
    last_m = min(float(z_m[-1]), top_m)
    mean_mps = (last_m - z_m[0]) / (np.interp(last_m, z_m, t_s) - t_s[0])
    found = np.full(N_BANDS, np.nan)
    for k in range(N_BANDS):
        low, high = max(k * BAND_M, z_m[0]), min((k + 1) * BAND_M, z_m[-1])
        if high - low >= 0.8 * BAND_M:
            seconds = np.diff(np.interp([low, high], z_m, t_s))[0]
            found[k] = (high - low) / seconds / mean_mps
    return found


def high_flights() -> list[Flown]:
    """Return the flights above 20 km with times at their levels."""
    return [one for one in timed() if one.sounding.top_gph_m >= LOWEST_TOP_M]


@cache
def _standard_column() -> tuple[FloatArray, FloatArray]:
    """Return density and viscosity in the middle of each layer through all bands."""
    air = [standard_air(float(h)) for h in np.arange(0.5 * LAYER_M, N_BANDS * BAND_M, LAYER_M)]
    rho = np.array([one.rho_kgpm3 for one in air])
    return rho, np.array([one.viscosity_pas for one in air])


def speeds_mps(drag_table: DragTable, lifter: Lifter, neck_kg: float) -> FloatArray:
    """Return the climb of a slack balloon in the middle of each layer of the standard air."""
    rho, viscosity = _standard_column()
    ground = SEA_LEVEL_PRESSURE_PA, SEA_LEVEL_TEMPERATURE_K
    fill = fill_of(neck_kg, lifter.balloon_kg, GasMix(gas="helium"), *ground)
    displaced_kg = neck_kg + lifter.balloon_kg + fill.gas_kg
    across_m = (6.0 / np.pi * displaced_kg / rho) ** (1.0 / 3.0)
    lift_n = (neck_kg - lifter.hanging_kg) * STANDARD_GRAVITY_MPS2
    balance = balance_of(drag_table)
    number = np.log(8.0 * lift_n * rho / (np.pi * viscosity**2))
    grid = balance.first_log + balance.step_log * np.arange(len(balance.log_reynolds))
    reynolds = np.exp(np.interp(number, grid, balance.log_reynolds))
    speeds: FloatArray = reynolds * viscosity / (rho * across_m)
    return speeds


def neck_for_kg(drag_table: DragTable, lifter: Lifter) -> float:
    """Return the neck lift with which a balloon climbs at its mean speed."""
    low, high = lifter.hanging_kg + 0.01, lifter.hanging_kg + 8.0
    for _ in range(40):
        neck = 0.5 * (low + high)
        speeds = speeds_mps(drag_table, lifter, neck)[: round(lifter.top_m / LAYER_M)]
        mean_mps = 1.0 / float((1.0 / speeds).mean())
        low, high = (low, neck) if mean_mps > lifter.mean_mps else (neck, high)
    return 0.5 * (low + high)


def ratios_by_table(drag_table: DragTable, lifter: Lifter) -> FloatArray:
    """Return what a drag table makes of the speed in each band over the mean of the climb."""
    speeds = speeds_mps(drag_table, lifter, neck_for_kg(drag_table, lifter))
    t_s = np.concatenate([[0.0], np.cumsum(LAYER_M / speeds)])
    return ratios_of(t_s, LAYER_M * np.arange(len(t_s)), lifter.top_m)


def mean_ratios(drag_table: DragTable, lifters: Sequence[Lifter] = TYPICAL) -> FloatArray:
    """Return the mean over balloons of what a drag table makes of the bands."""
    return np.mean([ratios_by_table(drag_table, one) for one in lifters], axis=0)
