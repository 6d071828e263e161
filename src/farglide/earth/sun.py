"""Where the sun is, and when it leaves the ground and a height."""

import math
from collections.abc import Callable
from typing import Final, NamedTuple

from farglide.constants import MEAN_EARTH_RADIUS_M
from farglide.earth.clock import check_time
from farglide.earth.state import HIGHEST_AMSL_M, check_lat_lon, wrapped_azimuth_deg
from farglide.errors import InputError

SUNSET_DEG: Final = -0.833  # centre of the sun: 34' refraction and 16' semidiameter, USNO
CIVIL_DUSK_DEG: Final = -6.0  # USNO definition

_J2000_S: Final = 946_728_000.0  # 2000-01-01 12:00 UTC in seconds since 1970
_DAY_S: Final = 86_400.0
_TERRESTRIAL_LEAD_S: Final = 72.0  # terrestrial time less UT: 64 s in 2000, 69 s in 2020
_PARALLAX_DEG: Final = 8.794 / 3600.0  # of the sun on the horizon, Meeus ch. 40
_SEARCH_S: Final = 25 * 3600.0  # a day, and what the sunset moves from one day to the next
_SEARCH_STEP_S: Final = 300.0
_SHARP_S: Final = 0.1


class Sun(NamedTuple):
    """The direction of the sun's centre: from true north, and above the level plane."""

    azimuth_deg: float
    elevation_deg: float


def sun_position(t_s: float, lat_deg: float, lon_deg: float) -> Sun:
    """Return the direction of the sun's centre without refraction; height changes it by nothing.

    Valid: 1970 to 2100; within 0.01 deg of the long series from 2000 to 2050. The azimuth is
    worth little when the sun stands overhead.
    Source: Meeus, Astronomical Algorithms (2nd ed. 1998), ch. 25 "low accuracy", 12, 13 and 40.

    >>> sun = sun_position(1066419030.0, 39.742476, -105.1786)
    >>> round(sun.azimuth_deg, 1), round(sun.elevation_deg, 1)
    (194.3, 39.9)
    """
    check_lat_lon(lat_deg, lon_deg)
    check_time(t_s)
    right_ascension_rad, declination_rad, sidereal_deg = _sun_equatorial(t_s)
    hour_rad = math.radians(sidereal_deg + lon_deg) - right_ascension_rad
    lat_rad = math.radians(lat_deg)
    sin_lat, cos_lat = math.sin(lat_rad), math.cos(lat_rad)
    sin_dec, cos_dec = math.sin(declination_rad), math.cos(declination_rad)
    up = sin_lat * sin_dec + cos_lat * cos_dec * math.cos(hour_rad)
    north = cos_lat * sin_dec - sin_lat * cos_dec * math.cos(hour_rad)
    east = -cos_dec * math.sin(hour_rad)
    elevation_deg = math.degrees(math.atan2(up, math.hypot(east, north)))
    parallax_deg = _PARALLAX_DEG * math.cos(math.radians(elevation_deg))
    azimuth_deg = wrapped_azimuth_deg(math.degrees(math.atan2(east, north)))
    return Sun(azimuth_deg, elevation_deg - parallax_deg)


def refraction_deg(elevation_deg: float) -> float:
    """Return how much higher than its true elevation a body is seen from the ground.

    For 1010 hPa and 10 C; it scales with the air density at the observer, so hardly any is left
    at 30 km for a body above the level. Valid: true elevation -1 to 90 deg, within 0.002 deg.
    Source: Saemundsson, Sky and Telescope 72 (1986), as Meeus ch. 16, made 0 at the zenith.
    """
    if not -1.0 <= elevation_deg <= 90.0:
        remedy = "The ground hides what stands below -0.6°."
        raise InputError("elevation_deg", f"{elevation_deg}°", "-1 to 90°", remedy)
    bent_deg = elevation_deg + 10.3 / (elevation_deg + 5.11)
    return (1.02 / math.tan(math.radians(bent_deg)) + 0.0019279) / 60.0


