"""Bearings: what a direction from a stand says of where it lies, and what two say together."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import BoolArray, FloatArray
from farglide.earth.geodesy import EastNorth, east_north_m, offset
from farglide.earth.radii import _meridian_radius_m, _normal_radius_m
from farglide.earth.state import Place
from farglide.errors import InputError, check_range
from farglide.search.detection import radius_holding_m

USUAL_SD_DEG: Final = 5.0  # of a hand-held antenna: common practice, no source
WRONG_RATIO: Final = 0.05
"""Chance that a bearing is of something else, an echo say: so no single one excludes a place."""
_LEAST_CROSSING_DEG: Final = 2.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Bearing:
    """A true direction in which it was heard from a stand, and its error, one deviation."""

    stand: Place
    name: str
    azimuth_deg: float
    sd_deg: float = USUAL_SD_DEG

    def __post_init__(self) -> None:
        remedy = "True, north is 0, east 90."
        check_range("azimuth of a bearing", self.azimuth_deg, "deg", (0.0, 360.0), remedy)
        check_range("error of a bearing", self.sd_deg, "deg", (0.1, 90.0))


def fits(bearing: Bearing, lat_deg: FloatArray, lon_deg: FloatArray) -> BoolArray:
    """Tell which points lie within three deviations of a bearing, (n_points,)."""
    return np.asarray(np.abs(_off_deg(bearing, lat_deg, lon_deg)) < 3.0 * bearing.sd_deg)


class Crossing(NamedTuple):
    """Where two bearings meet: at which angle, and how far off it may be."""

    lat_deg: float
    lon_deg: float
    angle_deg: float
    major_m: float  # one deviation along the longer axis
    minor_m: float
    radius_50_m: float
    radius_90_m: float


def likelihood(bearings: Sequence[Bearing], lat_deg: FloatArray, lon_deg: FloatArray) -> FloatArray:
    """Return how well points fit some bearings, (n_points,): the product over the bearings.

    Each is a normal law of the angle between it and the way to the point, over a floor of those
    that are of something else. Independent errors. Valid: points within 150 km of the stands.
    """
    found = np.ones(lat_deg.shape)
    for one in bearings:
        off_deg = _off_deg(one, lat_deg, lon_deg)
        normal = np.exp(-0.5 * (off_deg / one.sd_deg) ** 2)
        anywhere = one.sd_deg * math.sqrt(2.0 * math.pi) / 360.0
        found = found * ((1.0 - WRONG_RATIO) * normal + WRONG_RATIO * anywhere)
    return np.asarray(found)


def _off_deg(one: Bearing, lat_deg: FloatArray, lon_deg: FloatArray) -> FloatArray:
    """Return by how much each point lies to the right of a bearing, -180 to 180."""
    north = np.radians(lat_deg - one.stand.lat_deg)
    east = np.radians((lon_deg - one.stand.lon_deg + 180.0) % 360.0 - 180.0)
    at_rad = math.radians(one.stand.lat_deg)
    across = np.cos(np.radians(0.5 * (lat_deg + one.stand.lat_deg)))
    to_deg = np.degrees(
        np.arctan2(east * across * _normal_radius_m(at_rad), north * _meridian_radius_m(at_rad))
    )
    return np.asarray((to_deg - one.azimuth_deg + 180.0) % 360.0 - 180.0)


def crossing(one: Bearing, other: Bearing) -> Crossing:
    """Return where two bearings meet and how far off that may be, by errors small and normal.

    Raises InputError where they do not meet ahead, or at less than 2 degrees.
    Source: plane geometry; the covariance of a point held by two lines, each moved across by its
    distance times its error.
    """
    angle_deg = abs((one.azimuth_deg - other.azimuth_deg + 90.0) % 180.0 - 90.0)
    if angle_deg < _LEAST_CROSSING_DEG:
        allowed = f"{_LEAST_CROSSING_DEG:g}° or more"
        raise InputError("angle of two bearings", f"{angle_deg:.1f}°", allowed, _ELSEWHERE)
    to = east_north_m(one.stand, other.stand)
    away_m, other_m = _distances_m(one, other, to)
    if away_m <= 0.0 or other_m <= 0.0:
        allowed = "a place ahead of both stands"
        raise InputError("crossing of two bearings", "behind a stand", allowed, _ELSEWHERE)
    east, north = _ahead(one)
    place = offset(one.stand, away_m * east, away_m * north)
    across_m = [math.radians(b.sd_deg) * d for b, d in ((one, away_m), (other, other_m))]
    major_m, minor_m = _axes_m(across_m, math.radians(angle_deg))
    radii = [radius_holding_m(major_m, minor_m, share) for share in (0.5, 0.9)]
    return Crossing(place.lat_deg, place.lon_deg, angle_deg, major_m, minor_m, radii[0], radii[1])


_ELSEWHERE: Final = "Take the second bearing from a place farther to the side."


def _ahead(bearing: Bearing) -> tuple[float, float]:
    azimuth_rad = math.radians(bearing.azimuth_deg)
    return math.sin(azimuth_rad), math.cos(azimuth_rad)


def _distances_m(one: Bearing, other: Bearing, to: EastNorth) -> tuple[float, float]:
    """Return how far from each stand the lines meet; negative behind it."""
    (east_a, north_a), (east_b, north_b) = _ahead(one), _ahead(other)
    turn = east_a * north_b - north_a * east_b
    away_m = (to.east_m * north_b - to.north_m * east_b) / turn
    other_m = (to.east_m * north_a - to.north_m * east_a) / turn
    return away_m, other_m


def _axes_m(across_m: Sequence[float], angle_rad: float) -> tuple[float, float]:
    """Return both deviations of a point held across two lines that meet at an angle."""
    inverse = np.zeros((2, 2))
    for sd_m, turn in zip(across_m, (0.0, angle_rad), strict=True):
        normal = np.array([-math.sin(turn), math.cos(turn)])
        inverse += np.outer(normal, normal) / sd_m**2
    low, high = np.linalg.eigvalsh(inverse)
    return float(1.0 / math.sqrt(low)), float(1.0 / math.sqrt(high))


def range_error_m(height_m: float, elevation_deg: float, sd_deg: float = USUAL_SD_DEG) -> float:
    """Return the error of the ground distance to something at a known height over the stand.

    >>> round(range_error_m(26_000.0, 38.0) / 1000.0, 1)
    6.0
    """
    check_range("height over the stand", height_m, "m", (1.0, 100_000.0))
    check_range("elevation", elevation_deg, "deg", (0.5, 90.0), "Lower, distance is not told.")
    check_range("error of an elevation", sd_deg, "deg", (0.1, 90.0))
    return height_m * math.radians(sd_deg) / math.sin(math.radians(elevation_deg)) ** 2
