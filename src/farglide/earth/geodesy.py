"""Distances, directions and positions on the WGS84 ellipsoid."""

import math
from typing import Final, NamedTuple

import numpy as np
from pyproj import Geod

from farglide.arrays import FloatArray
from farglide.earth.radii import _east_north_m, _ecef_m, _enu_m
from farglide.earth.state import Place, wrapped_azimuth_deg
from farglide.errors import InputError

PLANE_LIMIT_M: Final = 1_000_000.0  # a plane about an origin says little beyond

_WGS84: Final = Geod(ellps="WGS84")
_LONGEST_M: Final = 20_004_000.0  # pole to pole is 20 003 931 m


class GeodesicLine(NamedTuple):
    """The shortest way over the ellipsoid, its azimuth at the start and back at the end."""

    distance_m: float
    azimuth_deg: float
    back_azimuth_deg: float


class EastNorth(NamedTuple):
    """A point in the plane about an origin."""

    east_m: float
    north_m: float


class EastNorthUp(NamedTuple):
    """A straight line in the axes of an observer; up is not height once the Earth curves away."""

    east_m: float
    north_m: float
    up_m: float


def geodesic(a: Place, b: Place) -> GeodesicLine:
    """Return the geodesic from `a` to `b`, azimuths in [0, 360) deg; their heights play no part.

    `back_azimuth_deg` points from `b` back to `a`. For one and the same place the distance is 0
    and the azimuths mean nothing.
    Source: Karney, Algorithms for geodesics, J. Geodesy 87 (2013), as coded in PROJ.
    """
    azimuth_deg, back_deg, distance_m = _WGS84.inv(a.lon_deg, a.lat_deg, b.lon_deg, b.lat_deg)
    return GeodesicLine(
        float(distance_m), wrapped_azimuth_deg(azimuth_deg), wrapped_azimuth_deg(back_deg)
    )


def distances_m(place: Place, lat_deg: FloatArray, lon_deg: FloatArray) -> FloatArray:
    """Return how far points lie from a place along the geodesic. Shapes: any, both alike.

    Source: as `geodesic`.

    >>> origin = Place(lat_deg=0.0, lon_deg=0.0, amsl_m=0.0)
    >>> distances_m(origin, np.array([0.0]), np.array([1.0])).round().tolist()
    [111319.0]
    """
    from_lat, from_lon = np.full_like(lat_deg, place.lat_deg), np.full_like(lon_deg, place.lon_deg)
    return np.asarray(_WGS84.inv(from_lon, from_lat, lon_deg, lat_deg)[2], dtype=np.float64)


def destination(place: Place, azimuth_deg: float, distance_m: float) -> Place:
    """Return the place at the end of a geodesic, at the same height above sea level.

    Valid: distance 0 to 20 004 km. Source: as `geodesic`.
    """
    if not -360.0 <= azimuth_deg <= 360.0:
        raise InputError("azimuth_deg", f"{azimuth_deg}°", "-360 to 360°", "North is 0.")
    if not 0.0 <= distance_m <= _LONGEST_M:
        remedy = "Turn the azimuth round instead of a negative distance."
        raise InputError("distance_m", f"{distance_m} m", f"0 to {_LONGEST_M:.0f} m", remedy)
    lon_deg, lat_deg, _ = _WGS84.fwd(place.lon_deg, place.lat_deg, azimuth_deg, distance_m)
    return Place(lat_deg=float(lat_deg), lon_deg=float(lon_deg), amsl_m=place.amsl_m)


def east_north_m(origin: Place, place: Place) -> EastNorth:
    """Return metres east and north of `place` in the plane about `origin`, heights apart.

    Distance and direction from the origin are those of the geodesic; lengths across the line of
    sight come out too long, by 0.01 % at 150 km from the origin.
    Valid: within 0.3 m to 150 km, 2 m to 300 km, 70 m to 1000 km; refused beyond.
    Source: as `radii._east_north_m`.
    """
    rad = math.radians
    east_m, north_m = _east_north_m(
        rad(origin.lat_deg), rad(origin.lon_deg), rad(place.lat_deg), rad(place.lon_deg)
    )
    _check_plane(math.hypot(east_m, north_m))
    return EastNorth(east_m, north_m)


def offset(origin: Place, east_m: float, north_m: float) -> Place:
    """Return the place so many metres east and north of `origin`, at the same sea level height.

    The inverse of `east_north_m`. Valid: to 1000 km. Source: as `geodesic`.
    """
    distance_m = math.hypot(east_m, north_m)
    _check_plane(distance_m)
    return destination(origin, math.degrees(math.atan2(east_m, north_m)), distance_m)


def offsets_deg(
    origin: Place, east_m: FloatArray, north_m: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Return latitudes and longitudes so many metres east and north of `origin`.

    Shapes: any, both alike. Valid and Source: as `offset`.

    >>> origin = Place(lat_deg=0.0, lon_deg=0.0, amsl_m=0.0)
    >>> [one.round(3).tolist() for one in offsets_deg(origin, np.array([111319.0]), np.zeros(1))]
    [[0.0], [1.0]]
    """
    away_m = np.hypot(east_m, north_m)
    _check_plane(float(away_m.max(initial=0.0)))
    from_lat, from_lon = np.full_like(away_m, origin.lat_deg), np.full_like(away_m, origin.lon_deg)
    azimuth_deg = np.degrees(np.arctan2(east_m, north_m))
    lon_deg, lat_deg, _ = _WGS84.fwd(from_lon, from_lat, azimuth_deg, away_m)
    return np.asarray(lat_deg, np.float64), np.asarray(lon_deg, np.float64)


def enu_m(observer: Place, target: Place) -> EastNorthUp:
    """Return the straight line from observer to target as metres east, north and up.

    Heights above sea level are taken for heights above the ellipsoid. At both ends alike, that
    shifts the line by at most 17 parts in a million, 2 m in 100 km; that the geoid differs between
    the ends, mostly by less than 5 m in 100 km, stays.
    Source: EPSG Guidance Note 7-2, methods 9602 and 9836.
    """
    lat_rad, lon_rad = math.radians(observer.lat_deg), math.radians(observer.lon_deg)
    start = _ecef_m(lat_rad, lon_rad, float(observer.amsl_m))
    end = _ecef_m(math.radians(target.lat_deg), math.radians(target.lon_deg), float(target.amsl_m))
    across_m = (one - other for one, other in zip(end, start, strict=True))
    return EastNorthUp(*_enu_m(lat_rad, lon_rad, *across_m))


def _check_plane(distance_m: float) -> None:
    if not distance_m <= PLANE_LIMIT_M:
        allowed = f"0 to {PLANE_LIMIT_M:.0f} m from the origin"
        raise InputError("distance_m", f"{distance_m} m", allowed, "Take a nearer origin.")
