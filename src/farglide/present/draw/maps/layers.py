"""Places as layers for other programs: GeoJSON (RFC 7946), KML 2.2 (OGC 12-007) and GPX 1.1.

`sources.places` reads them back to the same values and says which property holds what.
"""

import json
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Final
from xml.sax.saxutils import escape, quoteattr

from farglide.atlas.barriers import Barrier, Landmark, Places
from farglide.atlas.fields import Field
from farglide.atlas.outline import LatLon

_FIELD_TEXTS: Final = ("role", "surface", "obstacles", "owner", "last_light")
_FIELD_NUMBERS: Final = ("amsl_m", "length_m", "direction_deg")
_XML_HEAD: Final = '<?xml version="1.0" encoding="UTF-8"?>\n'
_KML: Final = "http://www.opengis.net/kml/2.2"
_GPX: Final = "http://www.topografix.com/GPX/1/1"
_OWN: Final = "urn:x-farglide:places"


@dataclass(frozen=True, slots=True, kw_only=True)
class _Row:
    """One place as every format writes it; an area repeats its first corner at the end."""

    form: str  # "Point", "LineString" or "Polygon"
    points: tuple[LatLon, ...]
    says: Mapping[str, str | float]


def geojson_text(places: Places) -> str:
    """Return places as a GeoJSON feature collection; outer rings run counterclockwise.

    >>> geojson_text(Places())
    '{"type": "FeatureCollection", "features": []}\\n'
    """
    features = []
    for row in _rows(places):
        shape = {"type": row.form, "coordinates": _coordinates(row)}
        features.append({"type": "Feature", "geometry": shape, "properties": dict(row.says)})
    collection = {"type": "FeatureCollection", "features": features}
    return json.dumps(collection, ensure_ascii=False, allow_nan=False) + "\n"


def kml_text(places: Places) -> str:
    """Return places as a KML document of placemarks, all properties in their extended data."""
    body = "".join(map(_placemark, _rows(places)))
    return f'{_XML_HEAD}<kml xmlns="{_KML}"><Document>\n{body}</Document></kml>\n'


def gpx_text(places: Places) -> str:
    """Return places as GPX: points as waypoints, lines and outlines as tracks.

    GPX wants all waypoints before all tracks.
    """
    rows = sorted(_rows(places), key=lambda row: row.form != "Point")
    body = "".join(_waypoint(row) if row.form == "Point" else _track(row) for row in rows)
    head = f'<gpx version="1.1" creator="farglide" xmlns="{_GPX}" xmlns:farglide="{_OWN}">'
    return f"{_XML_HEAD}{head}\n{body}</gpx>\n"


WRITERS: Final[Mapping[str, Callable[[Places], str]]] = {
    "places.geojson": geojson_text, "places.kml": kml_text, "places.gpx": gpx_text,
}  # fmt: skip
"""Names of the files and what writes them."""


def _rows(places: Places) -> Iterator[_Row]:
    yield from map(_field, places.fields)
    yield from map(_barrier, places.barriers)
    yield from map(_landmark, places.landmarks)


def _field(field: Field) -> _Row:
    says: dict[str, str | float] = {"name": field.name, "kind": "field"}
    says |= {key: getattr(field, key) for key in _FIELD_TEXTS if getattr(field, key)}
    says |= {key: getattr(field, key) for key in _FIELD_NUMBERS if getattr(field, key) is not None}
    if field.outline is None:
        return _Row(form="Point", points=((field.lat_deg, field.lon_deg),), says=says)
    says |= {"lat_deg": field.lat_deg, "lon_deg": field.lon_deg}
    return _Row(form="Polygon", points=_closed(field.outline.points), says=says)


def _barrier(barrier: Barrier) -> _Row:
    says: dict[str, str | float] = {"name": barrier.name, "kind": barrier.kind}
    if barrier.note:
        says["note"] = barrier.note
    return _Row(form="Polygon", points=_closed(barrier.outline.points), says=says)


def _landmark(landmark: Landmark) -> _Row:
    says = {"name": landmark.name, "kind": landmark.kind}
    is_house = landmark.kind == "house"
    form = "LineString" if not is_house else "Point" if len(landmark.points) == 1 else "Polygon"
    return _Row(form=form, points=landmark.points, says=says)


def _closed(points: tuple[LatLon, ...]) -> tuple[LatLon, ...]:
    return (*points, points[0])


def _coordinates(row: _Row) -> object:
    """Return what GeoJSON holds for a geometry: longitude first."""
    found = [[lon_deg, lat_deg] for lat_deg, lon_deg in row.points]
    return found[0] if row.form == "Point" else [found] if row.form == "Polygon" else found


def _placemark(row: _Row) -> str:
    data = "".join(
        f"<Data name={quoteattr(key)}><value>{escape(str(value))}</value></Data>"
        for key, value in row.says.items()
        if key != "name"
    )
    positions = " ".join(f"{lon_deg!r},{lat_deg!r}" for lat_deg, lon_deg in row.points)
    shape = f"<coordinates>{positions}</coordinates>"
    if row.form == "Polygon":
        shape = f"<outerBoundaryIs><LinearRing>{shape}</LinearRing></outerBoundaryIs>"
    head = f"<name>{escape(str(row.says['name']))}</name><ExtendedData>{data}</ExtendedData>"
    return f"<Placemark>{head}<{row.form}>{shape}</{row.form}></Placemark>\n"


def _waypoint(row: _Row) -> str:
    (lat_deg, lon_deg) = row.points[0]
    height = f"<ele>{row.says['amsl_m']!r}</ele>" if "amsl_m" in row.says else ""
    return f'<wpt lat="{lat_deg!r}" lon="{lon_deg!r}">{height}{_gpx_says(row)}</wpt>\n'


def _track(row: _Row) -> str:
    points = "".join(f'<trkpt lat="{lat!r}" lon="{lon!r}"/>' for lat, lon in row.points)
    return f"<trk>{_gpx_says(row)}<trkseg>{points}</trkseg></trk>\n"


def _gpx_says(row: _Row) -> str:
    """Return the elements that waypoints and tracks share, in the order of the schema."""
    own = "".join(
        f"<farglide:{key}>{escape(str(value))}</farglide:{key}>"
        for key, value in row.says.items()
        if key not in ("name", "kind", "note")
    )
    note = f"<desc>{escape(str(row.says['note']))}</desc>" if "note" in row.says else ""
    extensions = f"<extensions>{own}</extensions>" if own else ""
    name, kind = escape(str(row.says["name"])), escape(str(row.says["kind"]))
    return f"<name>{name}</name>{note}<type>{kind}</type>{extensions}"
