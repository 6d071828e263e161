"""Fits the usual drag curve of a rubber balloon to how soundings climb and to published climbs.

Prints the points for farglide/flightfile/standins.py, and what they leave unmet.
"""

import math
from collections.abc import Iterator
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import brentq, least_squares

from farglide.air.standard import standard_air
from farglide.balloon.gas import Gas, GasMix, fill_of
from farglide.constants import AIR_GAS_CONSTANT_JPKGK
from farglide.earth.heights import geopotential_m
from farglide.flightfile.standins import DRAG_TABLE, burst_diameter_m

FloatArray = NDArray[np.float64]

REYNOLDS: Final = tuple(reynolds for reynolds, _ in DRAG_TABLE)
# Median speed of 47 open soundings above 20 km in bands of 5 km from 0, over the mean of the climb.
BANDS: Final = np.array([1.02, 1.01, 0.96, 0.94, 1.01, 1.08, 1.14])
BAND_SD: Final = 0.03
# (Re, C_d, sd) of pilot balloons near the ground: a German textbook of aerology, section 24;
# B. Schmidt 1938, Archiv der Deutschen Seewarte 58 no. 4 p. 5, mean of six tables.
PILOTS: Final = (
    (4.9e4, 1.08, 0.15), (1.1e5, 0.80, 0.10), (1.7e5, 0.627, 0.06), (1.8e5, 0.59, 0.10),
    (2.5e5, 0.48, 0.10),
)  # fmt: skip
# (balloon g, payload g, free lift g, rise m/min) in hydrogen: WMO-No. 8, typical performance, from
# memory; a balloon maker's table, as reproduced on a public guide page.
TYPICAL: Final = (
    (200, 250, 500, 300), (600, 250, 900, 300), (1000, 250, 1100, 300), (3000, 1000, 1700, 300),
    (200, 250, 510, 320), (350, 250, 585, 320), (600, 250, 870, 320), (1000, 250, 1060, 320),
    (1500, 1050, 1280, 320), (3000, 1050, 1670, 320),
)  # fmt: skip
RISE_SD: Final = 0.07
NEAR_GROUND_WEIGHT: Final = 2.0  # few rows stand against many climbs
WARMER_K: Final = 8.0
STEP_M: Final = 100.0
HEIGHTS_M: Final = np.arange(0.0, 40_001.0, STEP_M)
AIR: Final = [standard_air(float(geopotential_m(float(z)))) for z in HEIGHTS_M]
RHO: Final = np.array([air.rho_kgpm3 for air in AIR])
WARM_RATIO: Final = 1.0 + WARMER_K / np.array([air.t_k for air in AIR])
VISCOSITY: Final = np.array([air.viscosity_pas for air in AIR])
GRAVITY: Final = 9.80665 * (6_356_766.0 / (6_356_766.0 + HEIGHTS_M)) ** 2


class Balloon(NamedTuple):
    """A usual balloon: its mass, what hangs below, its gas, and the mean climb wanted."""

    mass_kg: float
    hanging_kg: float
    gas: Gas
    mean_mps: float


def balloons() -> Iterator[Balloon]:
    """Yield the balloons that the curve is fitted for."""
    gases: tuple[Gas, ...] = ("helium", "hydrogen")
    for mass_kg, hanging_kg in ((0.35, 0.25), (0.6, 0.25), (1.0, 0.8), (1.2, 1.0), (2.0, 1.5)):
        for gas in gases:
            for mean_mps in (5.0, 5.5, 6.0):
                yield Balloon(mass_kg, hanging_kg, gas, mean_mps)


def reynolds_of(drag: FloatArray, number: FloatArray) -> FloatArray:
    """Return Re at which C_d Re^2 has a value; see farglide.balloon.ascent."""
    log_re = np.linspace(math.log(1e3), math.log(1e8), 6000)
    log_balance = np.log(np.interp(log_re, np.log(REYNOLDS), drag)) + 2.0 * log_re
    found: FloatArray = np.exp(
        np.interp(np.log(number), np.maximum.accumulate(log_balance), log_re)
    )
    return found


