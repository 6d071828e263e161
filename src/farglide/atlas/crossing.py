"""Crossing: where a way over the ground meets the line of an outline."""

import math
from typing import Final

import numpy as np

from farglide.atlas.outline import Outline
from farglide.earth.geodesy import geodesic
from farglide.earth.state import Place, wrapped_lon_deg

_FAR_M: Final = 1_000_000.0
_PIECE_DEG: Final = 0.1


def crossings_m(outline: Outline, start: Place, end: Place) -> tuple[float, ...]:
    """Return how far from its start the geodesic between two places crosses an outline, rising.

    Where it only touches a corner it may count twice or not at all.
    Edges run straight in latitude and longitude, as `outline.contains` has it.
    Valid: ways of up to 150 km, to 2 m, more where a way grazes an edge. Outlines may lie
    anywhere: pieces of edges with both ends more than 1000 km off are left out.
    Source: lines through the origin of the plane of `_flat_m` are geodesics; plane geometry.
    """
    to = np.array(_flat_m(start, end.lat_deg, end.lon_deg))
    length_m = float(np.hypot(*to))
    if length_m == 0.0:
        return ()
    at = np.array([_flat_m(start, *corner) for corner in _close_corners(outline)])
    ahead = to / length_m
    along, left = at @ ahead, at @ np.array([-ahead[1], ahead[0]])
    along_b, left_b = np.roll(along, -1), np.roll(left, -1)
    near = np.hypot(along, left) < _FAR_M
    across = ((left > 0.0) != (left_b > 0.0)) & (near | np.roll(near, -1))
    a, b, left_a, left_b = along[across], along_b[across], left[across], left_b[across]
    found = a + (b - a) * left_a / (left_a - left_b)
    return tuple(sorted(float(one) for one in found if 0.0 <= one <= length_m))


def _close_corners(outline: Outline) -> list[tuple[float, float]]:
    """Return the corners, with more on long edges: in a plane only short pieces are straight."""
    corners = np.array(outline.points)
    found: list[tuple[float, float]] = []
    for (lat, lon), (lat_b, lon_b) in zip(corners, np.roll(corners, -1, axis=0), strict=True):
        span_lat, span_lon = lat_b - lat, (lon_b - lon + 180.0) % 360.0 - 180.0
        n = max(1, math.ceil(max(abs(span_lat), abs(span_lon)) / _PIECE_DEG))
        pieces = np.arange(n) / n
        found += [
            (float(lat + span_lat * k), wrapped_lon_deg(float(lon + span_lon * k))) for k in pieces
        ]
    return found


def _flat_m(origin: Place, lat_deg: float, lon_deg: float) -> tuple[float, float]:
    """Return metres east and north in the plane about a place, by distance and direction."""
    line = geodesic(origin, Place(lat_deg=lat_deg, lon_deg=lon_deg, amsl_m=0.0))
    azimuth_rad = math.radians(line.azimuth_deg)
    return line.distance_m * math.sin(azimuth_rad), line.distance_m * math.cos(azimuth_rad)
