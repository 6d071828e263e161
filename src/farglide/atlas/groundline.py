"""Ground line: the heights under a geodesic, walked from place to place."""

import math
from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import FloatArray
from farglide.atlas.posts import Posts, ground_amsl_m, row_column
from farglide.atlas.sweep import LONGEST_M, check_step
from farglide.atlas.terrain import Terrain
from farglide.earth.geodesy import geodesic
from farglide.earth.radii import _meridian_radius_m, _normal_radius_m
from farglide.earth.state import Place
from farglide.errors import InputError
from farglide.kernel import compiled, inlined, inner

_SEGMENT_M: Final = 5000.0
_LAST_LAT_RAD: Final = math.radians(85.0)


class GroundLine(NamedTuple):
    """The ground along a line: distance from its start, and height, NaN where unknown."""

    distance_m: FloatArray
    ground_amsl_m: FloatArray


class Headed(NamedTuple):
    """A place on a geodesic, and where the line heads there."""

    lat_rad: float
    lon_rad: float
    azimuth_rad: float


class _Cubic(NamedTuple):
    """The coefficients of a cubic, by the power they belong to."""

    value: float
    slope: float
    square: float
    cube: float


def profile(terrain: Terrain, start: Place, end: Place, step_m: float) -> GroundLine:
    """Return the ground along the geodesic between two places, both ends included.

    Points are evenly spaced, at most `step_m` apart. The heights of the two places play no part.
    Valid: lines up to 500 km, steps of 1 m to 10 km; NaN beyond 85 deg of latitude.
    Source: as `earth.geodesy.geodesic` and `_advanced`.
    """
    line = geodesic(start, end)
    if not 0.0 < line.distance_m <= LONGEST_M:
        allowed = f"more than 0 to {LONGEST_M:.0f} m"
        raise InputError("distance_m", f"{line.distance_m} m", allowed, "Give two near places.")
    check_step(step_m)
    n, rad = math.ceil(line.distance_m / step_m), math.radians
    heights = np.empty(n + 1)
    origin = Headed(rad(start.lat_deg), rad(start.lon_deg), rad(line.azimuth_deg))
    walk_ground(terrain.posts, origin, line.distance_m / n, heights)
    return GroundLine(np.linspace(0.0, line.distance_m, n + 1), heights)


@compiled
def walk_ground(posts: Posts, start: Headed, step_m: float, out: FloatArray) -> None:
    """Fill `out` with the ground at every step along a geodesic, the start being the first.

    Between points some 5 km apart, rows and columns are cubic in the distance: within a millimetre
    of the geodesic. Unchecked.
    """
    most = max(int(_SEGMENT_M / step_m), 1)
    at, first = start, 0
    while first < len(out):
        n = min(most, len(out) - first)
        end = _advanced(at, n * step_m)
        cell0 = row_column(posts, at.lat_rad, at.lon_rad)
        cell1 = row_column(posts, end.lat_rad, end.lon_rad)
        speed0 = _rates(at.lat_rad, at.azimuth_rad)
        speed1 = _rates(end.lat_rad, end.azimuth_rad)
        down, east = -n * step_m / posts.step_lat_rad, n * step_m / posts.step_lon_rad
        row = _cubic(cell0[0], cell1[0], speed0[0] * down, speed1[0] * down)
        column = _cubic(cell0[1], cell1[1], speed0[1] * east, speed1[1] * east)
        for k in range(n):
            out[first + k] = ground_amsl_m(posts, _cubic_at(row, k / n), _cubic_at(column, k / n))
        if max(abs(at.lat_rad), abs(end.lat_rad)) > _LAST_LAT_RAD:
            out[first:] = math.nan
            return
        at, first = end, first + n


@inner
def _cubic(start: float, end: float, slope_start: float, slope_end: float) -> _Cubic:
    """Return the cubic over 0 to 1 with these values and slopes (Hermite)."""
    change = end - start
    bend = 3.0 * change - 2.0 * slope_start - slope_end
    return _Cubic(start, slope_start, bend, slope_start + slope_end - 2.0 * change)


@inlined
def _cubic_at(cubic: _Cubic, x: float) -> float:
    return cubic.value + x * (cubic.slope + x * (cubic.square + x * cubic.cube))


@inner
def _rates(lat_rad: float, azimuth_rad: float) -> tuple[float, float, float]:
    """Return how latitude, longitude and azimuth change per metre along a geodesic.

    Source: Torge and Mueller, Geodesy (4th ed. 2012), differential equations of the geodesic
    (their section, 6.3, from memory; their end points are those of a reference library).
    """
    along, across = math.cos(azimuth_rad), math.sin(azimuth_rad)
    normal_m = _normal_radius_m(lat_rad)
    turn = across / normal_m
    return along / _meridian_radius_m(lat_rad), turn / math.cos(lat_rad), turn * math.tan(lat_rad)


@inner
def _advanced(at: Headed, distance_m: float) -> Headed:
    """Return the place further along a geodesic, by one Runge-Kutta step.

    Valid: steps up to 10 km, to 85 deg of latitude. Source: `_rates`; Runge-Kutta of fourth order.
    """
    lat, lon, azimuth = at
    half_m = 0.5 * distance_m
    a = _rates(lat, azimuth)
    b = _rates(lat + half_m * a[0], azimuth + half_m * a[2])
    c = _rates(lat + half_m * b[0], azimuth + half_m * b[2])
    d = _rates(lat + distance_m * c[0], azimuth + distance_m * c[2])
    sixth_m = distance_m / 6.0
    return Headed(
        lat + sixth_m * (a[0] + 2.0 * (b[0] + c[0]) + d[0]),
        lon + sixth_m * (a[1] + 2.0 * (b[1] + c[1]) + d[1]),
        azimuth + sixth_m * (a[2] + 2.0 * (b[2] + c[2]) + d[2]),
    )
