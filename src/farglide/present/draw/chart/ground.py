"""Ground: shaded relief in a quiet grey, lit from the north-west, and the heights of its tops."""

from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import FloatArray
from farglide.outlook.charted import GroundGrid
from farglide.present.draw.chart.grid import bilinear, east_of_deg
from farglide.present.draw.chart.plane import Plane
from farglide.present.draw.chart.shapes import Raster
from farglide.present.draw.place import Point

DARKEST: Final = 84
"""Of 255: a third of black, on the steepest slope away from the light."""
_N_LEVELS: Final = 10
_CELL_PX: Final = 1.5
_LIGHT: Final = (-0.5, 0.5, 0.5**0.5)  # to the east, to the north, up: from the north-west, 45 deg
_STEEP: Final = 0.6
"""How steep the steepest twentieth of the ground is drawn: hills show on any ground."""
_MOST_RAISED: Final = 60.0
_LEAST_RELIEF_M: Final = 20.0
"""Flatter ground stays white: what would show are the steps of its heights."""
N_TOPS: Final = 3
_TOP_OVER_M: Final = 60.0
_APART_SHARE: Final = 0.22


class Top(NamedTuple):
    """A top of the ground: where it stands on the map, and how high it is."""

    at: Point
    amsl_m: float


def shaded(grid: GroundGrid | None, plane: Plane) -> list[Raster]:
    """Return the relief as one raster over the whole map; nothing without hills or heights.

    Source: common practice, no source (light from the north-west, slopes facing it white).
    """
    if grid is None:
        return []
    heights, step_m = heights_on(grid, plane)
    known = heights[~np.isnan(heights)]
    if not len(known) or float(np.ptp(known)) < _LEAST_RELIEF_M:
        return []
    down, right = np.gradient(heights, step_m)
    slope = np.hypot(down, right)
    steep = float(np.nanquantile(slope, 0.95))
    raised = min(max(_STEEP / max(steep, 1e-6), 1.0), _MOST_RAISED)
    east, north = raised * right, -raised * down
    light = _LIGHT[2] - _LIGHT[0] * east - _LIGHT[1] * north
    light /= np.sqrt(1.0 + east * east + north * north)
    dark = np.nan_to_num(np.clip(1.0 - light / _LIGHT[2], 0.0, 1.0))
    ink = np.round(dark * _N_LEVELS) * (DARKEST / _N_LEVELS)
    return [Raster(box=plane.edges, ink=ink.astype(np.uint8))]


def heights_on(grid: GroundGrid, plane: Plane) -> tuple[FloatArray, float]:
    """Return heights over the map, rows from the top, and how many metres one cell is wide."""
    n_rows, n_columns = (max(2, round(one / _CELL_PX)) for one in (plane.height_px, plane.width_px))
    lat, lon = plane.places(n_rows, n_columns)
    row = (grid.north_deg - lat) / grid.step_lat_deg
    column = east_of_deg(grid.west_deg, lon) / grid.step_lon_deg
    step_m = plane.width_px / n_columns / plane.px_per_m
    return bilinear(np.array(grid.amsl_m), row, column), step_m


def tops(grid: GroundGrid | None, plane: Plane) -> list[Top]:
    """Return the highest tops on the map, far from one another; none over flat ground."""
    if grid is None:
        return []
    heights, _ = heights_on(grid, plane)
    if np.isnan(heights).all():
        return []
    low = float(np.nanmedian(heights))
    least = low + max(_TOP_OVER_M, 0.25 * (float(np.nanmax(heights)) - low))
    found: list[Top] = []
    left = np.nan_to_num(heights, nan=-1e9)
    rim = round(14.0 / _CELL_PX)
    left[:rim], left[-rim:], left[:, :rim], left[:, -rim:] = -1e9, -1e9, -1e9, -1e9
    y, x = np.indices(left.shape) + 0.5
    apart = _APART_SHARE * max(left.shape)
    while len(found) < N_TOPS and float(left.max()) > least:
        i, j = np.unravel_index(int(np.argmax(left)), left.shape)
        here = Point(
            float(x[i, j]) * plane.width_px / left.shape[1],
            float(y[i, j]) * plane.height_px / left.shape[0],
        )
        found.append(Top(here, float(heights[i, j])))
        left[np.hypot(y - y[i, j], x - x[i, j]) < apart] = -1e9
    return found
