"""Elevation: the gain of an upright antenna as a table by the sine of the elevation."""

from typing import Final

import numpy as np

from farglide.arrays import FloatArray
from farglide.radio.antenna.pattern import Pattern, gain_towards_dbi

N_SINES: Final = 721
"""Rows of a table by the sine of the elevation, -1 to 1."""


def elevation_gain_db(upright: Pattern, budget_dbi: float, upside: bool = False) -> FloatArray:
    """Return the gain of an upright antenna against a budget's, by the sine of the elevation.

    The elevation is that of the aircraft, seen from the stand. The axis of the pattern points up on
    the ground or down on the aircraft, towards the other end; `upside`: away from it, as an upright
    antenna of the aircraft does. Shape (N_SINES,).
    Valid: both ends with the same vertical, 1 degree off in 111 km.
    """
    off_deg = np.degrees(np.arccos(np.linspace(-1.0, 1.0, N_SINES)))
    if upside:
        off_deg = 180.0 - off_deg
    return np.array([gain_towards_dbi(upright, float(deg)) for deg in off_deg]) - budget_dbi
