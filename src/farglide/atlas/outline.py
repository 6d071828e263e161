"""Outline: a closed line on the ground, how large it is and what lies in it or near it."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from farglide.arrays import BoolArray, FloatArray
from farglide.atlas.ring import encloses
from farglide.constants import MEAN_EARTH_RADIUS_M, WGS84_FLATTENING, WGS84_SEMI_MAJOR_M
from farglide.earth.state import check_lat_lon, wrapped_lon_deg
from farglide.errors import ContradictionError, InputError

LatLon = tuple[float, float]

MOST_POINTS: Final = 5000
_WIDEST_DEG: Final = 20.0
_GAUSS_NODES, _GAUSS_WEIGHTS = np.polynomial.legendre.leggauss(8)


@dataclass(frozen=True, slots=True, kw_only=True)
class Outline:
    """A closed line of corners (latitude, longitude), kept counterclockwise seen from above.

    Whichever way round they are given, and with or without the first corner at the end again.
    Between two corners it runs straight in degrees. It may lie across the 180th meridian.
    Source: RFC 7946, 3.1.1 (straight in degrees), 3.1.6 (exterior rings are counterclockwise).

    >>> Outline(points=((0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 0.0))).points
    ((0.0, 0.0), (1.0, 1.0), (1.0, 0.0))
    """

    points: tuple[LatLon, ...]

    def __post_init__(self) -> None:
        points = checked_corners(self.points)
        if len(points) > 1 and points[0] == points[-1]:
            points.pop()
        if not 3 <= len(points) <= MOST_POINTS:
            allowed = f"3 to {MOST_POINTS}, the first not counted twice"
            raise InputError("corners of an outline", len(points), allowed)
        flat = _flat_deg(points)
        for name, span_deg in zip(("latitude", "longitude"), np.ptp(flat, axis=0), strict=True):
            if span_deg > _WIDEST_DEG:
                allowed = f"up to {_WIDEST_DEG:g}°"
                remedy = "Is a corner wrong, or are latitude and longitude swapped?"
                raise InputError(f"outline's span of {name}", f"{span_deg:g}°", allowed, remedy)
        _check_simple(points, flat)
        if _twice_area(flat) < 0.0:
            points = [points[0], *points[:0:-1]]
        object.__setattr__(self, "points", tuple(points))


def checked_corners(points: Sequence[LatLon]) -> list[LatLon]:
    """Return corners as they are kept, longitudes from -180 to 180; refuse one off the Earth."""
    for lat_deg, lon_deg in points:
        check_lat_lon(lat_deg, lon_deg)
    return [(float(lat_deg), wrapped_lon_deg(float(lon_deg))) for lat_deg, lon_deg in points]


def area_m2(outline: Outline) -> float:
    """Return the area on the WGS84 ellipsoid.

    The integral of the area between equator and edge over longitude, eight Gauss points an edge.
    Source: Snyder, Map Projections, USGS Professional Paper 1395 (1987), eq. 3-12 (authalic
    latitude: area from the equator to a parallel), as three open projection codes cite it.

    >>> round(area_m2(Outline(points=((0.0, 0.0), (0.0, 1.0), (1.0, 1.0), (1.0, 0.0)))) / 1e6)
    12308
    """
    flat = np.radians(_flat_deg(outline.points))
    after = np.roll(flat, -1, axis=0)
    middle, half = 0.5 * (flat + after), 0.5 * (after - flat)
    lat = middle[:, :1] + half[:, :1] * _GAUSS_NODES
    below = (_area_to_parallel_m2(lat) * _GAUSS_WEIGHTS).sum(axis=1) * half[:, 1]
    return -float(below.sum())


def contains(outline: Outline, lat_deg: FloatArray, lon_deg: FloatArray) -> BoolArray:
    """Tell which points lie in an outline; those on its line may fall either way.

    Shapes: any, both alike. Source: as `ring.encloses`.

    >>> square = Outline(points=((0.0, 0.0), (0.0, 1.0), (1.0, 1.0), (1.0, 0.0)))
    >>> contains(square, np.array([0.5, 0.5]), np.array([0.5, 1.5])).tolist()
    [True, False]
    """
    corners = _flat_deg(outline.points)
    lat = np.asarray(lat_deg, np.float64)
    first_deg = outline.points[0][1]
    lon = first_deg + (np.asarray(lon_deg, np.float64) - first_deg + 180.0) % 360.0 - 180.0
    return encloses(corners[:, ::-1], lon, lat)


def edge_distance_m(outline: Outline, lat_deg: FloatArray, lon_deg: FloatArray) -> FloatArray:
    """Return how far points lie from the line of an outline, from inside or outside.

    Valid and Source: as `line_distance_m`.
    """
    return line_distance_m((*outline.points, outline.points[0]), lat_deg, lon_deg)


def line_distance_m(
    corners: Sequence[LatLon], lat_deg: FloatArray, lon_deg: FloatArray
) -> FloatArray:
    """Return how far points lie from the nearest part of a line of corners, or of its one corner.

    Valid: within 0.6 % up to 20 km, 2 % up to 100 km. Source: plane geometry about each point, on
    the sphere of the Earth's mean radius.

    >>> equator = ((0.0, 0.0), (0.0, 1.0))
    >>> line_distance_m(equator, np.array([0.001]), np.array([0.5])).round(1).tolist()
    [111.2]
    """
    lat, lon = np.broadcast_arrays(np.asarray(lat_deg, np.float64), lon_deg)
    at_lat, at_lon = lat.ravel(), lon.ravel()
    east_deg = np.cos(np.radians(at_lat))
    before = _offset_deg(corners[0], at_lat, at_lon, east_deg)
    nearest = np.hypot(*before)
    for corner in corners[1:]:
        after = _offset_deg(corner, at_lat, at_lon, east_deg)
        step = after - before
        length2 = (step * step).sum(axis=0)
        share = -(before * step).sum(axis=0) / np.where(length2 > 0.0, length2, 1.0)
        nearest = np.minimum(nearest, np.hypot(*(before + np.clip(share, 0.0, 1.0) * step)))
        before = after
    return np.radians(nearest).reshape(lat.shape) * MEAN_EARTH_RADIUS_M


def longest_m(outline: Outline) -> float:
    """Return the distance between the two corners farthest apart.

    Valid and Source: as `line_distance_m`.
    """
    lat, lon = (np.array(one) for one in zip(*outline.points, strict=True))
    return max(float(line_distance_m((point,), lat, lon).max()) for point in outline.points)


def middle_of(outline: Outline) -> LatLon:
    """Return the centre of area in degrees; it may lie outside a bent outline.

    Source: centroid of a polygon by its corners (common practice, no source).
    """
    flat = _flat_deg(outline.points)
    here, after = flat - flat[0], np.roll(flat - flat[0], -1, axis=0)
    cross = here[:, 1] * after[:, 0] - after[:, 1] * here[:, 0]
    lat, lon = flat[0] + ((here + after) * cross[:, None]).sum(axis=0) / (3.0 * cross.sum())
    return float(lat), wrapped_lon_deg(float(lon))


def _offset_deg(
    corner: LatLon, lat_deg: FloatArray, lon_deg: FloatArray, east_deg: FloatArray
) -> FloatArray:
    """Return a corner as seen from points, degrees of a great circle east and north."""
    turn = (corner[1] - lon_deg + 180.0) % 360.0 - 180.0
    return np.array([turn * east_deg, corner[0] - lat_deg])


def _flat_deg(points: Sequence[LatLon]) -> FloatArray:
    """Return latitudes and longitudes, the latter within half a turn of the first."""
    flat = np.array(points, dtype=np.float64)
    flat[:, 1] = flat[0, 1] + (flat[:, 1] - flat[0, 1] + 180.0) % 360.0 - 180.0
    return flat


def _twice_area(flat: FloatArray) -> float:
    here, after = flat - flat[0], np.roll(flat - flat[0], -1, axis=0)
    return float((here[:, 1] * after[:, 0] - after[:, 1] * here[:, 0]).sum())


def _area_to_parallel_m2(lat_rad: FloatArray) -> FloatArray:
    """Return the area from the equator to a parallel, per radian of longitude."""
    e2 = WGS84_FLATTENING * (2.0 - WGS84_FLATTENING)
    e, sine = math.sqrt(e2), np.sin(lat_rad)
    short_m2 = WGS84_SEMI_MAJOR_M**2 * (1.0 - e2)
    return 0.5 * short_m2 * (sine / (1.0 - e2 * sine**2) + np.arctanh(e * sine) / e)


def _check_simple(points: Sequence[LatLon], flat: FloatArray) -> None:
    """Refuse an outline that crosses or touches itself, or runs back on itself."""
    n = len(flat)
    a, b = flat - flat[0], np.roll(flat - flat[0], -1, axis=0)
    step = b - a
    for i in range(n):
        if not step[i].any():
            raise ContradictionError(f"{_said(points, i)} stands twice in a row.", "Take one out.")
        j = (i + 1) % n
        if _cross(step[i], step[j]) == 0.0 and float(step[i] @ step[j]) < 0.0:
            where = _said(points, j)
            raise ContradictionError(f"the outline runs back on itself at {where}.", "Correct it.")
    for i in range(n - 2):
        others = slice(i + 2, n if i else n - 1)  # its neighbours share a corner with it
        c, d = a[others], b[others]
        apart = _cross(step[i], c - a[i]) * _cross(step[i], d - a[i]) > 0.0
        apart |= _cross(d - c, a[i] - c) * _cross(d - c, b[i] - c) > 0.0
        low, high = np.minimum(a[i], b[i]), np.maximum(a[i], b[i])
        apart |= ((np.maximum(c, d) < low) | (np.minimum(c, d) > high)).any(axis=1)
        if not apart.all():
            k = i + 2 + int(np.argmin(apart))
            raise ContradictionError(
                f"the outline crosses or touches itself: the edge from {_said(points, i)} meets "
                f"the one from {_said(points, k)}.",
                "Put the corners in order round the place.",
            )


def _cross(a: FloatArray, b: FloatArray) -> FloatArray:
    product: FloatArray = a[..., 0] * b[..., 1] - a[..., 1] * b[..., 0]
    return product


def _said(points: Sequence[LatLon], i: int) -> str:
    lat_deg, lon_deg = points[i]
    return f"corner {i + 1} ({lat_deg:g}, {lon_deg:g})"
