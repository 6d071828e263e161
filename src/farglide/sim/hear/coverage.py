"""Coverage: how far above its threshold each link is at one stand, over an area at one height."""

import math
from dataclasses import dataclass
from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import BoolArray, FloatArray, SingleArray
from farglide.atlas.terrain import (
    HIGHEST_GROUND_M,
    LOWEST_GROUND_M,
    Box,
    Posts,
    Terrain,
    ground_amsl_m,
    row_column,
)
from farglide.constants import MEAN_EARTH_RADIUS_M
from farglide.earth.radii import _east_north_m, _ecef_m, _meridian_radius_m, _normal_radius_m
from farglide.earth.state import Place, wrapped_lon_deg
from farglide.errors import InputError, check_range
from farglide.kernel import compiled
from farglide.radio.path.bulge import NO_EDGE_ROOT_M
from farglide.sim.core.workers import Stretch, Workers, in_one_go
from farglide.sim.hear.ears import CLEAR_M, TOP_M, Ears, Listeners
from farglide.sim.hear.hearing import Geocentric, bulge_db, heard_db, seen_from

TOP_AGL_M: Final = TOP_M - HIGHEST_GROUND_M
"""So that over the highest ground the glider is no higher than the gases are tabled."""
NEAREST_M: Final = 1000.0
FARTHEST_M: Final = 200_000.0
FINE_STEP_DEG: Final = 0.125
"""Between the rays of a fan for an area: 130 m at 60 km. Half a degree serves flights, but on a map
shadows of ridges come out as wedges."""
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
class Patch:
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
            allowed = f"up to {LAST_LAT_DEG:g} deg of latitude"
            raise InputError(
                "area", f"to {edge_deg:.2f} deg of latitude", allowed, "Take a smaller radius."
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


def coverage_db(
    listeners: Listeners, terrain: Terrain, patch: Patch, level: Level, workers: Workers = in_one_go
) -> SingleArray:
    """Return the margin of every link at a stand for a glider over the middle of each cell.

    Shape (n_links, n_rows, n_columns), decibels above the threshold. NaN under the ground, where
    the ground is unknown, and outside the circle.

    Valid: as `points_db`; for ears whose fan reaches as far as the circle, its rays `FINE_STEP_DEG`
    apart. Over mountains nineteen cells of twenty that the ground weakens are within 1 dB of the
    whole profile's loss, 3 dB where only what stands next to the stand is in the way.
    Source: as `sim.hear.hearing.margins_db`.
    """
    margins = points_db(listeners, terrain, patch.points_deg, level, workers)
    margins[:, ~patch.inside] = np.nan
    return margins


def points_db(
    listeners: Listeners,
    terrain: Terrain,
    points_deg: GroundPoints,
    level: Level,
    workers: Workers = in_one_go,
) -> SingleArray:
    """Return the margin of every link at the first stand for a glider over points.

    Shape (n_links, n_rows, n_columns), NaN under the ground and where the ground is unknown.
    Valid: 30 MHz to 15 GHz, up to 42 km. Source: as `sim.hear.hearing.margins_db`.
    """
    lat, lon = (np.asarray(one, dtype=np.float64) for one in points_deg)
    if lat.ndim != 2 or lat.shape != lon.shape:
        given = f"{lat.shape} latitudes, {lon.shape} longitudes"
        raise InputError("points_deg", given, "as many of both, in rows and columns")
    if not ((np.abs(lat) <= LAST_LAT_DEG).all() and (np.abs(lon) <= _TWO_TURNS_DEG).all()):
        allowed = f"latitudes up to {LAST_LAT_DEG:g} deg, longitudes within two turns"
        raise InputError("points_deg", "beyond", allowed)
    lat, lon, posts, above = np.radians(lat), np.radians(lon), terrain.posts, level.above
    out = np.empty((len(listeners.waves.near_db), *lat.shape), np.float32)
    workers(
        lambda a, b: _heard_some(listeners, posts, lat, lon, above, Stretch(a, b), out), len(lat)
    )
    return out


def clears_all_ground(ears: Ears, level: Level, radius_m: float) -> bool:
    """Tell whether each way from the first stand is above all ground where ground is unknown.

    Then what is unknown cannot matter: no ground is higher than `HIGHEST_GROUND_M`. Only ever for
    heights above sea level. Asked of the lowest way, to the rim, where it comes to the nearest
    unknown ground, over the true earth, which bulges up more than the effective one.
    """
    if level.amsl_m is None:
        return False
    first = math.ceil(CLEAR_M / ears.step_m)
    unknown = np.isnan(ears.ground_amsl_m[0, :, first - 1 :]).any(axis=0)
    near_m = radius_m
    if unknown.any():
        near_m = min((first - 1 + int(np.argmax(unknown))) * ears.step_m, radius_m)
    from_m = float(ears.amsl_m[0])
    bulge_m = near_m * (radius_m - near_m) / (2.0 * MEAN_EARTH_RADIUS_M)
    way_m = from_m + (level.amsl_m - from_m) * near_m / radius_m - bulge_m
    return way_m > HIGHEST_GROUND_M


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


@compiled
def _heard_some(
    listeners: Listeners,
    posts: Posts,
    lat: FloatArray,
    lon: FloatArray,
    above: Above,
    some: Stretch,
    out: SingleArray,
) -> None:
    """Fill some rows of points, given in radians."""
    ears, waves = listeners
    for i in range(some.first, some.last):
        for j in range(lat.shape[1]):
            row, column = row_column(posts, lat[i, j], lon[i, j])
            ground = ground_amsl_m(posts, row, column)
            amsl = above.height_m + above.ground_share * ground
            if not amsl >= ground:  # also where it is unknown
                out[:, i, j] = math.nan
                continue
            x, y, z = _ecef_m(lat[i, j], lon[i, j], amsl)
            seen = seen_from(ears, 0, Geocentric(x, y, z, amsl))
            spread_db = 20.0 * math.log10(seen.range_m)
            for k in range(len(waves.near_db)):
                margin = heard_db(waves, k, seen, spread_db)
                if seen.obstacle.bulge_root_m > NO_EDGE_ROOT_M:
                    margin -= bulge_db(waves.root_pm[k], seen)
                out[k, i, j] = margin
