"""GeoJSON (RFC 7946): a point for each fix, and a line for each feed."""

import json
from collections.abc import Iterable, Iterator
from dataclasses import asdict
from itertools import pairwise
from pathlib import Path
from typing import Any, Final

from farglide.errors import is_number
from farglide.track.heights import hae_m
from farglide.track.reports import Fix, HeightKind
from farglide.track.trackfiles.taking import Taking, TrackRead, content, unread
from farglide.track.trackfiles.times import seconds_of, time_text
from farglide.track.trackfiles.written import by_feed

_HEAD: Final = '{"type":"FeatureCollection","generator":"farglide","features":['
_NUMBERS: Final = ("height_m", "separation_m", "speed_mps", "track_deg", "n_satellites")
_KEPT: Final = ("feed", "t_s", "height_kind", *_NUMBERS)


def geojson_lines(fixes: Iterable[Fix]) -> Iterator[str]:
    """Yield a GeoJSON document; without fixes an empty collection.

    The third coordinate is the height above the ellipsoid, where the fix tells it; its properties
    hold the height as it was told. Lines are cut at the antimeridian.
    Source: RFC 7946, sections 3.1.1 (heights), 3.1.9 (antimeridian), 6.1 (the foreign member).
    """
    yield _HEAD
    before = "\n"
    for feed, of_feed in by_feed(fixes).items():
        features = [_line(feed, of_feed)] if len(of_feed) > 1 else []
        for feature in (*features, *map(_point, of_feed)):
            yield before + json.dumps(feature, separators=(",", ":"))
            before = ",\n"
    yield "\n]}\n"


def read_geojson(path: Path) -> TrackRead:
    """Return the points of a GeoJSON file by their properties; lines are no fixes.

    A point without `height_m` has the height of its third coordinate, above the ellipsoid.
    Raises SourceError.
    """
    name = str(path)
    try:
        document = json.loads(content(name, path.read_bytes()))
    except (ValueError, RecursionError) as error:
        raise unread(name, f"is no JSON: {error}.") from None
    features = document.get("features") if isinstance(document, dict) else None
    if not isinstance(features, list):
        raise unread(name, "is no GeoJSON collection of features.", "Is it a track?")
    taking = Taking(name)
    for feature in features:
        geometry = feature.get("geometry") if isinstance(feature, dict) else None
        if isinstance(geometry, dict) and geometry.get("type") == "Point":
            said = feature.get("properties")
            _take(taking, geometry.get("coordinates"), said if isinstance(said, dict) else {})
    return taking.track()


def _take(taking: Taking, place: object, said: dict[str, Any]) -> None:
    if not isinstance(place, list) or len(place) < 2 or not all(map(_is_finite, place)):
        taking.leave("no position")
        return
    told: dict[str, Any] = {"lon_deg": place[0], "lat_deg": place[1]}
    told |= {name: said[name] for name in _NUMBERS if said.get(name) is not None}
    if not all(map(_is_finite, told.values())):
        taking.leave("a value that is no number")
        return
    if "n_satellites" in told:
        told["n_satellites"] = int(told["n_satellites"])
    if "height_m" in told:
        kinds = [kind for kind in HeightKind if kind == said.get("height_kind")]
        told["height_kind"] = kinds[0] if kinds else HeightKind.SEA_LEVEL
    elif len(place) > 2:
        told |= {"height_m": place[2], "height_kind": HeightKind.ELLIPSOID}
    feed, t_s = said.get("feed"), said.get("t_s")
    if not _is_finite(t_s):
        time = said.get("time")
        t_s = seconds_of(time) if isinstance(time, str) else None
    taking.take_values(told, feed if isinstance(feed, str) and feed else "track", t_s)


def _is_finite(x: object) -> bool:
    return is_number(x) and abs(x) < 1e300


def _point(fix: Fix) -> dict[str, Any]:
    said = {name: x for name, x in asdict(fix).items() if name in _KEPT and x is not None}
    if fix.height_m is None:
        said.pop("height_kind")
    time = time_text(fix.t_s)
    properties = ({"time": time} if time else {}) | said
    return {
        "type": "Feature",
        "geometry": {"type": "Point", "coordinates": _place(fix)},
        "properties": properties,
    }


def _line(feed: str, fixes: list[Fix]) -> dict[str, Any]:
    """Return the way of a feed, in parts where it crosses the antimeridian."""
    parts = [[_place(fixes[0])]]
    for a, b in pairwise(fixes):
        if abs(b.lon_deg - a.lon_deg) > 180.0:
            side = 180.0 if a.lon_deg > 0.0 else -180.0
            lat_deg = _crossing_lat_deg(a, b)
            parts[-1].append([side, lat_deg])
            parts.append([[-side, lat_deg]])
        parts[-1].append(_place(b))
    geometry = {"type": "MultiLineString", "coordinates": parts}
    return {"type": "Feature", "geometry": geometry, "properties": {"feed": feed, "what": "way"}}


def _crossing_lat_deg(a: Fix, b: Fix) -> float:
    """Return the latitude at which the straight line between two fixes crosses longitude 180."""
    beyond_a, beyond_b = 180.0 - abs(a.lon_deg), 180.0 - abs(b.lon_deg)
    whole = beyond_a + beyond_b
    share = beyond_a / whole if whole else 0.5
    return a.lat_deg + share * (b.lat_deg - a.lat_deg)


def _place(fix: Fix) -> list[float]:
    height_m = hae_m(fix)
    return [fix.lon_deg, fix.lat_deg] + ([] if height_m is None else [height_m])
