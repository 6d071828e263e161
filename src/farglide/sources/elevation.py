"""Heights of the ground from GeoTIFF files and SRTM tiles, as one terrain over an area."""

import math
import re
import warnings
import zipfile
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any, Final, NamedTuple

import numpy as np
from pyproj import CRS

from farglide.arrays import BoolArray, SingleArray
from farglide.atlas.terrain import HIGHEST_GROUND_M, LOWEST_GROUND_M, Box, Terrain
from farglide.earth.state import wrapped_lon_deg
from farglide.errors import SourceError
from farglide.sources.files import beginning, n_bytes, refused
from farglide.sources.quiet import quiet

MOST_POSTS: Final = 25_000_000
"""100 MB of heights: 150 km square at one arc second."""

_SRTM_DATUM: Final = "EGM96"  # SRTM documentation, 3.1, as two open pages quote it
_SRTM_VOID: Final = -32768
_SRTM_BYTES: Final = (2 * 1201**2, 2 * 3601**2)
_SRTM_NAME: Final = re.compile(r"[NS]\d\d[EW]\d\d\d.*\.hgt", re.IGNORECASE)
_METRES: Final = ("", "m", "metre", "metres", "meter", "meters")
_KINDS: Final = ("int8", "uint8", "int16", "uint16", "int32", "uint32", "float32", "float64")
_SAME: Final = 0.01  # of a step: rasters that fit differ by rounding alone
_ROUNDING: Final = 1e-6  # of a step, at the edges of the area
_LARGEST_BLOCK: Final = 1 << 26
_AGAIN: Final = "The download stopped early: fetch it again."
_ANEW: Final = "It is damaged: fetch it again, as binary."
_FIT: Final = "Take files of one product."
_CONVERT: Final = "Convert it to latitude and longitude (EPSG:4326)."


class _Grid(NamedTuple):
    """Posts of one file: the first, the steps, and how many."""

    north_deg: float
    west_deg: float
    step_lat_deg: float
    step_lon_deg: float
    n_rows: int
    n_columns: int

    def __str__(self) -> str:
        """Return between which parallels and meridians the posts lie."""
        south_deg, east_deg = self.lat_deg(self.n_rows - 1), self.lon_deg(self.n_columns - 1)
        lats = f"latitude {south_deg:.5f} to {self.north_deg:.5f}"
        return f"{lats}, longitude {self.west_deg:.5f} to {east_deg:.5f} deg"

    def lat_deg(self, row: int) -> float:
        """Return the latitude of a row of posts."""
        return self.north_deg - row * self.step_lat_deg

    def lon_deg(self, column: int) -> float:
        """Return the longitude of a column of posts, whole turns left in."""
        return self.west_deg + column * self.step_lon_deg


class _Mosaic(NamedTuple):
    """Posts over the area, on the grid of the first file, and which of them a file has."""

    grid: _Grid
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
            with quiet(), _opened(path) as dataset:
                _check_raster(dataset, path)
                datum = _datum(dataset, path)  # first: in metres all bounds look wrong
                grid = _grid(dataset, path)
                mosaic = mosaic or _blank(_target(grid, box), path)
                mosaic.files[path.name], mosaic.datums[datum] = str(grid), None
                _add(mosaic, dataset, grid, void_amsl_m, path)
        except SourceError:
            raise
        except Exception as error:  # a damaged file fails anywhere in the C libraries below
            reason = str(error.__cause__ or error).rstrip(". ")
            raise refused(path, f"cannot be read as elevation: {reason}.", _ANEW) from error
    if mosaic is None:
        raise refused("elevation", "has no file; allowed: one or more.", "Name some.")
    return mosaic


@contextmanager
def _opened(path: Path) -> Iterator[Any]:
    """Open a raster of one of the two formats."""
    import rasterio
    from rasterio.errors import NotGeoreferencedWarning
    from rasterio.io import MemoryFile

    # Only this file: nothing that stands beside it.
    lone = rasterio.Env(GDAL_PAM_ENABLED="NO", GDAL_DISABLE_READDIR_ON_OPEN="EMPTY_DIR")
    with warnings.catch_warnings(), lone:
        warnings.simplefilter("ignore", NotGeoreferencedWarning)  # refused below, in words
        if beginning(path, 4) == b"PK\x03\x04":
            name, data = _unzipped(path)
            with MemoryFile(data, filename=name) as held, held.open(driver="SRTMHGT") as dataset:
                yield dataset
        else:
            driver = "SRTMHGT" if path.suffix.lower() == ".hgt" else "GTiff"
            if driver == "SRTMHGT":
                _check_tile(path.name, n_bytes(path), path)
            with rasterio.open(str(path.absolute()), driver=driver) as dataset:
                yield dataset


