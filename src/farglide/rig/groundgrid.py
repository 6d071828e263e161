"""Ground grid: the heights of the ground round some places, as coarse as a map shows them."""

import math
from collections.abc import Iterable
from typing import Final

import numpy as np

from farglide.atlas.outline import LatLon
from farglide.atlas.terrain import Terrain, height_amsl_m
from farglide.earth.state import wrapped_lon_deg
from farglide.errors import InputError
from farglide.outlook.charted import GroundGrid

N_STEPS: Final = 80
"""Steps along the longer side: a map 80 mm wide shows one on a millimetre."""
_ROUND_SHARE: Final = 0.3
"""Of the longer side, added on each: a map may be wider than what it has to hold."""
_LEAST_DEG: Final = 0.02
_LAST_LAT_DEG: Final = 89.0


def ground_grid(
    terrain: Terrain | None, places: Iterable[LatLon], n_steps: int = N_STEPS
) -> GroundGrid | None:
    """Return the ground round places (latitude, longitude), with room on all sides.

    None without terrain, or where it knows nothing there. At least one place is needed.
    """
    points = list(places)
    if not points:
        raise InputError("places", "none", "one or more", "Give the launch at least.")
    if terrain is None:
        return None
    lat, first_deg = [one[0] for one in points], points[0][1]
    east = [wrapped_lon_deg(one[1] - first_deg) for one in points]
    stretch = math.cos(math.radians(0.5 * (min(lat) + max(lat))))
    side_deg = max(max(lat) - min(lat), stretch * (max(east) - min(east)), _LEAST_DEG)
    room_deg = side_deg * (0.5 + _ROUND_SHARE)
    mid_lat, mid_east = 0.5 * (min(lat) + max(lat)), 0.5 * (min(east) + max(east))
    north = min(mid_lat + room_deg, _LAST_LAT_DEG)
    south = max(mid_lat - room_deg, -_LAST_LAT_DEG)
    half_lon_deg = min(room_deg / stretch, 170.0)
    lats = np.linspace(north, south, n_steps + 1)
    lons = first_deg + mid_east + np.linspace(-half_lon_deg, half_lon_deg, n_steps + 1)
    on_earth = (lons + 180.0) % 360.0 - 180.0
    heights = height_amsl_m(terrain, *np.meshgrid(lats, on_earth, indexing="ij"))
    if np.isnan(heights).all():
        return None
    return GroundGrid(
        north_deg=north,
        west_deg=wrapped_lon_deg(float(lons[0])),
        step_lat_deg=(north - south) / n_steps,
        step_lon_deg=2.0 * half_lon_deg / n_steps,
        amsl_m=tuple(map(tuple, np.round(heights).tolist())),
    )
