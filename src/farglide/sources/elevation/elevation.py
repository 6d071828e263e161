"""Heights of the ground from GeoTIFF files and SRTM tiles, as one terrain over an area."""

import math
from collections.abc import Sequence
from pathlib import Path
from typing import Any, Final, NamedTuple

import numpy as np

from farglide.arrays import BoolArray, SingleArray
from farglide.atlas.terrain import HIGHEST_GROUND_M, LOWEST_GROUND_M, Terrain
from farglide.earth.box import Box
from farglide.earth.state import wrapped_lon_deg
from farglide.errors import SourceError
from farglide.sources.elevation.rasters import (
    ANEW,
    SRTM_VOID,
    RasterGrid,
    _check_raster,
    datum_of,
    grid_of,
    opened,
)
from farglide.sources.files import refused
from farglide.sources.quiet import quiet

MOST_POSTS: Final = 25_000_000
"""100 MB of heights: 150 km square at one arc second."""

_SAME: Final = 0.01  # of a step: rasters that fit differ by rounding alone
_ROUNDING: Final = 1e-6  # of a step, at the edges of the area
_FIT: Final = "Take files of one product."


class _Mosaic(NamedTuple):
    """Posts over the area, on the grid of the first file, and which of them a file has."""

    grid: RasterGrid
    heights_amsl_m: SingleArray
    covered: BoolArray
    files: dict[str, str]  # name of each file and where its posts lie
    datums: dict[str, None]


def read_elevation(paths: Sequence[Path], box: Box, void_amsl_m: float | None = None) -> Terrain:
    """Return the terrain over an area, put together from one or more files.

    Where files overlap, the first with a height counts. Posts without one are NaN: those the file
    marks, -32768, and those at `void_amsl_m`, for files that write sea or gaps as a number such as
    0. Files that only stand beside a raster are not read.
    """
    mosaic = _mosaic(paths, box, void_amsl_m)
    if not mosaic.covered.all():
        raise _uncovered(mosaic, ", ".join(str(path) for path in paths))
    return _terrain(mosaic)


def read_elevation_within(
    paths: Sequence[Path], box: Box, void_amsl_m: float | None = None
) -> Terrain:
    """Return the terrain over an area as far as files cover it; posts beyond are NaN.

    All else as `read_elevation`.
    """
    return _terrain(_mosaic(paths, box, void_amsl_m))


def _mosaic(paths: Sequence[Path], box: Box, void_amsl_m: float | None) -> _Mosaic:
    mosaic: _Mosaic | None = None
    for path in paths:
        try:
            with quiet(), opened(path) as dataset:
                _check_raster(dataset, path)
                datum = datum_of(dataset, path)  # first: in metres all bounds look wrong
                grid = grid_of(dataset, path)
                mosaic = mosaic or _blank(_target(grid, box), path)
                mosaic.files[path.name], mosaic.datums[datum] = str(grid), None
                _add(mosaic, dataset, grid, void_amsl_m, path)
        except SourceError:
            raise
        except Exception as error:  # a damaged file fails anywhere in the C libraries below
            reason = str(error.__cause__ or error).rstrip(". ")
            raise refused(path, f"cannot be read as elevation: {reason}.", ANEW) from error
    if mosaic is None:
        raise refused("elevation", "has no file; allowed: one or more.", "Name some.")
    return mosaic


def _target(grid: RasterGrid, box: Box) -> RasterGrid:
    """Return the posts, on the grid of a file, that enclose the area."""
    down = (grid.north_deg - box.north_deg) / grid.step_lat_deg
    right = wrapped_lon_deg(box.west_deg - grid.west_deg) / grid.step_lon_deg
    top, left = math.floor(down + _ROUNDING), math.floor(right + _ROUNDING)
    bottom = math.ceil((grid.north_deg - box.south_deg) / grid.step_lat_deg - _ROUNDING)
    east = math.ceil(right + box.width_deg / grid.step_lon_deg - _ROUNDING)
    return grid._replace(
        north_deg=grid.lat_deg(top),
        west_deg=grid.lon_deg(left),
        n_rows=max(bottom - top, 1) + 1,
        n_columns=max(east - left, 1) + 1,
    )


def _blank(target: RasterGrid, path: Path) -> _Mosaic:
    shape = target.n_rows, target.n_columns
    if shape[0] * shape[1] > MOST_POSTS:
        what = f"has {shape[0]} x {shape[1]} posts over the area; allowed: {MOST_POSTS} in all."
        raise refused(path, what, "Ask for a smaller area, or take coarser data.")
    return _Mosaic(target, np.full(shape, np.nan, np.float32), np.zeros(shape, bool), {}, {})


