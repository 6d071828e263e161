"""Area: the ground that a flight may have to do with."""

import math
from typing import Final

from farglide.atlas.terrain import Box
from farglide.constants import MEAN_EARTH_RADIUS_M
from farglide.sortie.spec import Sortie

_ROUND_M: Final = 12_000.0
"""Ground beyond the outermost of them."""
_NEAR_DEG: Final = 1.0
"""About 100 km: a barrier's corner or a road farther off does not widen the area."""


def area_of(sortie: Sortie) -> Box:
    """Return the area round launch, fields and stands, and the barriers and landmarks near by."""
    places = [(sortie.launch.lat_deg, sortie.launch.lon_deg)]
    places += [(field.lat_deg, field.lon_deg) for field in sortie.fields]
    places += [(stand.lat_deg, stand.lon_deg) for stand in sortie.stands]
    corners = [point for one in sortie.barriers for point in one.outline.points]
    corners += [point for one in sortie.landmarks for point in one.points]
    stretch = math.cos(math.radians(sortie.launch.lat_deg))
    places += [
        (lat_deg, lon_deg)
        for lat_deg, lon_deg in corners
        if math.hypot(
            lat_deg - sortie.launch.lat_deg,
            stretch * ((lon_deg - sortie.launch.lon_deg + 180.0) % 360.0 - 180.0),
        )
        < _NEAR_DEG
    ]
    lats = [lat_deg for lat_deg, _ in places]
    lons = [(lon_deg - sortie.launch.lon_deg + 180.0) % 360.0 - 180.0 for _, lon_deg in places]
    round_deg = math.degrees(_ROUND_M / MEAN_EARTH_RADIUS_M)
    wide_deg = round_deg / math.cos(math.radians(sortie.launch.lat_deg))
    west, east = (
        (sortie.launch.lon_deg + edge + 180.0) % 360.0 - 180.0
        for edge in (min(lons) - wide_deg, max(lons) + wide_deg)
    )
    return Box(
        south_deg=min(lats) - round_deg,
        west_deg=west,
        north_deg=max(lats) + round_deg,
        east_deg=east,
    )
