"""Light: whether a real flight was flown by day or in the dark."""

import numpy as np

from farglide.air.sounding import Sounding
from farglide.earth.sun import CIVIL_DUSK_DEG, sun_position


def is_dark(sounding: Sounding) -> bool:
    """Tell whether the sun was below civil dusk over the launch in the middle of a climb."""
    assert sounding.elapsed_s is not None
    middle_s = sounding.t_s + 0.5 * float(np.nanmax(sounding.elapsed_s))
    sun = sun_position(middle_s, sounding.lat_deg, sounding.lon_deg)
    return sun.elevation_deg < CIVIL_DUSK_DEG
