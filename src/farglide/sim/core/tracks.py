"""Tracks: climbs on an even clock, and where they end."""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]


class Tracks(NamedTuple):
    """Climbs on an even clock, shape (n_draws, n_times), as if no balloon burst.

    NaN after a balloon has left the column. Offsets are radians from the launch.
    """

    step_s: float
    amsl_m: FloatArray
    north_rad: FloatArray
    east_rad: FloatArray
    diameter_m: FloatArray


class Burst(NamedTuple):
    """Where each drawn balloon bursts; NaN where it never does. Shape (n_draws,)."""

    after_launch_s: FloatArray
    amsl_m: FloatArray
    north_rad: FloatArray
    east_rad: FloatArray
