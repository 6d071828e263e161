"""A comparison as a GeoJSON layer (RFC 7946) for other programs: each spot at its best."""

import json
from typing import Any, Final

from farglide.earth.clock import local_datetime
from farglide.outlook.season import SeasonCell, SeasonOutlook

_N_DECIMALS: Final = 5  # of a degree: a metre


def season_geojson(outlook: SeasonOutlook) -> str:
    """Return every spot as a point with its best launch, and its chance at each launch time."""
    by_spot: dict[int, list[SeasonCell]] = {}
    for cell in outlook.cells:
        by_spot.setdefault(cell.spot, []).append(cell)
    features = [_spot(outlook, k, cells) for k, cells in sorted(by_spot.items())]
    collection = {"type": "FeatureCollection", "features": features}
    return json.dumps(collection, ensure_ascii=False, allow_nan=False, separators=(",", ":")) + "\n"


def _spot(outlook: SeasonOutlook, number: int, cells: list[SeasonCell]) -> dict[str, Any]:
    spot, best = outlook.spots[number], cells[0]
    alone = [one for one in cells if one.neck_lift_kg == best.neck_lift_kg]
    times = {_utc(one.launch_t_s): round(outlook.chance(one), 3) for one in alone}
    says = {
        "name": spot.name,
        "kind": spot.kind,
        "drive_s": round(spot.drive_s),
        "best_launch": _utc(best.launch_t_s),
        "neck_lift_kg": round(best.neck_lift_kg, 3),
        "home_ratio": round(best.home_ratio, 3),
        "any_field_ratio": round(best.any_field_ratio, 3),
        "shut_s": round(best.shut_s),
        "reason": best.reason,
        "chance_by_launch": dict(sorted(times.items())),
    }
    at = [round(spot.lon_deg, _N_DECIMALS), round(spot.lat_deg, _N_DECIMALS)]
    return {
        "type": "Feature",
        "geometry": {"type": "Point", "coordinates": at},
        "properties": says,
    }


def _utc(t_s: float) -> str:
    return local_datetime(t_s, "UTC").strftime("%Y-%m-%dT%H:%MZ")
