"""Area: the ground that a flight may have to do with."""

import math
from typing import Final

from farglide.atlas.outline import LatLon
from farglide.constants import MEAN_EARTH_RADIUS_M
from farglide.earth.box import Box
from farglide.earth.state import wrapped_lon_deg
from farglide.sortie.spec import Launch, Sortie

_ROUND_M: Final = 12_000.0
"""Ground beyond the outermost of them."""
_NEAR_DEG: Final = 1.0
"""About 100 km: a barrier's corner or a road farther off does not widen the area."""


def needed_area(sortie: Sortie) -> Box:
    """Return the area round launch, fields and stands."""
    return _round(sortie, _stated(sortie))


def wide_area(sortie: Sortie) -> Box:
    """Return the area round launch, fields and stands, and the barriers and landmarks near by."""
    launch = sortie.launch
    stretch = math.cos(math.radians(launch.lat_deg))
    corners = [point for one in sortie.barriers for point in one.outline.points]
    corners += [point for one in sortie.landmarks for point in one.points]
    near = [
        (lat_deg, lon_deg)
        for lat_deg, lon_deg in corners
        if math.hypot(lat_deg - launch.lat_deg, stretch * _east_deg(launch, lon_deg)) < _NEAR_DEG
    ]
    return _round(sortie, _stated(sortie) + near)


def part_way(needed: Box, wide: Box, share: float) -> Box:
    """Return an area that grows from `needed`, at a share of 0, to `wide` around it, at 1."""
    west_deg = (needed.west_deg - wide.west_deg) % 360.0
    east_deg = (wide.east_deg - needed.east_deg) % 360.0
    return Box(
        south_deg=needed.south_deg + share * (wide.south_deg - needed.south_deg),
        west_deg=wrapped_lon_deg(needed.west_deg - share * west_deg),
        north_deg=needed.north_deg + share * (wide.north_deg - needed.north_deg),
        east_deg=wrapped_lon_deg(needed.east_deg + share * east_deg),
    )


def _stated(sortie: Sortie) -> list[LatLon]:
    places = [(sortie.launch.lat_deg, sortie.launch.lon_deg)]
    places += [(field.lat_deg, field.lon_deg) for field in sortie.fields]
    return places + [(stand.lat_deg, stand.lon_deg) for stand in sortie.stands]


def _east_deg(launch: Launch, lon_deg: float) -> float:
    return wrapped_lon_deg(lon_deg - launch.lon_deg)


def _round(sortie: Sortie, places: list[LatLon]) -> Box:
    """Return the box round places, with room."""
    launch = sortie.launch
    lats = [lat_deg for lat_deg, _ in places]
    lons = [_east_deg(launch, lon_deg) for _, lon_deg in places]
    round_deg = math.degrees(_ROUND_M / MEAN_EARTH_RADIUS_M)
    wide_deg = round_deg / math.cos(math.radians(launch.lat_deg))
    west, east = (
        wrapped_lon_deg(launch.lon_deg + edge)
        for edge in (min(lons) - wide_deg, max(lons) + wide_deg)
    )
    return Box(
        south_deg=min(lats) - round_deg,
        west_deg=west,
        north_deg=max(lats) + round_deg,
        east_deg=east,
    )
