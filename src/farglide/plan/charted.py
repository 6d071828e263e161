"""Charted: what the maps of a plan show beside its answer."""

from collections.abc import Iterator
from math import cos, hypot, radians
from typing import Final

from farglide.atlas.outline import LatLon
from farglide.atlas.terrain import Terrain
from farglide.earth.state import Placed, wrapped_lon_deg
from farglide.outlook.ascent import AscentOutlook
from farglide.outlook.charted import ChartOutlook
from farglide.outlook.launch import LaunchArea, MapLine, MapMark
from farglide.rig.groundgrid import ground_grid
from farglide.sortie.spec import Sortie

_NEAR_DEG: Final = 1.5
"""About 150 km of the launch: roads farther off are on no map."""
_FINE_DEG: Final = 0.0005
"""50 m: a corner nearer to the one before would not show."""
_SHOWN_RATIO: Final = 0.05
"""Spots with less of a chance widen no map."""
_DRAWN: Final = ("road", "rail", "wires")


def chart_outlook(
    sortie: Sortie, ascent: AscentOutlook, area: LaunchArea | None, terrain: Terrain | None
) -> ChartOutlook:
    """Return stands, barriers and roads as they were written, and the ground round them."""
    launch = sortie.launch
    placed: tuple[Placed, ...] = (launch, *sortie.fields, *sortie.stands, *ascent.track)
    near = [(one.lat_deg, one.lon_deg) for one in placed]
    spots = [
        (one.lat_deg, one.lon_deg)
        for one in (area.spots if area else ())
        if max(one.home_any_height_ratio, one.any_field_ratio) >= _SHOWN_RATIO
    ]
    return ChartOutlook(
        lat_deg=launch.lat_deg,
        lon_deg=launch.lon_deg,
        stands=tuple(
            MapMark(kind="stand", name=one.name, lat_deg=one.lat_deg, lon_deg=one.lon_deg)
            for one in sortie.stands
        ),
        lines=tuple(map_lines(sortie, sortie.launch)),
        ground=ground_grid(terrain, near),
        wide=ground_grid(terrain, spots) if spots else None,
    )


def map_lines(sortie: Sortie, middle: Placed) -> Iterator[MapLine]:
    """Yield barriers, and roads, rails and wires near a place without corners too fine to see."""
    for one in sortie.barriers:
        yield MapLine(name=one.name, kind=one.kind, points=one.outline.points)
    stretch = cos(radians(middle.lat_deg))

    def is_near(point: LatLon) -> bool:
        east_deg = stretch * wrapped_lon_deg(point[1] - middle.lon_deg)
        return hypot(point[0] - middle.lat_deg, east_deg) < _NEAR_DEG

    for road in sortie.landmarks:
        if road.kind in _DRAWN:
            points = tuple(filter(is_near, _thinned(road.points)))
            if len(points) > 1:
                yield MapLine(name=road.name, kind=road.kind, points=points)


def _thinned(points: tuple[LatLon, ...]) -> Iterator[LatLon]:
    """Yield the first and last point, and those between that are not close to the one before."""
    yield points[0]
    last = points[0]
    for here in points[1:-1]:
        if hypot(here[0] - last[0], here[1] - last[1]) >= _FINE_DEG:
            yield here
            last = here
    yield points[-1]
