"""Lambert: fields of a Lambert conformal map, brought to even steps of latitude and longitude."""

import math
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final, NamedTuple

import numpy as np
from pyproj import Proj

from farglide.arrays import FloatArray, IntArray, SingleArray
from farglide.earth.box import Box
from farglide.sources.files import refused
from farglide.sources.grids.layout import LambertLayout

_STEPS_DEG: Final = (1.0, 0.5, 0.25, 0.2, 0.1, 0.05, 0.025, 0.02, 0.01)
"""The coarsest that is no coarser than the map is taken."""
_M_PER_DEG: Final = 111_195.0  # of a meridian on a sphere of 6 371 km
_NORTHWARD_DEG: Final = 1e-4  # how far apart two points are whose direction is north
_EDGE: Final = 1e-6  # of a step of the map


@dataclass(frozen=True, slots=True, kw_only=True)
class LambertCut:
    """Even steps over a map, where each point lies in it, and how north is turned there.

    `rows` and `columns` are of the four points around each, `row_weight` and `column_weight` of the
    second ones; a point outside the map has a weight of NaN. Shapes are (n_rows, n_columns).
    """

    lat_deg: FloatArray
    lon_deg: FloatArray
    rows: IntArray
    columns: IntArray
    row_weight: SingleArray
    column_weight: SingleArray
    turn_rad: FloatArray  # of north against up in the map, clockwise

    def of(self, plane: SingleArray) -> SingleArray:
        """Return the bilinear values of a plane that has its rows from the top of the map down."""
        i, j, a, b = self.rows, self.columns, self.row_weight, self.column_weight
        upper = plane[i, j] + b * (plane[i, j + 1] - plane[i, j])
        lower = plane[i + 1, j] + b * (plane[i + 1, j + 1] - plane[i + 1, j])
        return np.asarray(upper + a * (lower - upper), np.float32)

    def turned(self, x_mps: SingleArray, y_mps: SingleArray) -> tuple[SingleArray, SingleArray]:
        """Return winds to the east and north of winds along the rows and up the columns.

        East of a point lies a quarter turn clockwise from its north, since the map is conformal.
        """
        cos, sin = np.cos(self.turn_rad), np.sin(self.turn_rad)
        east = x_mps * cos - y_mps * sin
        north = x_mps * sin + y_mps * cos
        return east.astype(np.float32), north.astype(np.float32)


class _Points(NamedTuple):
    """Places, and the projection that brings them onto a map."""

    lat_deg: FloatArray
    lon_deg: FloatArray
    projection: Any


def lambert_cut(path: Path | str, layout: LambertLayout, box: Box | None) -> LambertCut:
    """Return even steps over the map, or over the box; raise where the map does not cover it."""
    projection = projection_of(path, layout)
    step = _step_deg(layout)
    lat_deg, lon_deg = _axes(projection, layout, box, step)
    found = cut_at(projection, layout, lat_deg, lon_deg)
    if box is not None:
        lat, lon = np.meshgrid(lat_deg, lon_deg, indexing="ij")
        _check_covers(path, layout, box, _Points(lat, lon, projection))
    return found


def cut_at(
    projection: Any, layout: LambertLayout, lat_deg: FloatArray, lon_deg: FloatArray
) -> LambertCut:
    """Return where the points of these parallels and meridians lie in a map."""
    lat, lon = np.meshgrid(lat_deg, lon_deg, indexing="ij")
    row, column = _places(projection, layout, lat, lon)
    shape = (layout.n_rows, layout.n_columns)
    outside = np.zeros(lat.shape, bool)
    for place, n in zip((row, column), shape, strict=True):
        outside |= ~((place >= -_EDGE) & (place <= n - 1 + _EDGE))
    rows, row_weight = _between(row, layout.n_rows, outside)
    columns, column_weight = _between(column, layout.n_columns, outside)
    return LambertCut(
        lat_deg=lat_deg,
        lon_deg=lon_deg,
        rows=rows,
        columns=columns,
        row_weight=row_weight,
        column_weight=column_weight,
        turn_rad=_turn_rad(projection, lat, lon),
    )