def _unzipped(path: Path) -> tuple[str, bytes]:
    """Return name and bytes of the one SRTM tile in an archive."""
    with zipfile.ZipFile(path) as archive:
        tiles = [item for item in archive.infolist() if item.filename.lower().endswith(".hgt")]
        if len(tiles) != 1:
            what = f"holds {len(tiles)} tiles; allowed: one .hgt."
            raise refused(path, what, "Unpack it and name its files.", where="zip archive")
        name = Path(tiles[0].filename).name
        _check_tile(name, tiles[0].file_size, path)
        return name, archive.read(tiles[0])


def _check_tile(name: str, size: int, path: Path) -> None:
    """Refuse an SRTM tile whose name gives no corner, or whose size is none of the two.

    Source: SRTM documentation, 3.1 (big-endian 16-bit heights, 1201 or 3601 posts square, lower
    left corner in the name), as open pages quote it.
    """
    if not _SRTM_NAME.fullmatch(name):
        what = f"is called {name!r}; allowed: the south-west corner, as in N46E008.hgt."
        raise refused(path, what, "Give it back the name it was fetched under.")
    if size not in _SRTM_BYTES:
        coarse, fine = _SRTM_BYTES
        what = f"holds {size} bytes; allowed: {coarse} (3 arc seconds), {fine} (1)."
        raise refused(path, what, _AGAIN)


def _check_raster(dataset: Any, path: Path) -> None:
    """Refuse a raster that is not one whole band of heights in metres."""
    if dataset.count != 1 or dataset.dtypes[0] not in _KINDS:
        what = f"holds {dataset.count} bands of {dataset.dtypes[0]}; allowed: one of plain numbers."
        raise refused(path, what, "Is it a picture? Fetch the heights.")
    unit = str(dataset.units[0] or "")
    if unit.strip().lower() not in _METRES:
        what = f"has heights in {unit!r}; allowed: metres."
        raise refused(path, what, "Feet x 0.3048 = m.", where="band 1")
    if dataset.driver == "GTiff":
        _check_blocks(dataset, path)


def _check_blocks(dataset: Any, path: Path) -> None:
    """Refuse a GeoTIFF some of whose blocks lie beyond its end, be they wanted or not."""
    size, (n_down, n_across) = n_bytes(path), dataset.block_shapes[0]
    n_rows, n_columns = math.ceil(dataset.height / n_down), math.ceil(dataset.width / n_across)
    # Each block's place takes four bytes or more of the file.
    if n_down * n_across > _LARGEST_BLOCK or n_rows * n_columns > size // 4:
        what = f"has {n_rows} x {n_columns} blocks of {n_down} x {n_across} posts by its head."
        raise refused(path, what, _ANEW)
    for i, j in np.ndindex(n_rows, n_columns):
        start = dataset.get_tag_item(f"BLOCK_OFFSET_{j}_{i}", "TIFF", bidx=1) or 0
        length = dataset.get_tag_item(f"BLOCK_SIZE_{j}_{i}", "TIFF", bidx=1) or 0
        if int(start) + int(length) > size:
            what = f"is cut short: {size} bytes of at least {int(start) + int(length)} are there."
            raise refused(path, what, _AGAIN, where=f"block {i}, {j}")


def _grid(dataset: Any, path: Path) -> _Grid:
    t = dataset.transform
    if t.is_identity:
        what = "does not say where on the Earth it lies."
        raise refused(path, what, "Fetch a GeoTIFF with coordinates in EPSG:4326.")
    if t.b != 0.0 or t.d != 0.0 or not (t.a > 0.0 > t.e):
        what = "is turned or mirrored; allowed: rows from north to south, columns eastwards."
        raise refused(path, what, "Warp it to a north-up EPSG:4326 grid.")
    n_rows, n_columns = dataset.height, dataset.width
    north_deg, west_deg = t.f + 0.5 * t.e, t.c + 0.5 * t.a
    south_deg = north_deg + (n_rows - 1) * t.e
    fits = -90.01 <= south_deg <= north_deg <= 90.01 and -360.0 <= west_deg <= 360.0
    if not fits or t.a * (n_columns - 1) > 360.0:
        first = f"{north_deg:g}, {west_deg:g} deg"
        what = f"reaches off the Earth: {n_rows} x {n_columns} posts from {first}."
        raise refused(path, what, _ANEW)
    return _Grid(north_deg, wrapped_lon_deg(west_deg), -t.e, t.a, n_rows, n_columns)


