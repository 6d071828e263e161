"""GroundCircle: a circle of ground cut into cells, and how high a glider is over it."""

import math
from dataclasses import dataclass
from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import BoolArray, FloatArray
from farglide.atlas.terrain import (
    HIGHEST_GROUND_M,
    LOWEST_GROUND_M,
)
from farglide.earth.box import Box
from farglide.earth.radii import _east_north_m, _meridian_radius_m, _normal_radius_m
from farglide.earth.state import Place, wrapped_lon_deg
from farglide.errors import InputError, check_range
from farglide.kernel import compiled
from farglide.sim.hear.ears import TOP_M

TOP_AGL_M: Final = TOP_M - HIGHEST_GROUND_M
"""So that over the highest ground the glider is no higher than the gases are tabled."""


NEAREST_M: Final = 1000.0


FARTHEST_M: Final = 200_000.0


LAST_LAT_DEG: Final = 85.0


_MOST_CELLS: Final = 4000


_TWO_TURNS_DEG: Final = 720.0


class GroundPoints(NamedTuple):
    """Places on the ground in rows and columns, shape (n_rows, n_columns)."""

    lat_deg: FloatArray
    lon_deg: FloatArray


class Above(NamedTuple):
    """How high the glider is: a height, and the share of the ground's to add, 0 or 1."""

    height_m: float
    ground_share: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Level:
    """How high the glider is: above sea level everywhere, or above the ground of each cell."""

    amsl_m: float | None = None
    agl_m: float | None = None

    def __post_init__(self) -> None:
        if (self.amsl_m is None) == (self.agl_m is None):
            given = "neither height" if self.amsl_m is None else "both heights"
            remedy = "Above sea level, or above the ground."
            raise InputError("level", given, "one of amsl_m and agl_m", remedy)
        if self.amsl_m is not None:
            check_range("amsl_m", self.amsl_m, "m", (LOWEST_GROUND_M, TOP_M), "Is it in metres?")
        if self.agl_m is not None:
            check_range("agl_m", self.agl_m, "m", (0.0, TOP_AGL_M), "Is it in metres?")

    @property
    def above(self) -> Above:
        """Return the height as the kernels read it."""
        return Above(self.agl_m or 0.0, 1.0) if self.amsl_m is None else Above(self.amsl_m, 0.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class GroundCircle:
    """A circle of ground round a place, cut into cells of even steps of latitude and longitude.

    Rows run from north to south, columns from west to east, the place in the middle.
    """

    middle: Place
    radius_m: float
    n_rows: int
    n_columns: int

    def __post_init__(self) -> None:
        check_range("radius_m", self.radius_m, "m", (NEAREST_M, FARTHEST_M), "Is it in metres?")
        for name in ("n_rows", "n_columns"):
            if not 1 <= getattr(self, name) <= _MOST_CELLS:
                raise InputError(name, getattr(self, name), f"1 to {_MOST_CELLS}")
        edge_deg = abs(self.middle.lat_deg) + self.half_lat_deg
        if not edge_deg <= LAST_LAT_DEG:
            allowed = f"up to {LAST_LAT_DEG:g}° of latitude"
            raise InputError(
                "area", f"to {edge_deg:.2f}° of latitude", allowed, "Take a smaller radius."
            )

    @property
    def half_lat_deg(self) -> float:
        """Return how far the cells reach to the north, and to the south."""
        lat_rad = math.radians(self.middle.lat_deg)
        return math.degrees(self.radius_m / _meridian_radius_m(lat_rad))

    @property
    def half_lon_deg(self) -> float:
        """Return how far they reach to the east, and to the west: the circle's widest parallel."""
        lat_rad = math.radians(self.middle.lat_deg)
        angle = self.radius_m / _normal_radius_m(lat_rad)
        return math.degrees(math.asin(min(math.sin(angle) / math.cos(lat_rad), 1.0)))

    @property
    def lat_edges_deg(self) -> FloatArray:
        """Return the parallels between the rows, from north to south, (n_rows + 1,)."""
        half, lat_deg = self.half_lat_deg, self.middle.lat_deg
        return np.linspace(lat_deg + half, lat_deg - half, self.n_rows + 1)

    @property
    def lon_edges_deg(self) -> FloatArray:
        """Return the meridians between the columns, whole turns left in, (n_columns + 1,)."""
        half, lon_deg = self.half_lon_deg, self.middle.lon_deg
        return np.linspace(lon_deg - half, lon_deg + half, self.n_columns + 1)

    @property
    def box(self) -> Box:
        """Return the area between the outermost parallels and meridians."""
        middle = self.middle
        return Box(
            south_deg=middle.lat_deg - self.half_lat_deg,
            west_deg=wrapped_lon_deg(middle.lon_deg - self.half_lon_deg),
            north_deg=middle.lat_deg + self.half_lat_deg,
            east_deg=wrapped_lon_deg(middle.lon_deg + self.half_lon_deg),
        )

    @property
    def points_deg(self) -> GroundPoints:
        """Return the middles of the cells."""
        lat, lon = self.lat_edges_deg, self.lon_edges_deg
        lats, lons = 0.5 * (lat[1:] + lat[:-1]), 0.5 * (lon[1:] + lon[:-1])
        rows, columns = np.meshgrid(lats, lons, indexing="ij")
        return GroundPoints(rows, columns)

    @property
    def inside(self) -> BoolArray:
        """Return which cells have their middle in the circle, (n_rows, n_columns)."""
        middle, (lat, lon) = self.middle, (np.radians(each) for each in self.points_deg)
        out = np.empty(lat.shape, np.bool_)
        from_lat, from_lon = math.radians(middle.lat_deg), math.radians(middle.lon_deg)
        _fill_inside(from_lat, from_lon, lat, lon, self.radius_m, out)
        return out


@compiled
def _fill_inside(
    from_lat: float,
    from_lon: float,
    lat: FloatArray,
    lon: FloatArray,
    radius_m: float,
    out: BoolArray,
) -> None:
    for i in range(out.shape[0]):
        for j in range(out.shape[1]):
            east, north = _east_north_m(from_lat, from_lon, lat[i, j], lon[i, j])
            out[i, j] = east * east + north * north <= radius_m * radius_m
