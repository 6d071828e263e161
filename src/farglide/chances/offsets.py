"""Offsets: places as radians north and east of the launch, and back."""

import numpy as np

from farglide.earth.state import wrapped_lon_deg
from farglide.sim.core.step import Offset
from farglide.sortie.spec import Launch


def place_deg(launch: Launch, north_rad: float, east_rad: float) -> tuple[float, float]:
    """Return latitude and longitude (-180 to 180) of an offset from the launch."""
    lon_deg = (launch.lon_deg + np.degrees(east_rad) + 180.0) % 360.0 - 180.0
    return float(launch.lat_deg + np.degrees(north_rad)), float(lon_deg)


def offset_rad(launch: Launch, at: tuple[float, float]) -> Offset:
    """Return how many radians a latitude and longitude lie north and east of the launch."""
    east_deg = wrapped_lon_deg(at[1] - launch.lon_deg)
    return Offset(float(np.radians(at[0] - launch.lat_deg)), float(np.radians(east_deg)))
