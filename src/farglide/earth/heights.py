"""The four kinds of height kept apart: geometric, geopotential, sea level and ellipsoid.

Names: `geometric_m` above mean sea level along the plumb line (also `amsl_m`), `gph_m` geopotential
metres, `hae_m` above the WGS84 ellipsoid; pressure height is in `air.standard`.
"""

import math
from typing import Final

from farglide.constants import NOMINAL_EARTH_RADIUS_M, STANDARD_GRAVITY_MPS2, WGS84_SEMI_MAJOR_M
from farglide.errors import InputError
from farglide.kernel import compiled, inner

LOWEST_M: Final = -2_000.0
HIGHEST_M: Final = 100_000.0
# Normal gravity on the WGS84 ellipsoid: Somigliana's formula, NGA.STND.0036 eq. 4-1, in the
# rounding of WMO-No. 8 (2014/2017), as an open module of a weather service cites it.
_EQUATOR_GRAVITY_MPS2: Final = 9.780325
_SOMIGLIANA_K: Final = 0.00193185
_SQUARED_ECCENTRICITY: Final = 0.00669435
# Radius for which the inverse-square law has the vertical gradient of normal gravity:
# a / (1 + f + m - 2 f sin2), f the flattening, m = omega2 a2 b / GM (Moritz 1980, sec. 4).
_RADIUS_CONSTANT: Final = 1.006803
_RADIUS_SLOPE: Final = 0.006706


def geopotential_m(geometric_m: float) -> float:
    """Return the geopotential height of a geometric height, at the standard's latitude (45.5 deg).

    Valid: -2000 to 100 000 m. Source: US Standard Atmosphere 1976, eq. 18; ISO 2533:1975, 2.3.

    >>> round(geopotential_m(30_000.0), 1)
    29859.1
    """
    _check("geometric_m", geometric_m)
    return NOMINAL_EARTH_RADIUS_M * geometric_m / (NOMINAL_EARTH_RADIUS_M + geometric_m)


def geopotential_at_m(geometric_m: float, lat_deg: float) -> float:
    """Return the geopotential height of a geometric height at a latitude.

    At 30 km the equator lies 80 m lower and the poles 80 m higher than the standard says.
    Valid: -2000 to 100 000 m, any latitude. Source: WMO-No. 8 (2014, updated 2017) part I, section
    12.3.6 (heights in place of a pressure sensor), as an open module of a weather service cites it.
    """
    _check("geometric_m", geometric_m)
    _check_lat(lat_deg)
    return _geopotential_at_m(float(geometric_m), math.radians(lat_deg))


def geometric_at_m(gph_m: float, lat_deg: float) -> float:
    """Return the geometric height of a geopotential height at a latitude.

    Valid and Source: as `geopotential_at_m`, solved for the geometric height.
    """
    _check("gph_m", gph_m)
    _check_lat(lat_deg)
    return _geometric_at_m(float(gph_m), math.radians(lat_deg))


def _check(name: str, height_m: float) -> None:
    if not LOWEST_M <= height_m <= HIGHEST_M:
        allowed = f"{LOWEST_M:.0f} to {HIGHEST_M:.0f} m"
        raise InputError(name, f"{height_m} m", allowed, "Check that the height is in metres.")


def _check_lat(lat_deg: float) -> None:
    if not -90.0 <= lat_deg <= 90.0:
        raise InputError("lat_deg", f"{lat_deg}°", "-90 to 90°", "North is positive.")


@compiled
def _gravity_mps2(amsl_m: float) -> float:
    """Return the acceleration of gravity at a height, at the standard's latitude (45.5 deg).

    Valid: -2000 to 100 000 m. Source: US Standard Atmosphere 1976, eq. 17.
    """
    ratio = NOMINAL_EARTH_RADIUS_M / (NOMINAL_EARTH_RADIUS_M + amsl_m)
    return STANDARD_GRAVITY_MPS2 * ratio * ratio


@inner
def _normal_gravity_mps2(lat_rad: float) -> float:
    sin2 = math.sin(lat_rad) ** 2
    root = math.sqrt(1.0 - _SQUARED_ECCENTRICITY * sin2)
    return _EQUATOR_GRAVITY_MPS2 * (1.0 + _SOMIGLIANA_K * sin2) / root


@inner
def _effective_radius_m(lat_rad: float) -> float:
    return WGS84_SEMI_MAJOR_M / (_RADIUS_CONSTANT - _RADIUS_SLOPE * math.sin(lat_rad) ** 2)


@compiled
def _geopotential_at_m(geometric_m: float, lat_rad: float) -> float:
    radius_m = _effective_radius_m(lat_rad)
    ratio = _normal_gravity_mps2(lat_rad) / STANDARD_GRAVITY_MPS2
    return ratio * radius_m * geometric_m / (radius_m + geometric_m)


@compiled
def _geometric_at_m(gph_m: float, lat_rad: float) -> float:
    radius_m = _effective_radius_m(lat_rad)
    ratio = _normal_gravity_mps2(lat_rad) / STANDARD_GRAVITY_MPS2
    return radius_m * gph_m / (ratio * radius_m - gph_m)