def _datum(dataset: Any, path: Path) -> str:
    """Return what the file says its heights are counted from; refuse what is not WGS 84."""
    if dataset.crs is None:
        what = "names no coordinate system: it does not say where on the Earth it lies."
        raise refused(path, what, _CONVERT)
    crs = CRS.from_wkt(dataset.crs.to_wkt())
    parts = crs.sub_crs_list if crs.is_compound else [crs]
    if not parts[0].equals(CRS.from_epsg(4326), ignore_axis_order=True):
        name = crs.name if crs.to_epsg() is None else f"{crs.name} (EPSG:{crs.to_epsg()})"
        kind = "" if parts[0].is_geographic else ", a coordinate system that is not geographic"
        what = f"is in {name}{kind}; allowed: latitude and longitude in WGS 84, sea level."
        raise refused(path, what, _CONVERT)
    if len(parts) == 1:
        return _SRTM_DATUM if dataset.driver == "SRTMHGT" else "unknown"
    axis = parts[1].axis_info[0]
    if axis.unit_name != "metre" or axis.direction != "up":
        what = f"counts heights {axis.direction} in {axis.unit_name}; allowed: up, in metre."
        raise refused(path, what, "Fetch heights above sea level in metres.")
    return str(parts[1].name)


def _target(grid: _Grid, box: Box) -> _Grid:
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


def _blank(target: _Grid, path: Path) -> _Mosaic:
    shape = target.n_rows, target.n_columns
    if shape[0] * shape[1] > MOST_POSTS:
        what = f"has {shape[0]} x {shape[1]} posts over the area; allowed: {MOST_POSTS} in all."
        raise refused(path, what, "Ask for a smaller area, or take coarser data.")
    return _Mosaic(target, np.full(shape, np.nan, np.float32), np.zeros(shape, bool), {}, {})


def _add(mosaic: _Mosaic, dataset: Any, grid: _Grid, void_amsl_m: float | None, path: Path) -> None:
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


def _shift(whole: _Grid, grid: _Grid, path: Path) -> tuple[int, int]:
    """Return how many rows and columns after the first post of the whole a file begins."""
    steps = (whole.step_lat_deg, whole.step_lon_deg), (grid.step_lat_deg, grid.step_lon_deg)
    if not np.allclose(*steps, rtol=1e-6, atol=0.0):
        first, here = (f"{lat:.6g}, {lon:.6g} deg" for lat, lon in steps)
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
    holes = np.ma.getmaskarray(raw) | (raw.data == _SRTM_VOID)
    with np.errstate(over="ignore", invalid="ignore"):  # infinite heights are refused after this
        heights: SingleArray = raw.data.astype(np.float32)
        heights *= np.float32(dataset.scales[0])
        heights += np.float32(dataset.offsets[0])
    if void_amsl_m is not None:
        holes |= heights == void_amsl_m
    heights[holes] = np.nan
    return heights


def _check_heights(heights: SingleArray, grid: _Grid, left: int, top: int, path: Path) -> None:
    wrong = (heights < LOWEST_GROUND_M) | (heights > HIGHEST_GROUND_M)
    if wrong.any():
        row, column = np.argwhere(wrong)[0]
        post = f"post at {grid.lat_deg(top + row):.5f}, {grid.lon_deg(left + column):.5f} deg"
        allowed = f"{LOWEST_GROUND_M:.0f} to {HIGHEST_GROUND_M:.0f} m"
        what = f"has a height of {heights[row, column]:g} m; allowed: {allowed}."
        remedy = "Are these feet (x 0.3048 = m), or is it a fill value to be stated as void?"
        raise refused(path, what, remedy, where=post)


def _uncovered(mosaic: _Mosaic, paths: str) -> SourceError:
    """Return the refusal of files that leave a part of the area out."""
    row, column = np.argwhere(~mosaic.covered)[0]
    lat_deg, lon_deg = mosaic.grid.lat_deg(row), wrapped_lon_deg(mosaic.grid.lon_deg(column))
    covered = "; ".join(f"{name} {where}" for name, where in mosaic.files.items())
    what = f"do not cover {lat_deg:.5f}, {lon_deg:.5f} deg of the area. Covered: {covered}."
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
