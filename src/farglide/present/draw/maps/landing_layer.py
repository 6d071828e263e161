"""Where a payload may come down as a GeoJSON layer (RFC 7946) for other programs."""

import json
import math
from typing import Any, Final

from farglide.outlook.payload import PayloadOutlook

_N_CORNERS: Final = 72
_DEGREE_M: Final = 111_195.0  # of a great circle: the ring is drawn within 0.6 %
_N_DECIMALS: Final = 5  # of a degree: a metre


def landing_geojson(outlook: PayloadOutlook) -> str:
    """Return the middle of the landings, the ring that holds nine in ten, and the burst."""
    land, burst = outlook.landing, outlook.ascent.burst
    features = [
        _feature("Point", _at(land.lat_deg, land.lon_deg), {
            "kind": "landing", "after_launch_s": round(land.after_launch_s.p50, 1)}),
        _feature("Polygon", [_ring(land.lat_deg, land.lon_deg, land.radius_m)], {
            "kind": "nine in ten landings", "radius_m": round(land.radius_m, 1)}),
        _feature("Point", _at(burst.lat_deg, burst.lon_deg), {
            "kind": "burst", "amsl_m": round(burst.height_amsl_m.p50, 1)}),
    ]  # fmt: skip
    collection = {"type": "FeatureCollection", "features": features}
    return json.dumps(collection, allow_nan=False, separators=(",", ":")) + "\n"


def _feature(kind: str, coordinates: object, says: dict[str, Any]) -> dict[str, Any]:
    geometry = {"type": kind, "coordinates": coordinates}
    return {"type": "Feature", "geometry": geometry, "properties": says}


def _at(lat_deg: float, lon_deg: float) -> list[float]:
    wrapped_deg = (lon_deg + 180.0) % 360.0 - 180.0
    return [round(wrapped_deg, _N_DECIMALS), round(lat_deg, _N_DECIMALS)]


def _ring(lat_deg: float, lon_deg: float, radius_m: float) -> list[list[float]]:
    """Return the corners of a ring, turning left, the first again at the end."""
    north_deg = radius_m / _DEGREE_M
    east_deg = north_deg / math.cos(math.radians(lat_deg))
    turns = [2.0 * math.pi * i / _N_CORNERS for i in range(_N_CORNERS)]
    corners = [
        _at(lat_deg + north_deg * math.sin(turn), lon_deg + east_deg * math.cos(turn))
        for turn in turns
    ]
    return [*corners, corners[0]]
