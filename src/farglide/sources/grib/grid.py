"""A regular latitude/longitude grid: where a place lies in it, and its bilinear weights."""

import math
from dataclasses import dataclass
from typing import Final

from farglide.arrays import FloatArray

_EDGE: Final = 1e-6  # of a cell: rounding of the grid's own corners


@dataclass(frozen=True, slots=True, kw_only=True)
class Grid:
    """Points at `first + index * step`; steps are negative where rows run south or columns west."""

    n_rows: int
    n_columns: int
    first_lat_deg: float
    lat_step_deg: float
    first_lon_deg: float
    lon_step_deg: float

    @property
    def goes_round(self) -> bool:
        """Return whether the last column borders on the first across the whole circle."""
        return self.n_columns * abs(self.lon_step_deg) > 360.0 - 0.5 * abs(self.lon_step_deg)

    @property
    def bounds_text(self) -> str:
        """Return the outermost grid points in words.

        >>> Grid(
        ...     n_rows=3, n_columns=4, first_lat_deg=50.0, lat_step_deg=-2.5,
        ...     first_lon_deg=0.0, lon_step_deg=2.5,
        ... ).bounds_text
        'latitude 45 to 50, longitude 0 to 7.5'
        """
        lats = (self.first_lat_deg, self.first_lat_deg + (self.n_rows - 1) * self.lat_step_deg)
        lons = (self.first_lon_deg, self.first_lon_deg + (self.n_columns - 1) * self.lon_step_deg)
        some = f"longitude {min(lons):g} to {max(lons):g}"
        around = "all longitudes" if self.goes_round else some
        return f"latitude {min(lats):g} to {max(lats):g}, {around}"


@dataclass(frozen=True, slots=True, kw_only=True)
class GridPlace:
    """The four grid points around a place: two rows, two columns, and the weight of the second."""

    rows: tuple[int, int]
    columns: tuple[int, int]
    row_weight: float
    column_weight: float

    def value(self, first_row: FloatArray, second_row: FloatArray) -> float:
        """Return the bilinear value from the two rows read whole; NaN if one point is missing."""
        a, b = self.columns
        upper = _mix(first_row[a], first_row[b], self.column_weight)
        lower = _mix(second_row[a], second_row[b], self.column_weight)
        return _mix(upper, lower, self.row_weight)


def spot(grid: Grid, lat_deg: float, lon_deg: float) -> GridPlace | None:
    """Return where a place lies between the grid points, or None outside the outermost ones.

    Longitudes are compared on the circle, so it does not matter whether the grid counts from 0 or
    from -180, nor whether it crosses the date line.
    """
    row = (lat_deg - grid.first_lat_deg) / grid.lat_step_deg
    turn = 360.0 / abs(grid.lon_step_deg)
    column = ((lon_deg - grid.first_lon_deg) / grid.lon_step_deg) % turn
    if turn - column < _EDGE:
        column = 0.0
    if not -_EDGE <= row <= grid.n_rows - 1 + _EDGE:
        return None
    if not grid.goes_round and column > grid.n_columns - 1 + _EDGE:
        return None
    rows, row_weight = _between(row, grid.n_rows)
    if grid.goes_round:
        left = min(math.floor(column), grid.n_columns - 1)
        columns, column_weight = (left, (left + 1) % grid.n_columns), min(column - left, 1.0)
    else:
        columns, column_weight = _between(column, grid.n_columns)
    return GridPlace(rows=rows, columns=columns, row_weight=row_weight, column_weight=column_weight)


def _between(place: float, n: int) -> tuple[tuple[int, int], float]:
    place = min(max(place, 0.0), n - 1.0)
    low = min(math.floor(place), max(n - 2, 0))
    return (low, min(low + 1, n - 1)), place - low


def _mix(first: float, second: float, weight: float) -> float:
    """Return the weighted mean; a point without weight does not count, even if it is missing."""
    if weight == 0.0:
        return float(first)
    if weight == 1.0:
        return float(second)
    return float(first + weight * (second - first))
