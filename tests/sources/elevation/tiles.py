"""Tiles of heights, made for tests."""

from pathlib import Path
from typing import Any

import numpy as np
import rasterio
from numpy.typing import NDArray
from rasterio.transform import Affine

from farglide.earth.box import Box

REAL = "sierra_nevada_srtm3.tif"


STEP_DEG = 1.0 / 1200.0


def box(south: float, west: float, north: float, east: float) -> Box:
    """Return an area by its edges."""
    return Box(south_deg=south, west_deg=west, north_deg=north, east_deg=east)


CUT = box(36.85, -118.88, 37.0, -118.72)


SMALL = box(46.0, 8.0, 46.01, 8.01)


def make(path: Path, heights: NDArray[Any], **change: Any) -> Path:
    """Write a GeoTIFF whose first post is at 46.02 N 7.99 E, three arc seconds apart."""
    north, west = change.pop("first", (46.02, 7.99))
    step = change.pop("step", STEP_DEG)
    unit, scale = change.pop("unit", None), change.pop("scale", None)
    half = 0.5 * step
    form = {
        "driver": "GTiff", "height": heights.shape[-2], "width": heights.shape[-1], "count": 1,
        "dtype": heights.dtype, "crs": "EPSG:4326",
        "transform": Affine(step, 0.0, west - half, 0.0, -step, north + half),
    } | change  # fmt: skip
    with rasterio.open(path, "w", **form) as file:
        if unit is not None:
            file.units = (unit,)
        if scale is not None:
            file.scales, file.offsets = (scale[0],), (scale[1],)
        file.write(heights if heights.ndim == 3 else heights[None])
    return path


def tile(path: Path, n: int, heights: NDArray[Any] | None = None) -> Path:
    """Write an SRTM tile of n x n posts: rows times 2 plus columns, or these heights."""
    if heights is None:
        heights = 2 * np.arange(n)[:, None] + np.arange(n)[None, :]
    heights.astype(">i2").tofile(path)
    return path


HILL = (200 + np.add.outer(np.arange(48), 3 * np.arange(60))).astype(np.int16)
