"""A search as layers for other programs: GeoJSON (RFC 7946) and GPX 1.1."""

import json
from collections.abc import Iterator
from typing import Any, Final
from xml.sax.saxutils import escape

from farglide.outlook.search import SearchOutlook, SearchSegment
from farglide.sortie.words import number_text

GEOJSON: Final = "search.geojson"
GPX: Final = "search.gpx"
_N_DECIMALS: Final = 6  # of a degree: 0.1 m
_GPX: Final = "http://www.topografix.com/GPX/1/1"

Ring = tuple[tuple[float, float], ...]


def search_geojson(outlook: SearchOutlook) -> str:
    """Return last place, glide area, segments and crossings of bearings.

    Outer rings turn left, holes right, and each ends with its first corner.
    """
    collection = {"type": "FeatureCollection", "features": list(_features(outlook))}
    return json.dumps(collection, ensure_ascii=False, allow_nan=False) + "\n"


def search_gpx(outlook: SearchOutlook) -> str:
    """Return waypoints (last place, then segments in the order of the looks), then outlines."""
    datum = outlook.datum
    points = [_waypoint(datum.lat_deg, datum.lon_deg, "last place", "last true position")]
    for k, one in enumerate(_in_order(outlook), 1):
        desc = f"look {k}: {one.cover}, {_share(one.chance_ratio)}"
        points.append(_waypoint(one.lat_deg, one.lon_deg, one.name, desc))
    tracks = [_track(one) for one in outlook.segments]
    head = '<?xml version="1.0" encoding="UTF-8"?>\n'
    body = "".join((*points, *tracks))
    return f'{head}<gpx version="1.1" creator="farglide" xmlns="{_GPX}">\n{body}</gpx>\n'


def _features(outlook: SearchOutlook) -> Iterator[dict[str, Any]]:
    datum = outlook.datum
    says: dict[str, Any] = {"kind": "last place", "amsl_m": round(datum.amsl_m, 1)}
    yield _feature("Point", _at(datum.lat_deg, datum.lon_deg), says)
    if len(datum.outline) > 2 and datum.glide_radius_m > 0.0:
        says = {"kind": "glide", "radius_m": round(datum.glide_radius_m, 1)}
        yield _feature("Polygon", [_closed(datum.outline)], says)
    order = {one.segment: k for k, one in reversed(list(enumerate(outlook.steps, 1)))}
    for one in outlook.segments:
        says = {
            "kind": "segment", "name": one.name, "cover": one.cover, "on_foot": one.is_walked,
            "area_m2": round(one.area_m2), "chance_ratio": round(one.chance_ratio, 4),
            "looked_s": round(one.looked_s), "order": order.get(one.name),
        }  # fmt: skip
        yield _feature("Polygon", [_closed(ring) for ring in one.rings], says)
    for met in outlook.met:
        says = {"kind": "bearings", "stands": list(met.stands), "radius_m": round(met.radius_90_m)}
        yield _feature("Point", _at(met.lat_deg, met.lon_deg), says)


def _feature(form: str, coordinates: object, says: dict[str, Any]) -> dict[str, Any]:
    geometry = {"type": form, "coordinates": coordinates}
    return {"type": "Feature", "geometry": geometry, "properties": says}


def _at(lat_deg: float, lon_deg: float) -> list[float]:
    return [round(lon_deg, _N_DECIMALS), round(lat_deg, _N_DECIMALS)]


def _closed(ring: Ring) -> list[list[float]]:
    return [_at(*corner) for corner in (*ring, ring[0])]


def _in_order(outlook: SearchOutlook) -> list[SearchSegment]:
    """Return the segments that are looked at, each once, as they come first."""
    names = dict.fromkeys(one.segment for one in outlook.steps)
    by_name = {one.name: one for one in outlook.segments}
    return [by_name[name] for name in names]


def _share(ratio: float) -> str:
    return f"{number_text(100.0 * ratio)} in 100 that it lies there"


def _waypoint(lat_deg: float, lon_deg: float, name: str, desc: str) -> str:
    says = f"<name>{escape(name)}</name><desc>{escape(desc)}</desc>"
    return f'<wpt lat="{lat_deg:.6f}" lon="{lon_deg:.6f}">{says}</wpt>\n'


def _track(segment: SearchSegment) -> str:
    lines = "".join(
        "<trkseg>"
        + "".join(f'<trkpt lat="{lat:.6f}" lon="{lon:.6f}"/>' for lat, lon in (*ring, ring[0]))
        + "</trkseg>"
        for ring in segment.rings
    )
    return f"<trk><name>{escape(segment.name)}</name>{lines}</trk>\n"
