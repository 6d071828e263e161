"""Crossing: where a way over the ground meets the line of an outline."""

import numpy as np

from farglide.atlas.outline import Outline
from farglide.earth.geodesy import east_north_m
from farglide.earth.state import Place


def crossings_m(outline: Outline, start: Place, end: Place) -> tuple[float, ...]:
    """Return how far from its start the geodesic between two places crosses an outline, rising.

    Where it only touches a corner it may count twice or not at all.
    Valid: within 150 km of the start; edges of up to 10 km, straight in the plane to 2 m.
    Source: lines through the origin of the plane of `east_north_m` are geodesics; plane geometry.
    """
    to = np.array(tuple(east_north_m(start, end)))
    length_m = float(np.hypot(*to))
    if length_m == 0.0:
        return ()
    corners = [Place(lat_deg=lat, lon_deg=lon, amsl_m=0.0) for lat, lon in outline.points]
    at = np.array([tuple(east_north_m(start, corner)) for corner in corners])
    ahead = to / length_m
    along, left = at @ ahead, at @ np.array([-ahead[1], ahead[0]])
    along_b, left_b = np.roll(along, -1), np.roll(left, -1)
    across = (left > 0.0) != (left_b > 0.0)
    a, b, left_a, left_b = along[across], along_b[across], left[across], left_b[across]
    found = a + (b - a) * left_a / (left_a - left_b)
    return tuple(sorted(float(one) for one in found if 0.0 <= one <= length_m))
