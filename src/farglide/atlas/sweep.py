"""Sweep: in which directions the ground is walked, how far, in what steps, over which earth."""

from dataclasses import dataclass
from typing import Final

import numpy as np

from farglide.arrays import FloatArray
from farglide.constants import MEAN_EARTH_RADIUS_M
from farglide.errors import InputError, check_range

STANDARD_EARTH_RATIO: Final = 4.0 / 3.0
"""Effective earth radius over the true one, for the radio refraction of standard air.

Source: Rec. ITU-R P.526-8, annex 1, 1, and P.618-13 (effective radius 8500 km, 0.06 % more).
"""


LONGEST_M: Final = 500_000.0
_MOST_SAMPLES: Final = 50_000_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Sweep:
    """In which directions the ground is walked, how far, in what steps, over which earth.

    `earth_ratio`: effective earth radius over the true one; 1 without refraction. Ground nearer
    than `clear_m` is left out.
    """

    azimuths_deg: FloatArray
    reach_m: float
    step_m: float
    earth_ratio: float = STANDARD_EARTH_RATIO
    clear_m: float = 0.0

    def __post_init__(self) -> None:
        azimuths = self.azimuths_deg
        if azimuths.ndim != 1 or not len(azimuths) or not (np.abs(azimuths) <= 360.0).all():
            allowed = "one or more in a row, each -360 to 360°"
            raise InputError("azimuths_deg", f"{azimuths}°", allowed, "North is 0, east 90.")
        check_step(self.step_m)
        if not self.step_m <= self.reach_m <= LONGEST_M:
            allowed = f"one step, {self.step_m:g} m, to {LONGEST_M:.0f} m"
            raise InputError("reach_m", f"{self.reach_m} m", allowed, "Radio sight ends before.")
        if not 0.5 <= self.earth_ratio <= 10.0:
            raise InputError("earth_ratio", self.earth_ratio, "0.5 to 10", "Standard air: 4/3.")
        check_range("clear_m", self.clear_m, "m", (0.0, self.reach_m))
        n = len(azimuths) * self.n_rings
        if n > _MOST_SAMPLES:
            allowed = f"up to {_MOST_SAMPLES}"
            raise InputError("samples of the ground", n, allowed, "Take longer steps.")

    @property
    def n_rings(self) -> int:
        """Return the number of samples in each direction, the stand left out."""
        return int(self.reach_m / self.step_m + 1e-9)

    @property
    def radius_m(self) -> float:
        """Return the effective earth radius."""
        return self.earth_ratio * MEAN_EARTH_RADIUS_M


def check_step(step_m: float) -> None:
    if not 1.0 <= step_m <= 10_000.0:
        remedy = "Take about the spacing of the posts."
        raise InputError("step_m", f"{step_m} m", "1 to 10000 m", remedy)
