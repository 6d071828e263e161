"""Terrain: heights of the ground on a grid of degrees, at points and along lines."""

import math
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from farglide.arrays import FloatArray, SingleArray
from farglide.atlas.posts import Posts, _fill_heights, _fill_rims, _slope_rad
from farglide.earth.state import Place, check_lat_lon, wrapped_lon_deg
from farglide.errors import InputError

LOWEST_GROUND_M: Final = -500.0
HIGHEST_GROUND_M: Final = 9000.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Terrain:
    """Heights of the ground at posts, rows from north to south, columns from west to east.

    `heights_amsl_m`: (n_rows, n_columns), NaN where unknown. `north_deg` and `west_deg` are those
    of the first post. It may lie across the 180th meridian. `datum` says what the heights are
    counted from, `origin` where they come from.
    """

    heights_amsl_m: SingleArray
    north_deg: float
    west_deg: float
    step_lat_deg: float
    step_lon_deg: float
    datum: str
    origin: str

    def __post_init__(self) -> None:
        check_lat_lon(self.north_deg, self.west_deg)
        self._check_heights()
        n_rows, n_columns = self.heights_amsl_m.shape
        for name, n, widest_deg in (
            ("step_lat_deg", n_rows, self.north_deg + 90.0),
            ("step_lon_deg", n_columns, 360.0),
        ):
            step_deg, most_deg = getattr(self, name), widest_deg / (n - 1)
            if not 0.0 < step_deg <= most_deg * (1.0 + 1e-9):
                allowed = f"more than 0 to {most_deg:g}° for {n} posts"
                raise InputError(name, f"{step_deg}°", allowed, "Rows run from north to south.")
        for name in ("datum", "origin"):
            if not getattr(self, name).strip():
                raise InputError(name, "blank", "words", 'Say "unknown" if it is.')
        object.__setattr__(self, "west_deg", wrapped_lon_deg(self.west_deg))
        object.__setattr__(self, "heights_amsl_m", np.ascontiguousarray(self.heights_amsl_m))

    def _check_heights(self) -> None:
        heights = self.heights_amsl_m
        if heights.dtype != np.float32 or heights.ndim != 2 or min(heights.shape) < 2:
            what = f"{heights.dtype} of shape {heights.shape}"
            raise InputError("heights_amsl_m", what, "float32, 2 or more rows and columns")
        wrong = (heights < LOWEST_GROUND_M) | (heights > HIGHEST_GROUND_M)
        if wrong.any():
            row, column = np.argwhere(wrong)[0]
            raise InputError(
                f"heights_amsl_m at row {row}, column {column}",
                f"{heights[row, column]:g} m",
                f"{LOWEST_GROUND_M:.0f} to {HIGHEST_GROUND_M:.0f} m, or NaN",
                "Are these feet, or a fill value?",
            )

    @property
    def posts(self) -> Posts:
        """Return the same grid in radians, for kernels."""
        angles = (self.north_deg, self.west_deg, self.step_lat_deg, self.step_lon_deg)
        return Posts(self.heights_amsl_m, *(math.radians(angle) for angle in angles))


def flat(amsl_m: float) -> Terrain:
    """Return ground of one height all over the Earth, to stand in where there is no terrain."""
    return Terrain(
        heights_amsl_m=np.full((3, 3), amsl_m, np.float32),
        north_deg=90.0,
        west_deg=-180.0,
        step_lat_deg=90.0,
        step_lon_deg=180.0,
        datum="unknown",
        origin=f"flat ground assumed, {amsl_m:g} m above sea level",
    )


def height_amsl_m(terrain: Terrain, lat_deg: FloatArray, lon_deg: FloatArray) -> FloatArray:
    """Return the height of the ground at points, bilinear between the four posts around each.

    NaN outside the terrain and where one of the four posts is a hole. Shapes: any, both alike.
    Valid: anywhere. Source: common practice, no source.

    >>> float(height_amsl_m(flat(240.0), np.array([-46.5]), np.array([108.0]))[0])
    240.0
    """
    lat, lon = np.asarray(lat_deg, np.float64), np.asarray(lon_deg, np.float64)
    if lat.shape != lon.shape:
        raise InputError("lon_deg", f"of shape {lon.shape}", f"{lat.shape}, as lat_deg")
    for name, values, most_deg in (("lat_deg", lat, 90.0), ("lon_deg", lon, 360.0)):
        wrong = ~(np.abs(values) <= most_deg)
        if wrong.any():
            value = values[wrong].flat[0]
            raise InputError(name, f"{value}°", f"-{most_deg:g} to {most_deg:g}°")
    out = np.empty(lat.size)
    _fill_heights(terrain.posts, np.radians(lat.ravel()), np.radians(lon.ravel()), out)
    return out.reshape(lat.shape)


def slope_deg(terrain: Terrain, place: Place) -> float:
    """Return how steep the ground is at the nearest post that has all eight neighbours.

    NaN outside the terrain, and beside or at a hole. Posts 90 m apart hide what is shorter: a ditch
    or a bank does not show.
    Valid: anywhere but at the poles. Source: Horn, Hill shading and the reflectance map,
    Proc. IEEE 69(1) (1981) 14-47 (weights 1, 2, 1), as a reference raster library cites it.
    """
    if min(terrain.heights_amsl_m.shape) < 3:
        raise InputError("terrain", terrain.heights_amsl_m.shape, "3 or more rows and columns")
    lat_rad, lon_rad = math.radians(place.lat_deg), math.radians(place.lon_deg)
    return math.degrees(_slope_rad(terrain.posts, lat_rad, lon_rad))


def fill_holes(terrain: Terrain, n_posts: int) -> Terrain:
    """Return the terrain with holes closed from their rims inwards, `n_posts` deep.

    A post takes the mean of those of its eight neighbours that are known. Rows and columns beyond
    the last known ones stay unknown. `origin` says how many were filled. Source: common practice,
    no source.
    """
    if not 1 <= n_posts <= 100:
        raise InputError("n_posts", n_posts, "1 to 100", "A wider hole needs other data.")
    heights = terrain.heights_amsl_m.copy()
    inside = heights[_known_rectangle(heights)]
    for _ in range(n_posts):
        _fill_rims(inside.copy(), inside)
    n_filled = int(np.isnan(terrain.heights_amsl_m).sum() - np.isnan(heights).sum())
    if not n_filled:
        return terrain
    origin = f"{terrain.origin}; {n_filled} missing posts filled from their neighbours"
    return replace(terrain, heights_amsl_m=heights, origin=origin)


def _known_rectangle(heights: SingleArray) -> tuple[slice, slice]:
    """Return the rows and columns from the first to the last that know any height."""
    known = ~np.isnan(heights)
    rows, columns = (np.flatnonzero(known.any(axis=axis)) for axis in (1, 0))
    if not len(rows):
        return slice(0), slice(0)
    return slice(rows[0], rows[-1] + 1), slice(columns[0], columns[-1] + 1)
