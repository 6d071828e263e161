"""The sun over the demo by hand, to 0.05 degrees. Nothing here comes from the package.

Source: low-precision formulae of the Astronomical Almanac, page C5 (from memory).
"""

import math
from typing import Final

LAUNCH_J2000_DAYS: Final = 9884.0 + (9.0 + 40.0 / 60.0 - 12.0) / 24.0  # 2027-01-23 09:40 UTC
_EARTH_KM: Final = 6371.0


def place_deg(after_min: float, lat_deg: float, lon_deg: float) -> tuple[float, float]:
    """Return the true azimuth and elevation, without refraction."""
    days = LAUNCH_J2000_DAYS + after_min / 1440.0
    mean, anomaly = 280.460 + 0.9856474 * days, math.radians(357.528 + 0.9856003 * days)
    ecliptic = math.radians(mean + 1.915 * math.sin(anomaly) + 0.020 * math.sin(2.0 * anomaly))
    tilt = math.radians(23.439 - 4e-7 * days)
    ascension = math.atan2(math.cos(tilt) * math.sin(ecliptic), math.cos(ecliptic))
    declination = math.asin(math.sin(tilt) * math.sin(ecliptic))
    turned = 280.46061837 + 360.98564736629 * days + lon_deg
    hour, lat = math.radians(turned) - ascension, math.radians(lat_deg)
    up = math.sin(lat) * math.sin(declination)
    up += math.cos(lat) * math.cos(declination) * math.cos(hour)
    east = -math.cos(declination) * math.sin(hour)
    north = math.cos(lat) * math.sin(declination)
    north -= math.sin(lat) * math.cos(declination) * math.cos(hour)
    return math.degrees(math.atan2(east, north)) % 360.0, math.degrees(math.asin(up))


def sinks_below_min(elevation_deg: float, lat_deg: float, lon_deg: float) -> float:
    """Return when after the launch the sun sinks below an elevation, by halving."""
    low, high = 0.0, 400.0
    while high - low > 0.01:
        middle = 0.5 * (low + high)
        is_up = place_deg(middle, lat_deg, lon_deg)[1] > elevation_deg
        low, high = (middle, high) if is_up else (low, middle)
    return low


def dip_deg(amsl_km: float) -> float:
    """Return how far below the level the horizon lies."""
    return math.degrees(math.acos(_EARTH_KM / (_EARTH_KM + amsl_km)))


def over_demo(east_km: float, north_km: float) -> tuple[float, float]:
    """Return latitude and longitude of a place by its way from the launch."""
    return -46.5 + north_km / 111.195, 108.0 + east_km / 76.542
