"""Rasters: files of heights opened and looked at, before any height is read."""

import math
import re
import warnings
import zipfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, Final, NamedTuple

import numpy as np
from pyproj import CRS

from farglide.earth.state import wrapped_lon_deg
from farglide.sources.files import beginning, n_bytes, refused

_SRTM_DATUM: Final = "EGM96"  # SRTM documentation, 3.1, as two open pages quote it


SRTM_VOID: Final = -32768


_SRTM_BYTES: Final = (2 * 1201**2, 2 * 3601**2)


_SRTM_NAME: Final = re.compile(r"[NS]\d\d[EW]\d\d\d.*\.hgt", re.IGNORECASE)


_METRES: Final = ("", "m", "metre", "metres", "meter", "meters")


_KINDS: Final = ("int8", "uint8", "int16", "uint16", "int32", "uint32", "float32", "float64")


_LARGEST_BLOCK: Final = 1 << 26


AGAIN: Final = "The download stopped early: fetch it again."


ANEW: Final = "It is damaged: fetch it again, as binary."


CONVERT: Final = "Convert it to latitude and longitude (EPSG:4326)."


class RasterGrid(NamedTuple):
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
        return f"{lats}, longitude {self.west_deg:.5f} to {east_deg:.5f}°"

    def lat_deg(self, row: int) -> float:
        """Return the latitude of a row of posts."""
        return self.north_deg - row * self.step_lat_deg

    def lon_deg(self, column: int) -> float:
        """Return the longitude of a column of posts, whole turns left in."""
        return self.west_deg + column * self.step_lon_deg


@contextmanager
def opened(path: Path) -> Iterator[Any]:
    """Open a raster of one of the two formats."""
    import rasterio
    from rasterio.errors import NotGeoreferencedWarning
    from rasterio.io import MemoryFile

    # Only this file: nothing that stands beside it.
    lone = rasterio.Env(GDAL_PAM_ENABLED="NO", GDAL_DISABLE_READDIR_ON_OPEN="EMPTY_DIR")
    with warnings.catch_warnings(), lone:
        warnings.simplefilter("ignore", NotGeoreferencedWarning)  # refused below, in words
        if beginning(path, 4) == b"PK\x03\x04":
            name, data = unzipped(path)
            with MemoryFile(data, filename=name) as held, held.open(driver="SRTMHGT") as dataset:
                yield dataset
        else:
            driver = "SRTMHGT" if path.suffix.lower() == ".hgt" else "GTiff"
            if driver == "SRTMHGT":
                _check_tile(path.name, n_bytes(path), path)
            with rasterio.open(str(path.absolute()), driver=driver) as dataset:
                yield dataset


def unzipped(path: Path) -> tuple[str, bytes]:
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
        raise refused(path, what, AGAIN)


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
        raise refused(path, what, ANEW)
    for i, j in np.ndindex(n_rows, n_columns):
        start = dataset.get_tag_item(f"BLOCK_OFFSET_{j}_{i}", "TIFF", bidx=1) or 0
        length = dataset.get_tag_item(f"BLOCK_SIZE_{j}_{i}", "TIFF", bidx=1) or 0
        if int(start) + int(length) > size:
            what = f"is cut short: {size} bytes of at least {int(start) + int(length)} are there."
            raise refused(path, what, AGAIN, where=f"block {i}, {j}")


def grid_of(dataset: Any, path: Path) -> RasterGrid:
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
        first = f"{north_deg:g}, {west_deg:g}°"
        what = f"reaches off the Earth: {n_rows} x {n_columns} posts from {first}."
        raise refused(path, what, ANEW)
    return RasterGrid(north_deg, wrapped_lon_deg(west_deg), -t.e, t.a, n_rows, n_columns)


def datum_of(dataset: Any, path: Path) -> str:
    """Return what the file says its heights are counted from; refuse what is not WGS 84."""
    if dataset.crs is None:
        what = "names no coordinate system: it does not say where on the Earth it lies."
        raise refused(path, what, CONVERT)
    crs = CRS.from_wkt(dataset.crs.to_wkt())
    parts = crs.sub_crs_list if crs.is_compound else [crs]
    if not parts[0].equals(CRS.from_epsg(4326), ignore_axis_order=True):
        name = crs.name if crs.to_epsg() is None else f"{crs.name} (EPSG:{crs.to_epsg()})"
        kind = "" if parts[0].is_geographic else ", a coordinate system that is not geographic"
        what = f"is in {name}{kind}; allowed: latitude and longitude in WGS 84, sea level."
        raise refused(path, what, CONVERT)
    if len(parts) == 1:
        return _SRTM_DATUM if dataset.driver == "SRTMHGT" else "unknown"
    axis = parts[1].axis_info[0]
    if axis.unit_name != "metre" or axis.direction != "up":
        what = f"counts heights {axis.direction} in {axis.unit_name}; allowed: up, in metre."
        raise refused(path, what, "Fetch heights above sea level in metres.")
    return str(parts[1].name)