def _add(
    mosaic: _Mosaic, dataset: Any, grid: RasterGrid, void_amsl_m: float | None, path: Path
) -> None:
    """Put the posts of a file where the mosaic has none yet."""
    from rasterio.windows import Window

    whole = mosaic.grid
    down, right = _shift(whole, grid, path)
    top, bottom = max(down, 0), min(down + grid.n_rows, whole.n_rows)
    left, east = max(right, 0), min(right + grid.n_columns, whole.n_columns)
    if top >= bottom or left >= east:
        return
    window = Window(left - right, top - down, east - left, bottom - top)
    heights = _heights(dataset, window, void_amsl_m)
    _check_heights(heights, grid, left - right, top - down, path)
    known = mosaic.heights_amsl_m[top:bottom, left:east]
    np.copyto(known, heights, where=np.isnan(known))
    mosaic.covered[top:bottom, left:east] = True


def _shift(whole: RasterGrid, grid: RasterGrid, path: Path) -> tuple[int, int]:
    """Return how many rows and columns after the first post of the whole a file begins."""
    steps = (whole.step_lat_deg, whole.step_lon_deg), (grid.step_lat_deg, grid.step_lon_deg)
    if not np.allclose(*steps, rtol=1e-6, atol=0.0):
        first, here = (f"{lat:.6g}, {lon:.6g}°" for lat, lon in steps)
        what = f"has steps of {here}; allowed: those of the first file, {first}."
        raise refused(path, what, _FIT)
    middle_deg = grid.west_deg + 0.5 * (grid.n_columns - whole.n_columns) * grid.step_lon_deg
    turn_deg = wrapped_lon_deg(middle_deg - whole.west_deg) - middle_deg
    down = (whole.north_deg - grid.north_deg) / whole.step_lat_deg
    right = (grid.west_deg + turn_deg) / whole.step_lon_deg
    if max(abs(down - round(down)), abs(right - round(right))) > _SAME:
        what = "has its posts between those of the first file; allowed: on the same grid."
        raise refused(path, what, _FIT)
    return round(down), round(right)


def _heights(dataset: Any, window: Any, void_amsl_m: float | None) -> SingleArray:
    raw = dataset.read(1, window=window, masked=True)
    holes = np.ma.getmaskarray(raw) | (raw.data == SRTM_VOID)
    with np.errstate(over="ignore", invalid="ignore"):  # infinite heights are refused after this
        heights: SingleArray = raw.data.astype(np.float32)
        heights *= np.float32(dataset.scales[0])
        heights += np.float32(dataset.offsets[0])
    if void_amsl_m is not None:
        holes |= heights == void_amsl_m
    heights[holes] = np.nan
    return heights


def _check_heights(heights: SingleArray, grid: RasterGrid, left: int, top: int, path: Path) -> None:
    wrong = (heights < LOWEST_GROUND_M) | (heights > HIGHEST_GROUND_M)
    if wrong.any():
        row, column = np.argwhere(wrong)[0]
        post = f"post at {grid.lat_deg(top + row):.5f}, {grid.lon_deg(left + column):.5f}°"
        allowed = f"{LOWEST_GROUND_M:.0f} to {HIGHEST_GROUND_M:.0f} m"
        what = f"has a height of {heights[row, column]:g} m; allowed: {allowed}."
        remedy = "Are these feet (x 0.3048 = m), or is it a fill value to be stated as void?"
        raise refused(path, what, remedy, where=post)


def _uncovered(mosaic: _Mosaic, paths: str) -> SourceError:
    """Return the refusal of files that leave a part of the area out."""
    row, column = np.argwhere(~mosaic.covered)[0]
    lat_deg, lon_deg = mosaic.grid.lat_deg(row), wrapped_lon_deg(mosaic.grid.lon_deg(column))
    covered = "; ".join(f"{name} {where}" for name, where in mosaic.files.items())
    what = f"do not cover {lat_deg:.5f}, {lon_deg:.5f}° of the area. Covered: {covered}."
    return refused(paths, what, "Fetch the tiles around it, or ask for a smaller area.")


def _terrain(mosaic: _Mosaic) -> Terrain:
    grid = mosaic.grid
    return Terrain(
        heights_amsl_m=mosaic.heights_amsl_m,
        north_deg=min(grid.north_deg, 90.0),
        west_deg=wrapped_lon_deg(grid.west_deg),
        step_lat_deg=grid.step_lat_deg,
        step_lon_deg=grid.step_lon_deg,
        datum=" and ".join(mosaic.datums),
        origin=f"elevation {', '.join(mosaic.files)}",
    )
