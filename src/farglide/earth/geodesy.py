"""Distances, directions and positions on the WGS84 ellipsoid."""

import math
from typing import Final, NamedTuple

from pyproj import Geod

from farglide.earth.radii import (
    _east_north_m,
    _ecef_m,
    _enu_m,
    _meridian_radius_m,
    _normal_radius_m,
    _shortening_ratio,
)
from farglide.earth.state import (
    HIGHEST_AMSL_M,
    LOWEST_AMSL_M,
    Place,
    check_lat_lon,
    wrapped_azimuth_deg,
)
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


class Ecef(NamedTuple):
    """Geocentric coordinates: x towards 0 N 0 E, y towards 0 N 90 E, z towards the north pole."""

    x_m: float
    y_m: float
    z_m: float


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


def destination(place: Place, azimuth_deg: float, distance_m: float) -> Place:
    """Return the place at the end of a geodesic, at the same height above sea level.

    Valid: distance 0 to 20 004 km. Source: as `geodesic`.
    """
    if not -360.0 <= azimuth_deg <= 360.0:
        raise InputError("azimuth_deg", f"{azimuth_deg} deg", "-360 to 360 deg", "North is 0.")
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


def meridian_radius_m(lat_deg: float) -> float:
    """Return metres north per radian of latitude, at ellipsoid height 0. Source: `radii`."""
    check_lat_lon(lat_deg, 0.0)
    return _meridian_radius_m(math.radians(lat_deg))


def normal_radius_m(lat_deg: float) -> float:
    """Return the radius of curvature across the meridian; times cos(lat): metres per radian east.

    Source: `radii`.
    """
    check_lat_lon(lat_deg, 0.0)
    return _normal_radius_m(math.radians(lat_deg))


def shortening_ratio(amsl_m: float) -> float:
    """Return metres over the ground per metre flown at a height.

    Valid: -500 to 100 000 m. Source: similar triangles on the sphere of 6371 008.8 m.

    >>> round(shortening_ratio(30_000.0), 5)
    0.99531
    """
    if not LOWEST_AMSL_M <= amsl_m <= HIGHEST_AMSL_M:
        allowed = f"{LOWEST_AMSL_M:.0f} to {HIGHEST_AMSL_M:.0f} m"
        raise InputError("amsl_m", f"{amsl_m} m", allowed, "Check that the height is in metres.")
    return _shortening_ratio(float(amsl_m))


def ecef_m(place: Place, undulation_m: float = 0.0) -> Ecef:
    """Return the geocentric coordinates of a place.

    Without `undulation_m` (the geoid above the ellipsoid) the height above sea level is taken for
    the height above the ellipsoid: at most 110 m too low or too high.
    Source: EPSG Guidance Note 7-2, method 9602.
    """
    lat_rad, lon_rad = math.radians(place.lat_deg), math.radians(place.lon_deg)
    return Ecef(*_ecef_m(lat_rad, lon_rad, place.amsl_m + undulation_m))


def enu_m(observer: Place, target: Place, undulation_m: float = 0.0) -> EastNorthUp:
    """Return the straight line from observer to target as metres east, north and up.

    One undulation serves both ends. Left at 0 it shifts the line by at most 17 parts in a million,
    2 m in 100 km; that it differs between the ends, mostly by less than 5 m in 100 km, stays.
    Source: EPSG Guidance Note 7-2, method 9836.
    """
    return enu_from_ecef_m(observer, ecef_m(target, undulation_m), undulation_m)


def enu_from_ecef_m(observer: Place, target: Ecef, undulation_m: float = 0.0) -> EastNorthUp:
    """Return the straight line from observer to a geocentric point as metres east, north, up.

    Source: EPSG Guidance Note 7-2, method 9836.
    """
    start = ecef_m(observer, undulation_m)
    lat_rad, lon_rad = math.radians(observer.lat_deg), math.radians(observer.lon_deg)
    dx_m, dy_m, dz_m = target.x_m - start.x_m, target.y_m - start.y_m, target.z_m - start.z_m
    return EastNorthUp(*_enu_m(lat_rad, lon_rad, dx_m, dy_m, dz_m))


def _check_plane(distance_m: float) -> None:
    if not distance_m <= PLANE_LIMIT_M:
        allowed = f"0 to {PLANE_LIMIT_M:.0f} m from the origin"
        raise InputError("distance_m", f"{distance_m} m", allowed, "Take a nearer origin.")