def projection_of(path: Path | str, layout: LambertLayout) -> Any:
    """Return the projection that a layout tells; raise where its numbers make none."""
    first, second = layout.parallels_deg
    few = min(layout.n_rows, layout.n_columns) < 2 or min(layout.x_step_m, layout.y_step_m) <= 0.0
    round_ = all(6.3e6 < radius < 6.4e6 for radius in layout.radius_m)
    conic = 1.0 <= abs(first) < 90.0 and abs(second) < 90.0 and first * second > 0.0
    if few or not conic or not round_ or abs(layout.first_lat_deg) >= 90.0:
        what = "has a Lambert conformal map whose parallels, steps or earth cannot be."
        raise refused(path, what, "The file is damaged: fetch it again, as binary.")
    major, minor = layout.radius_m
    cone = {"lat_1": first, "lat_2": second, "lat_0": first, "lon_0": layout.lon_up_deg}
    return Proj({"proj": "lcc", "a": major, "b": minor, **cone})


def _step_deg(layout: LambertLayout) -> float:
    wide = min(layout.x_step_m, layout.y_step_m) / _M_PER_DEG
    return next((step for step in _STEPS_DEG if step <= wide), _STEPS_DEG[-1])


def _axes(
    projection: Any, layout: LambertLayout, box: Box | None, step: float
) -> tuple[FloatArray, FloatArray]:
    """Return whole multiples of the step that cover the box, or all of the map."""
    if box is not None:
        lats, lons = (box.south_deg, box.north_deg), (box.west_deg, box.west_deg + box.width_deg)
    else:
        x, y = _map_axes(projection, layout)
        lon, lat = projection(*np.meshgrid(x, y), inverse=True)
        turned = (lon - layout.lon_up_deg + 180.0) % 360.0 - 180.0
        up = (layout.lon_up_deg + 180.0) % 360.0 - 180.0
        lats, lons = (lat.min(), lat.max()), (up + turned.min(), up + turned.max())
    return _multiples(*lats, step), _multiples(*lons, step)


def _multiples(low: float, high: float, step: float) -> FloatArray:
    first, last = math.floor(low / step + _EDGE), math.ceil(high / step - _EDGE)
    return step * np.arange(first, last + 1, dtype=np.float64)


def _map_axes(projection: Any, layout: LambertLayout) -> tuple[FloatArray, FloatArray]:
    """Return x of the columns and y of the rows, from the top down, in metres on the map."""
    x, y = projection(layout.first_lon_deg, layout.first_lat_deg)
    # Steps are told on the earth where the map is true; elsewhere they are scaled.
    scale = projection.get_factors(layout.lon_up_deg, layout.true_lat_deg).parallel_scale
    xs = x + scale * layout.x_step_m * np.arange(layout.n_columns)
    steps = scale * layout.y_step_m * np.arange(layout.n_rows)
    return xs, y - steps if layout.first_is_top else (y + steps)[::-1]


def _places(
    projection: Any, layout: LambertLayout, lat: FloatArray, lon: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Return rows from the top and columns, with fractions, of places."""
    xs, ys = _map_axes(projection, layout)
    x, y = projection(lon, np.clip(lat, -89.9, 89.9))
    return (y - ys[0]) / (ys[1] - ys[0]), (x - xs[0]) / (xs[1] - xs[0])


def _between(
    place: FloatArray, n: int, outside: np.ndarray[Any, np.dtype[np.bool_]]
) -> tuple[IntArray, SingleArray]:
    """Return the point before each place and the weight of the next, NaN outside the map."""
    inside = np.clip(np.where(np.isfinite(place), place, 0.0), 0.0, n - 1.0)
    low = np.minimum(inside.astype(np.int64), n - 2)
    weight = np.where(outside, np.nan, inside - low)
    return low, weight.astype(np.float32)


def _turn_rad(projection: Any, lat: FloatArray, lon: FloatArray) -> FloatArray:
    """Return how far north lies clockwise of up, by the map itself."""
    south = np.clip(lat, -89.9, 89.9)
    x, y = projection(lon, south)
    x_north, y_north = projection(lon, south + _NORTHWARD_DEG)
    turn_rad: FloatArray = np.arctan2(x_north - x, y_north - y)
    return turn_rad


def _check_covers(
    path: Path | str,
    layout: LambertLayout,
    box: Box,
    points: _Points,
) -> None:
    lat, lon, projection = points
    row, column = _places(projection, layout, lat, lon)
    in_box = (lat >= box.south_deg) & (lat <= box.north_deg)
    in_box &= (lon >= box.west_deg) & (lon <= box.west_deg + box.width_deg)
    beyond = {
        "north": row < -_EDGE, "south": row > layout.n_rows - 1 + _EDGE,
        "west": column < -_EDGE, "east": column > layout.n_columns - 1 + _EDGE,
    }  # fmt: skip
    sides = [side for side, out in beyond.items() if (out & in_box).any()]
    if sides:
        what = f"does not cover the area in the {' and '.join(sides)}."
        raise refused(path, what, "Fetch the forecast of a larger area.")
