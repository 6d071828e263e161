"""The area to launch from as a GeoJSON layer (RFC 7946) for other programs."""

import json
from collections.abc import Iterator
from typing import Any, Final

from farglide.outlook.launch import LaunchArea, LaunchSpot, ToldSpot
from farglide.present.say.launch import told_spots

_N_DECIMALS: Final = 5  # of a degree: a metre


def launch_geojson(area: LaunchArea) -> str:
    """Return every spot as a point with its chances, and the spots looked at closely."""
    features = [*map(_told, told_spots(area)), *_marks(area), *map(_spot, area.spots)]
    collection = {"type": "FeatureCollection", "features": features}
    return json.dumps(collection, ensure_ascii=False, allow_nan=False, separators=(",", ":")) + "\n"


def _point(lat_deg: float, lon_deg: float, says: dict[str, Any]) -> dict[str, Any]:
    at = [round(lon_deg, _N_DECIMALS), round(lat_deg, _N_DECIMALS)]
    return {
        "type": "Feature",
        "geometry": {"type": "Point", "coordinates": at},
        "properties": {key: _rounded(value) for key, value in says.items()},
    }


def _rounded(value: Any) -> Any:
    return round(value, 3) if isinstance(value, float) else value


def _spot(spot: LaunchSpot) -> dict[str, Any]:
    says = {
        "kind": "launch spot",
        "home_ratio": spot.home_ratio,
        "home_any_height_ratio": spot.home_any_height_ratio,
        "any_field_ratio": spot.any_field_ratio,
        "field_ratios": [round(one, 3) for one in spot.field_ratios],
        "up_drift_m": spot.up_drift_m,
        "across_m": spot.across_m,
        "drive_s": spot.drive_s,
        "barred": spot.barred,
    }
    return _point(spot.lat_deg, spot.lon_deg, says)


def _told(spot: ToldSpot) -> dict[str, Any]:
    kinds = {"launch": "launch", "free": "best launch spot", "place": "launch place"}
    says = {
        "kind": kinds[spot.kind],
        "name": spot.name,
        "home_ratio": spot.home_ratio,
        "any_field_ratio": spot.any_field_ratio,
        "drive_s": spot.drive_s,
        "stand": spot.stand,
        "links_ratio": spot.links_ratio,
        "barred": spot.barred,
    }
    return _point(spot.lat_deg, spot.lon_deg, says)


def _marks(area: LaunchArea) -> Iterator[dict[str, Any]]:
    for mark in area.marks:
        yield _point(mark.lat_deg, mark.lon_deg, {"kind": mark.kind, "name": mark.name})
