"""Afloat: where the wind carries what came down on water, and where and when it strands."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import BoolArray, FloatArray
from farglide.atlas.barriers import Barrier
from farglide.atlas.outline import Outline, contains
from farglide.earth.geodesy import destination
from farglide.earth.state import Place
from farglide.errors import check_range
from farglide.search.grid import metres
from farglide.search.points import GroundPoints

LEEWAY_RATIO: Final = 0.03
"""Drift of a floating glider over the wind: from memory. Boats and rafts of 0.79 to 3.65 %: Allen
and Fitzgerald 1997, USCG R&D Center, ADA338829, abstract."""
LEEWAY_SD_RATIO: Final = 0.01


@dataclass(frozen=True, slots=True, kw_only=True)
class SurfaceWind:
    """The wind over the water: true direction it comes from, and speed."""

    from_deg: float
    mps: float

    def __post_init__(self) -> None:
        check_range("direction of the wind", self.from_deg, "deg", (0.0, 360.0))
        check_range("wind over the water", self.mps, "m/s", (0.0, 60.0))


class Stranding(NamedTuple):
    """Where it strands, how far that is, and after how long: soonest, likely and latest.

    By the leeway and one deviation of it; infinite where there is no wind.
    """

    place: Place
    drift_m: float
    soonest_s: float
    likely_s: float
    latest_s: float


def drift_m(wind_mps: float, seconds: float, leeway_ratio: float = LEEWAY_RATIO) -> float:
    """Return how far the wind carries what floats.

    >>> drift_m(8.0, 3600.0)
    864.0
    """
    check_range("wind over the water", wind_mps, "m/s", (0.0, 60.0))
    check_range("seconds afloat", seconds, "s", (0.0, 30.0 * 86_400.0))
    check_range("leeway", leeway_ratio, "", (0.0, 0.2))
    return leeway_ratio * wind_mps * seconds


def stranding(water: Outline, place: Place, wind: SurfaceWind) -> Stranding | None:
    """Return where what floats at a place strands, straight downwind; None for a place on land.

    Currents are not known: on running water it goes with the stream.
    """
    lat, lon = np.array([place.lat_deg]), np.array([place.lon_deg])
    if not contains(water, lat, lon)[0]:
        return None
    away_m = float(shore_m(water, lat, lon, wind)[0])
    speeds = [(LEEWAY_RATIO + k * LEEWAY_SD_RATIO) * wind.mps for k in (1, 0, -1)]
    times = [away_m / one if one > 0.0 else math.inf for one in speeds]
    return Stranding(destination(place, (wind.from_deg + 180.0) % 360.0, away_m), away_m, *times)


def shore_m(
    water: Outline, lat_deg: FloatArray, lon_deg: FloatArray, wind: SurfaceWind
) -> FloatArray:
    """Return how far it is downwind from points to the first shore, (n_points,); 0 for none.

    Source: plane geometry about the first point. Valid: waters up to 100 km.
    """
    origin = Place(lat_deg=float(lat_deg[0]), lon_deg=float(lon_deg[0]), amsl_m=0.0)
    east, north = metres(origin, lat_deg, lon_deg)
    corners = np.array(water.points)
    at_east, at_north = metres(origin, corners[:, 0], corners[:, 1])
    to_rad = math.radians(wind.from_deg + 180.0)
    ahead = math.sin(to_rad), math.cos(to_rad)
    along = at_east * ahead[0] + at_north * ahead[1]
    left = at_north * ahead[0] - at_east * ahead[1]
    own = east * ahead[0] + north * ahead[1], north * ahead[0] - east * ahead[1]
    nearest = np.full(lat_deg.shape, np.inf)
    for k in range(len(corners)):
        a, b = (along[k], left[k] - own[1]), (along[k - 1], left[k - 1] - own[1])
        crossed = (a[1] > 0.0) != (b[1] > 0.0)
        share = np.where(crossed, a[1] / np.where(crossed, a[1] - b[1], 1.0), 0.0)
        met = a[0] + share * (b[0] - a[0]) - own[0]
        nearest = np.minimum(nearest, np.where(crossed & (met >= 0.0), met, np.inf))
    return np.where(np.isfinite(nearest), nearest, 0.0)


def in_water(points: GroundPoints, barriers: Sequence[Barrier]) -> BoolArray:
    """Tell which points lie in a stated water, (n_points,)."""
    found = np.zeros(len(points.lat_deg), np.bool_)
    for one in barriers:
        if one.kind == "water":
            found |= contains(one.outline, points.lat_deg, points.lon_deg)
    return found


def drifted(
    points: GroundPoints, barriers: Sequence[Barrier], wind: SurfaceWind, t_s: float
) -> GroundPoints:
    """Return the points as they lie at a time: those on water moved downwind, the stranded ashore.

    A stranded one lies 20 m behind the line of the shore.
    """
    lat, lon = points.lat_deg.copy(), points.lon_deg.copy()
    to_rad = math.radians(wind.from_deg + 180.0)
    for one in barriers:
        if one.kind != "water":
            continue
        wet = np.flatnonzero(contains(one.outline, lat, lon))
        if not len(wet) or wind.mps == 0.0:
            continue
        shore = shore_m(one.outline, lat[wet], lon[wet], wind)
        gone = LEEWAY_RATIO * wind.mps * np.maximum(t_s - points.down_t_s[wet], 0.0)
        away_m = np.where(gone >= shore, shore + _ASHORE_M, gone)
        lat[wet] += np.degrees(away_m * math.cos(to_rad) / _RADIUS_M)
        round_m = _RADIUS_M * np.cos(np.radians(lat[wet]))
        lon[wet] = (lon[wet] + np.degrees(away_m * math.sin(to_rad) / round_m) + 180.0) % 360 - 180
    return GroundPoints(
        lat_deg=lat, lon_deg=lon, weight=points.weight, story=points.story,
        down_t_s=points.down_t_s, names=points.names,
    )  # fmt: skip


_ASHORE_M: Final = 20.0
_RADIUS_M: Final = 6_371_000.0
