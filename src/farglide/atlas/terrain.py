"""Terrain: heights of the ground on a grid of degrees, at points and along lines."""

import math
from dataclasses import dataclass, replace
from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import FloatArray, SingleArray
from farglide.earth.radii import _meridian_radius_m, _normal_radius_m
from farglide.earth.state import Place, check_lat_lon, wrapped_lon_deg
from farglide.errors import InputError
from farglide.kernel import compiled, inner

LOWEST_GROUND_M: Final = -500.0
HIGHEST_GROUND_M: Final = 9000.0
_WIDEST_BOX_DEG: Final = 90.0
_SLACK: Final = 1e-6  # of a post: what rounding may put beyond the outermost one


@dataclass(frozen=True, slots=True, kw_only=True)
class Box:
    """An area between two parallels and two meridians, from west to east.

    Across the 180th meridian the east is the smaller number: west 179.5, east -179.5.
    """

    south_deg: float
    west_deg: float
    north_deg: float
    east_deg: float

    def __post_init__(self) -> None:
        check_lat_lon(self.south_deg, self.west_deg)
        check_lat_lon(self.north_deg, self.east_deg)
        if not self.south_deg < self.north_deg:
            allowed = f"more than south_deg, {self.south_deg} deg"
            raise InputError("north_deg", f"{self.north_deg} deg", allowed, "Swap the two.")
        if not 0.0 < self.width_deg <= _WIDEST_BOX_DEG:
            allowed = f"more than 0 to {_WIDEST_BOX_DEG:g} deg"
            remedy = "Are west and east swapped? The area is what lies east of west_deg."
            raise InputError("width of the area", f"{self.width_deg:g} deg", allowed, remedy)

    @property
    def width_deg(self) -> float:
        """Return how far the area reaches eastwards."""
        return (self.east_deg - self.west_deg) % 360.0


class Posts(NamedTuple):
    """The terrain as the kernels read it."""

    heights_amsl_m: SingleArray
    north_rad: float
    west_rad: float
    step_lat_rad: float
    step_lon_rad: float


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
                allowed = f"more than 0 to {most_deg:g} deg for {n} posts"
                raise InputError(name, f"{step_deg} deg", allowed, "Rows run from north to south.")
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
            raise InputError(name, f"{value} deg", f"-{most_deg:g} to {most_deg:g} deg")
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


@inner
def row_column(posts: Posts, lat_rad: float, lon_rad: float) -> tuple[float, float]:
    """Return where a point lies, counted in posts from the first one, whole turns left in."""
    row = (posts.north_rad - lat_rad) / posts.step_lat_rad
    return row, (lon_rad - posts.west_rad) / posts.step_lon_rad


@inner
def _turned(posts: Posts, column: float) -> float:
    """Return the same column less the whole turns, from 0 on."""
    turn = 2.0 * math.pi / posts.step_lon_rad
    return column - turn * math.floor((column + _SLACK) / turn)


@compiled
def ground_amsl_m(posts: Posts, row: float, column: float) -> float:
    """Return the bilinear height between four posts, NaN outside and beside a hole.

    Unchecked: two rows and two columns of posts at least.
    """
    heights = posts.heights_amsl_m
    last_row, last_column = heights.shape[0] - 1, heights.shape[1] - 1
    column = _turned(posts, column)
    inside = -_SLACK <= row <= last_row + _SLACK and column <= last_column + _SLACK
    if not inside:
        return math.nan
    row, column = min(max(row, 0.0), last_row), min(max(column, 0.0), last_column)
    i, j = min(int(row), last_row - 1), min(int(column), last_column - 1)
    down, right = row - i, column - j
    left = 1.0 - right  # weights in double precision: differences of single ones lose a millimetre
    upper = left * heights[i, j] + right * heights[i, j + 1]
    lower = left * heights[i + 1, j] + right * heights[i + 1, j + 1]
    return (1.0 - down) * upper + down * lower


@compiled
def _fill_heights(posts: Posts, lat_rad: FloatArray, lon_rad: FloatArray, out: FloatArray) -> None:
    for k in range(len(out)):
        row, column = row_column(posts, lat_rad[k], lon_rad[k])
        out[k] = ground_amsl_m(posts, row, column)


@compiled
def _slope_rad(posts: Posts, lat_rad: float, lon_rad: float) -> float:
    """Return the slope by Horn's differences: weights 1, 2, 1 across, two posts apart along."""
    z = posts.heights_amsl_m
    row, column = row_column(posts, lat_rad, lon_rad)
    if math.isnan(ground_amsl_m(posts, row, column)):
        return math.nan
    i = min(max(round(row), 1), z.shape[0] - 2)
    j = min(max(round(_turned(posts, column)), 1), z.shape[1] - 2)
    up, level, down = z[i - 1], z[i], z[i + 1]
    west = up[j - 1] + 2.0 * level[j - 1] + down[j - 1]
    east = up[j + 1] + 2.0 * level[j + 1] + down[j + 1]
    north = up[j - 1] + 2.0 * up[j] + up[j + 1]
    south = down[j - 1] + 2.0 * down[j] + down[j + 1]
    at_rad = posts.north_rad - i * posts.step_lat_rad
    step_east_m = posts.step_lon_rad * _normal_radius_m(at_rad) * math.cos(at_rad)
    step_north_m = posts.step_lat_rad * _meridian_radius_m(at_rad)
    # The middle post itself plays no part, but without it the slope is a guess.
    to_east = (east - west) / (8.0 * step_east_m) + 0.0 * level[j]
    return math.atan(math.hypot(to_east, (north - south) / (8.0 * step_north_m)))


@compiled
def _fill_rims(heights: SingleArray, out: SingleArray) -> None:
    """Put into `out` a height for each hole that has a known neighbour."""
    n_rows, n_columns = heights.shape
    for i in range(n_rows):
        for j in range(n_columns):
            if not math.isnan(heights[i, j]):
                continue
            total, n = 0.0, 0
            for k in range(max(i - 1, 0), min(i + 2, n_rows)):
                for m in range(max(j - 1, 0), min(j + 2, n_columns)):
                    if not math.isnan(heights[k, m]):
                        total, n = total + heights[k, m], n + 1
            if n > 0:
                out[i, j] = total / n
