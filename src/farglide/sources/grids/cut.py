"""Cut: which rows and columns of a layout cover an area, and the axes they make."""

import math
from dataclasses import dataclass
from pathlib import Path
from typing import Final

import numpy as np

from farglide.arrays import FloatArray, IntArray, SingleArray
from farglide.earth.box import Box
from farglide.errors import SourceError, UncoveredError
from farglide.sources.grids.layout import EvenLayout

_EDGE: Final = 1e-4  # of a step: rounding of the grid's own corners


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """Rows from the first of `rows` in the file's order, columns by their places in the file."""

    rows: slice
    columns: IntArray
    lat_deg: FloatArray  # rising
    lon_deg: FloatArray  # rising, past 180 where the cut crosses that meridian

    def of(self, plane: SingleArray) -> SingleArray:
        """Return the part of a plane with rows from the north, its own rows from the south."""
        return plane[self.rows][::-1, self.columns]


def cut(path: Path | str, layout: EvenLayout, box: Box | None) -> Cut:
    """Return the part of a layout that covers the box, to the next point outside it.

    Raises where it does not reach so far, and names the side.
    """
    rows = _rows(path, layout, box)
    first, n, west = _columns(path, layout, box)
    lats = layout.lat_deg[rows][::-1]
    return Cut(
        rows=rows,
        columns=np.arange(first, first + n, dtype=np.int64) % _n_apart(layout),
        lat_deg=np.ascontiguousarray(lats),
        lon_deg=west + layout.lon_step_deg * np.arange(n, dtype=np.float64),
    )


def _n_apart(layout: EvenLayout) -> int:
    """Return how many columns there are before one stands where another does."""
    return layout.n_round if layout.goes_round else layout.n_columns


def _rows(path: Path | str, layout: EvenLayout, box: Box | None) -> slice:
    if box is None:
        return slice(0, layout.n_rows)
    step = (layout.north_deg - layout.south_deg) / (layout.n_rows - 1)
    first = math.floor((layout.north_deg - box.north_deg) / step + _EDGE)
    last = math.ceil((layout.north_deg - box.south_deg) / step - _EDGE)
    if first < 0:
        raise _short(path, "north", f"latitude {layout.north_deg:g}", f"{box.north_deg:g}")
    if last > layout.n_rows - 1:
        raise _short(path, "south", f"latitude {layout.south_deg:g}", f"{box.south_deg:g}")
    return slice(first, last + 1)


def _columns(path: Path | str, layout: EvenLayout, box: Box | None) -> tuple[int, int, float]:
    """Return the first column, how many there are, and the longitude of the first."""
    step = layout.lon_step_deg
    if box is None:
        return 0, _n_apart(layout), (layout.west_deg + 180.0) % 360.0 - 180.0
    offset = (box.west_deg - layout.west_deg) % 360.0 / step
    turn = 360.0 / step
    offset = offset - turn if turn - offset < _EDGE else offset
    first = math.floor(offset + _EDGE)
    last = math.ceil(offset + box.width_deg / step - _EDGE)
    width_deg = (layout.n_columns - 1) * step
    east_deg = (layout.west_deg + width_deg + 180.0) % 360.0 - 180.0
    if not layout.goes_round and last > layout.n_columns - 1:
        inside = offset <= layout.n_columns - 1
        limit = east_deg if inside else (layout.west_deg + 180.0) % 360.0 - 180.0
        side, needed = ("east", box.east_deg) if inside else ("west", box.west_deg)
        raise _short(path, side, f"longitude {limit:g}", f"{needed:g}")
    west_deg = layout.west_deg + first * step
    west_deg += 360.0 * round((box.west_deg - west_deg) / 360.0)
    return first, last - first + 1, west_deg


def _short(path: Path | str, side: str, ends: str, needed: str) -> SourceError:
    what = f"does not cover the area in the {side}: it ends at {ends}, needed is {needed}."
    remedy = "Fetch the forecast of an area larger by a step of its grid."
    return UncoveredError(str(path), "", what, remedy)
