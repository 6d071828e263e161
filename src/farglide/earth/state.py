"""A place on and above the Earth, as every layer passes it."""

from dataclasses import dataclass
from typing import Final, Protocol

import numpy as np

from farglide.arrays import FloatArray
from farglide.errors import InputError

LOWEST_AMSL_M: Final = -500.0  # the deepest dry land lies at about -430 m
HIGHEST_AMSL_M: Final = 100_000.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """A point by WGS84 latitude and longitude and its height above mean sea level.

    A longitude from 180 to 360 is taken and kept as -180 to 0.

    >>> Place(lat_deg=-46.5, lon_deg=252.0, amsl_m=310.0).lon_deg
    -108.0
    """

    lat_deg: float
    lon_deg: float
    amsl_m: float

    def __post_init__(self) -> None:
        check_lat_lon(self.lat_deg, self.lon_deg)
        if not LOWEST_AMSL_M <= self.amsl_m <= HIGHEST_AMSL_M:
            given = f"{self.amsl_m} m"
            allowed = f"{LOWEST_AMSL_M:.0f} to {HIGHEST_AMSL_M:.0f} m above mean sea level"
            raise InputError("amsl_m", given, allowed, "Check that the height is in metres.")
        object.__setattr__(self, "lon_deg", wrapped_lon_deg(self.lon_deg))


class Placed(Protocol):
    """What stands somewhere: a launch, a field, a stand."""

    @property
    def lat_deg(self) -> float:
        """Return its latitude."""

    @property
    def lon_deg(self) -> float:
        """Return its longitude."""

    @property
    def amsl_m(self) -> float:
        """Return the height of its ground."""


def place_of(one: Placed, amsl_m: float | None = None) -> Place:
    """Return where something stands: on its own ground, or at another height over there."""
    height_m = one.amsl_m if amsl_m is None else amsl_m
    return Place(lat_deg=one.lat_deg, lon_deg=one.lon_deg, amsl_m=height_m)


def check_lat_lon(lat_deg: float, lon_deg: float) -> None:
    """Refuse a latitude or longitude that is no place on the Earth."""
    if not -90.0 <= lat_deg <= 90.0:
        remedy = "North is positive, south negative; are latitude and longitude swapped?"
        raise InputError("lat_deg", f"{lat_deg}°", "-90 to 90°", remedy)
    if not -180.0 <= lon_deg <= 360.0:
        remedy = "East is positive, west negative."
        raise InputError("lon_deg", f"{lon_deg}°", "-180 to 360°", remedy)


def wrapped_azimuth_deg(azimuth_deg: float) -> float:
    """Return the same azimuth in [0, 360).

    >>> wrapped_azimuth_deg(-90.0), wrapped_azimuth_deg(-1e-20)
    (270.0, 0.0)
    """
    return azimuth_deg % 360.0 % 360.0  # twice: the first turns a hair below 0 into 360 itself


def wrapped_lon_deg(lon_deg: float) -> float:
    """Return the same longitude in [-180, 180), unchanged in the last bit when already there."""
    if -180.0 <= lon_deg < 180.0:
        return lon_deg
    wrapped_deg = (lon_deg + 180.0) % 360.0 - 180.0
    # A longitude a rounding below -180 comes out of the remainder as 180 itself.
    return wrapped_deg if wrapped_deg < 180.0 else -180.0


def place_deg(origin: Placed, north_rad: float, east_rad: float) -> tuple[float, float]:
    """Return latitude and longitude (-180 to 180) of an offset from somewhere, as of a launch."""
    lon_deg = (origin.lon_deg + np.degrees(east_rad) + 180.0) % 360.0 - 180.0
    return float(origin.lat_deg + np.degrees(north_rad)), float(lon_deg)


def place_at(origin: Placed, north_rad: float, east_rad: float, amsl_m: float) -> Place:
    """Return the place at radians north and east of somewhere, at a height."""
    lat_deg, lon_deg = place_deg(origin, north_rad, east_rad)
    return Place(lat_deg=lat_deg, lon_deg=lon_deg, amsl_m=amsl_m)


def offset_rad(origin: Placed, lat_deg: float, lon_deg: float) -> tuple[float, float]:
    """Return how many radians a latitude and longitude lie north and east of somewhere."""
    north_rad, east_rad = offsets_rad(origin, np.asarray(lat_deg), np.asarray(lon_deg))
    return float(north_rad), float(east_rad)


def offsets_rad(
    origin: Placed, lat_deg: FloatArray, lon_deg: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Return how many radians latitudes and longitudes lie north and east of somewhere."""
    east_deg = (lon_deg - origin.lon_deg + 180.0) % 360.0 - 180.0
    return np.radians(lat_deg - origin.lat_deg), np.radians(east_deg)