def horizon_dip_deg(amsl_m: float) -> float:
    """Return how far below level the sea horizon lies, without refraction.

    Valid: 0 to 100 000 m above sea level. Source: geometry of the sphere, acos(R / (R + h)).

    >>> round(horizon_dip_deg(30_000.0), 2)
    5.55
    """
    if not 0.0 <= amsl_m <= HIGHEST_AMSL_M:
        allowed = f"0 to {HIGHEST_AMSL_M:.0f} m"
        raise InputError("amsl_m", f"{amsl_m} m", allowed, "Check that the height is in metres.")
    return math.degrees(math.acos(MEAN_EARTH_RADIUS_M / (MEAN_EARTH_RADIUS_M + amsl_m)))


def sunset_t_s(t_s: float, lat_deg: float, lon_deg: float, amsl_m: float = 0.0) -> float | None:
    """Return when the sun's upper limb next sinks below the sea horizon seen from a height.

    None if it does not set within 25 hours. The 34' of refraction are kept at every height. A ray
    that grazes the sea on its way to 30 km bends twice as much from a horizon 0.17 deg higher, so
    the last sun there comes about 3 minutes later at middle latitudes: the time given is the
    careful one. Hills are not known here.
    Valid: 1970 to 2100; a night shorter than 5 minutes is not seen.
    Source: limit -0.833 deg (USNO) less `horizon_dip_deg`.
    """
    return _next_fall_s(t_s, lat_deg, lon_deg, SUNSET_DEG - horizon_dip_deg(amsl_m))


def dusk_t_s(t_s: float, lat_deg: float, lon_deg: float) -> float | None:
    """Return when civil dusk next ends on the ground, the sun's centre 6 deg below level.

    None if the sun does not sink that far within 25 hours. Valid: as `sunset_t_s`.
    Source: USNO definition of civil twilight.
    """
    return _next_fall_s(t_s, lat_deg, lon_deg, CIVIL_DUSK_DEG)


def _sun_equatorial(t_s: float) -> tuple[float, float, float]:
    """Return right ascension and declination in radians and Greenwich sidereal time in degrees."""
    days = (t_s - _J2000_S) / _DAY_S
    T = (t_s + _TERRESTRIAL_LEAD_S - _J2000_S) / (_DAY_S * 36_525.0)
    node_rad = math.radians(125.04 - 1934.136 * T)
    L0 = 280.46646 + T * (36_000.76983 + T * 0.0003032)
    M = math.radians(357.52911 + T * (35_999.05029 - T * 0.0001537))
    C = (1.914602 - T * (0.004817 + T * 0.000014)) * math.sin(M)
    C += (0.019993 - T * 0.000101) * math.sin(2.0 * M) + 0.000289 * math.sin(3.0 * M)
    nutation_deg = -0.00478 * math.sin(node_rad)
    longitude_rad = math.radians(L0 + C - 0.00569 + nutation_deg)
    obliquity_rad = math.radians(23.439291 - 0.0130042 * T + 0.00256 * math.cos(node_rad))
    sin_lon = math.sin(longitude_rad)
    right_ascension_rad = math.atan2(math.cos(obliquity_rad) * sin_lon, math.cos(longitude_rad))
    declination_rad = math.asin(math.sin(obliquity_rad) * sin_lon)
    sidereal_deg = 280.46061837 + 360.98564736629 * days + 0.000387933 * T * T
    sidereal_deg += nutation_deg * math.cos(obliquity_rad)
    return right_ascension_rad, declination_rad, sidereal_deg % 360.0


def _next_fall_s(t_s: float, lat_deg: float, lon_deg: float, limit_deg: float) -> float | None:
    """Return the first time after `t_s` when the sun sinks through `limit_deg`, or None."""

    def is_up(time_s: float) -> bool:
        return sun_position(time_s, lat_deg, lon_deg).elevation_deg > limit_deg

    early_s, was_up = t_s, is_up(t_s)
    for n_steps in range(1, round(_SEARCH_S / _SEARCH_STEP_S) + 1):
        late_s = t_s + n_steps * _SEARCH_STEP_S
        stays_up = is_up(late_s)
        if was_up and not stays_up:
            return _bisected_s(is_up, early_s, late_s)
        early_s, was_up = late_s, stays_up
    return None


def _bisected_s(is_up: Callable[[float], bool], early_s: float, late_s: float) -> float:
    """Return the time of the change from up at `early_s` to down at `late_s`, to 0.1 s."""
    while late_s - early_s > _SHARP_S:
        middle_s = 0.5 * (early_s + late_s)
        if is_up(middle_s):
            early_s = middle_s
        else:
            late_s = middle_s
    return 0.5 * (early_s + late_s)
