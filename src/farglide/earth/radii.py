"""Kernels of the WGS84 ellipsoid: radii of curvature, the plane about an origin, geocentric axes.

They stand apart from `earth.geodesy`, their public face, so that compiled code need not load the
projection library.
"""

import math
from typing import Final

from farglide.constants import MEAN_EARTH_RADIUS_M, WGS84_FLATTENING, WGS84_SEMI_MAJOR_M
from farglide.kernel import compiled, inner

_E2: Final = WGS84_FLATTENING * (2.0 - WGS84_FLATTENING)  # eccentricity squared


@compiled
def _meridian_radius_m(lat_rad: float) -> float:
    """Return M, the radius of curvature along the meridian: metres north per radian of latitude.

    Source: Torge and Mueller, Geodesy (4th ed. 2012), sec. 4.1.2.
    """
    w2 = 1.0 - _E2 * math.sin(lat_rad) ** 2
    return WGS84_SEMI_MAJOR_M * (1.0 - _E2) / (w2 * math.sqrt(w2))


@compiled
def _normal_radius_m(lat_rad: float) -> float:
    """Return N, the radius of curvature across the meridian; N cos(lat) is metres per radian east.

    Source: Torge and Mueller, Geodesy (4th ed. 2012), sec. 4.1.2.
    """
    return WGS84_SEMI_MAJOR_M / math.sqrt(1.0 - _E2 * math.sin(lat_rad) ** 2)


@compiled
def _shortening_ratio(amsl_m: float) -> float:
    """Return metres over the ground per metre flown at a height: 0.9953 at 30 km.

    Valid: -500 to 100 000 m. Source: similar triangles on the sphere of 6371 008.8 m.
    """
    return MEAN_EARTH_RADIUS_M / (MEAN_EARTH_RADIUS_M + amsl_m)


@inner
def _wrapped_rad(angle_rad: float) -> float:
    """Return the angle less the whole turns that bring it to -pi to pi."""
    return angle_rad - 2.0 * math.pi * math.floor(angle_rad / (2.0 * math.pi) + 0.5)


@compiled
def _east_north_m(
    lat0_rad: float, lon0_rad: float, lat_rad: float, lon_rad: float
) -> tuple[float, float]:
    """Return metres east and north of a point as seen from the origin, along the geodesic.

    Its length is the geodesic distance and its direction the azimuth at the origin, so a bearing
    and a distance can be read off. The Gauss mid-latitude formula gives the chord and the mean
    azimuth; half the convergence of the meridians (2 deg over 150 km at 75 deg latitude) turns it
    into the azimuth at the origin.
    Valid: within 0.3 m to 150 km anywhere, poles and the 180th meridian included.
    Source: Torge and Mueller, Geodesy (4th ed. 2012), sec. 6.3.3 (Gauss mid-latitude formulae),
    here with the closed spherical factors of the Delambre analogies.
    """
    half_lon_rad = 0.5 * _wrapped_rad(lon_rad - lon0_rad)
    half_lat_rad = 0.5 * (lat_rad - lat0_rad)
    mid_rad = 0.5 * (lat_rad + lat0_rad)
    sin_lon, cos_lon = math.sin(half_lon_rad), math.cos(half_lon_rad)
    across_m = 2.0 * _normal_radius_m(mid_rad) * math.cos(mid_rad) * sin_lon
    along_m = 2.0 * _meridian_radius_m(mid_rad) * math.sin(half_lat_rad) * cos_lon
    # The arc is longer than its chord by chord^3 / 24 R^2: 3.5 m at 150 km.
    arc_ratio = 1.0 + (across_m**2 + along_m**2) / (24.0 * MEAN_EARTH_RADIUS_M**2)
    turn_cos, turn_sin = math.cos(half_lat_rad) * cos_lon, math.sin(mid_rad) * sin_lon
    scale = arc_ratio / math.hypot(turn_cos, turn_sin)
    east_m = (across_m * turn_cos - along_m * turn_sin) * scale
    north_m = (along_m * turn_cos + across_m * turn_sin) * scale
    return east_m, north_m


@compiled
def _ecef_m(lat_rad: float, lon_rad: float, hae_m: float) -> tuple[float, float, float]:
    """Return geocentric x, y, z. Source: EPSG Guidance Note 7-2, method 9602."""
    normal_m = _normal_radius_m(lat_rad)
    axis_m = (normal_m + hae_m) * math.cos(lat_rad)
    z_m = (normal_m * (1.0 - _E2) + hae_m) * math.sin(lat_rad)
    return axis_m * math.cos(lon_rad), axis_m * math.sin(lon_rad), z_m


@compiled
def _enu_m(
    lat_rad: float, lon_rad: float, dx_m: float, dy_m: float, dz_m: float
) -> tuple[float, float, float]:
    """Return a geocentric difference turned to east, north, up at a place.

    Source: EPSG Guidance Note 7-2, method 9836.
    """
    sin_lat, cos_lat = math.sin(lat_rad), math.cos(lat_rad)
    sin_lon, cos_lon = math.sin(lon_rad), math.cos(lon_rad)
    outward_m = cos_lon * dx_m + sin_lon * dy_m
    east_m = cos_lon * dy_m - sin_lon * dx_m
    return east_m, cos_lat * dz_m - sin_lat * outward_m, cos_lat * outward_m + sin_lat * dz_m
