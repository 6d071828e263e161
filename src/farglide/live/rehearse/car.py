"""Car: the way of the driver from the launch to the first stand of the plan."""

import numpy as np

from farglide.earth.state import offset_rad
from farglide.live.rehearse.trace import Trace, trace_of
from farglide.sortie.spec import DRIVER, Sortie


def car_path(sortie: Sortie, late_s: float) -> Trace:
    """Return the way of the car: straight on and even, to the farthest stand of the driver.

    It leaves with the launch, and is there `late_s` after the stated drive. Without a stand it
    stays at the launch.
    """
    launch = sortie.launch
    stands = [one for one in sortie.stands if one.crew == DRIVER and one.drive_s]
    rows = [(0.0, launch.amsl_m, 0.0, 0.0)]
    if stands:
        there = max(stands, key=lambda one: one.drive_s or 0.0)
        offset = offset_rad(launch, there.lat_deg, there.lon_deg)
        rows.append(((there.drive_s or 0.0) + late_s, there.amsl_m, *offset))
    return trace_of(np.array(rows))