def climb(drag: FloatArray, balloon: Balloon, neck_kg: float) -> tuple[FloatArray, float]:
    """Return seconds since the launch at each height, and the height of the burst."""
    mix = GasMix(gas=balloon.gas, purity_ratio=0.99)
    gas_kg = fill_of(neck_kg, balloon.mass_kg, mix, 101_325.0, 288.15).gas_kg
    air_kg = gas_kg * mix.gas_constant_jpkgk / AIR_GAS_CONSTANT_JPKGK * WARM_RATIO
    across_m = (6.0 / math.pi * air_kg / RHO) ** (1.0 / 3.0)
    lift_n = (air_kg - gas_kg - balloon.mass_kg - balloon.hanging_kg) * GRAVITY
    number = 8.0 * np.maximum(lift_n, 1e-9) * RHO / (math.pi * VISCOSITY**2)
    speed = reynolds_of(drag, number) * VISCOSITY / (RHO * across_m)
    pace = STEP_M * 2.0 / (speed[1:] + speed[:-1])
    top_m = float(np.interp(burst_diameter_m(balloon.mass_kg), across_m, HEIGHTS_M))
    return np.concatenate([[0.0], np.cumsum(pace)]), top_m


def bands_of(drag: FloatArray, balloon: Balloon) -> FloatArray:
    """Return speeds in bands over the mean of the climb, NaN above the burst, the fill solved."""

    def mean_mps(neck_kg: float) -> float:
        t_s, top_m = climb(drag, balloon, neck_kg)
        return float(top_m / np.interp(top_m, HEIGHTS_M, t_s))

    least_kg, most_kg = 1.02 * balloon.hanging_kg + 0.02, 3.0 * balloon.hanging_kg + 3.0
    neck_kg = brentq(lambda kg: mean_mps(kg) - balloon.mean_mps, least_kg, most_kg)
    t_s, top_m = climb(drag, balloon, neck_kg)
    edges_m = 5000.0 * np.arange(len(BANDS) + 1.0)
    bands = 5000.0 / np.diff(np.interp(edges_m, HEIGHTS_M, t_s)) / balloon.mean_mps
    bands[edges_m[1:] > top_m] = np.nan
    return bands


def rise_mpmin(drag: FloatArray, row: tuple[int, int, int, int]) -> float:
    """Return the rise near the ground of a row of a table of typical performance."""
    mass_kg, payload_kg, free_kg, _ = (one / 1000.0 for one in row)
    fill = fill_of(payload_kg + free_kg, mass_kg, GasMix(gas="hydrogen"), 101_325.0, 288.15)
    across_m = (6.0 / math.pi * fill.volume_m3) ** (1.0 / 3.0)
    number = 8.0 * free_kg * 9.80665 * RHO[0] / (math.pi * VISCOSITY[0] ** 2)
    reynolds = float(reynolds_of(drag, np.array([number]))[0])
    return 60.0 * reynolds * float(VISCOSITY[0]) / (float(RHO[0]) * across_m)


def misses(log_drag: FloatArray) -> FloatArray:
    """Return by how many standard deviations a curve misses all that it is fitted to."""
    drag = np.exp(log_drag)
    shape = [(bands_of(drag, one) - BANDS) / BAND_SD for one in balloons()]
    here = [np.interp(math.log(re), np.log(REYNOLDS), drag) for re, _, _ in PILOTS]
    pilots = [(value - cd) / sd for value, (_, cd, sd) in zip(here, PILOTS, strict=True)]
    rises = [(rise_mpmin(drag, row) / row[3] - 1.0) / RISE_SD for row in TYPICAL]
    ground = NEAR_GROUND_WEIGHT * np.array([*pilots, *rises])
    return np.concatenate([np.nan_to_num(np.concatenate(shape)), ground])


def told(drag: FloatArray) -> str:
    """Return what a curve makes of climbs, in three lines."""
    rows = np.array([bands_of(drag, one) for one in balloons()])
    middle = np.round(np.nanmedian(rows, axis=0), 2).tolist()
    off = [round(100.0 * (rise_mpmin(drag, row) / row[3] - 1.0)) for row in TYPICAL]
    return (
        f"{[(re, round(float(cd), 3)) for re, cd in zip(REYNOLDS, drag, strict=True)]}\n"
        f"  bands {middle}, rms {np.sqrt(np.nanmean((rows - BANDS) ** 2)):.3f}\n"
        f"  typical rises {off} %"
    )


if __name__ == "__main__":
    usual = np.array([drag for _, drag in DRAG_TABLE])
    fitted = np.exp(least_squares(misses, np.log(usual), diff_step=1e-3).x)
    print("fitted", told(fitted))
    print("in use", told(usual))
    print("one coefficient", told(np.full(len(REYNOLDS), 0.30)))
