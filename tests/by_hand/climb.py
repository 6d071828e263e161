"""The demo's climb by hand: a slack hydrogen balloon with one drag coefficient, from sea level.

Gas as warm as the air, drift on a plane. Nothing here comes from the package.
"""

import math
from typing import Final, NamedTuple

import numpy as np

from .air import G0_MPS2, RHO0_KGPM3, FloatArray, air, wind_mps

BALLOON_KG: Final = 1.0
HANGING_KG: Final = 0.82
MOLAR_RATIO: Final = 2.01588 / 28.9644
BURST_DIAMETER_M: Final = 6.6
_STEP_S: Final = 2.0


class Climb(NamedTuple):
    """Seconds, heights and places east and north of the launch, to the burst."""

    t_s: FloatArray
    amsl_m: FloatArray
    east_m: FloatArray
    north_m: FloatArray

    @property
    def burst_min(self) -> float:
        return float(self.t_s[-1]) / 60.0

    def at_min(self, minute: float) -> tuple[float, float, float]:
        """Return east, north and height in kilometres."""
        rows = (self.east_m, self.north_m, self.amsl_m)
        east, north, up = (float(np.interp(60.0 * minute, self.t_s, row)) / 1e3 for row in rows)
        return east, north, up

    def passes_min(self, amsl_m: float) -> float:
        return float(np.interp(amsl_m, self.amsl_m, self.t_s)) / 60.0


def volume_m3(neck_kg: float) -> float:
    """Return the hydrogen at 15 C and 1013.25 hPa that lifts balloon and neck lift."""
    return (neck_kg + BALLOON_KG) / (RHO0_KGPM3 * (1.0 - MOLAR_RATIO))


def diameter_m(volume0_m3: float, amsl_m: float) -> float:
    """Return the sphere of gas at the density that the air has."""
    return float((6.0 / math.pi * volume0_m3 * RHO0_KGPM3 / air(amsl_m).rho) ** (1.0 / 3.0))


def burst_amsl_m(volume0_m3: float, bursting_m: float) -> float:
    """Return the height at which the sphere is as large as that, by halving."""
    low, high = 0.0, 45e3
    while high - low > 0.01:
        middle = 0.5 * (low + high)
        low, high = (middle, high) if diameter_m(volume0_m3, middle) < bursting_m else (low, middle)
    return low


def climb(
    neck_kg: float = 1.6, bursting_m: float = BURST_DIAMETER_M, drag: float = 0.30,
    wind_ratio: float = 1.0, speed_ratio: float = 1.0,
) -> Climb:  # fmt: skip
    """Return the climb at the speed where drag balances the free lift."""
    volume, free_n = volume_m3(neck_kg), (neck_kg - HANGING_KG) * G0_MPS2
    top_m = burst_amsl_m(volume, bursting_m)
    rows = [(0.0, 0.0, 0.0, 0.0)]
    while rows[-1][1] < top_m:
        t, z, east, north = rows[-1]
        area = 0.25 * math.pi * diameter_m(volume, z) ** 2
        up = speed_ratio * math.sqrt(2.0 * free_n / (air(z).rho * drag * area))
        step = min(_STEP_S, (top_m - z) / up + 1e-6)
        u, v = wind_mps(z + 0.5 * up * step)
        rows.append(
            (t + step, z + up * step, east + wind_ratio * u * step, north + wind_ratio * v * step)
        )
    return Climb(*np.array(rows).T)
