"""Shapes of a GeoJSON file (RFC 7946)."""

import json
from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from typing import Final, NamedTuple

from farglide.errors import SourceError, is_number
from farglide.sources.places.shapes import Corner, Shape

_TRUE_CRS: Final = ("crs84", "epsg:4326", "epsg::4326", "epsg:4979")
_MOST_NESTED: Final = 20
_MANY: Final = {"MultiPoint": "Point", "MultiLineString": "LineString", "MultiPolygon": "Polygon"}


def geojson_shapes(path: str, text: str) -> list[Shape]:
    """Return the shapes of a GeoJSON text: features, or bare geometries.

    Positions are longitude and latitude; a height behind them counts from the ellipsoid, up to
    110 m off sea level, and is left out. Multi-geometries and collections come apart into several
    shapes; a feature without a geometry is left out, unknown members are not looked at.
    Source: RFC 7946, sections 3 and 4.
    """
    try:
        document = json.loads(text, parse_constant=_refused_constant)
    except RecursionError:
        raise SourceError(path, "", "nests brackets too deeply to be read.") from None
    except json.JSONDecodeError as error:
        where = f"line {error.lineno}, column {error.colno}"
        raise SourceError(path, where, f"is no JSON: {error.msg}.", "Is it whole?") from None
    except ValueError as error:
        raise SourceError(path, "", f"is no JSON: {error}.") from None
    return list(_Document(path).shapes(document))


class _Document(NamedTuple):
    """One file being read; it knows its name for the messages."""

    path: str

    def refused(self, where: str, what: str, remedy: str = "") -> SourceError:
        return SourceError(self.path, where, what, remedy)

    def shapes(self, document: object) -> Iterator[Shape]:
        top = self.table(document, "the file")
        self.check_crs(top)
        kind = top.get("type")
        if kind == "FeatureCollection":
            features = self.items(top.get("features"), "features")
            for i, feature in enumerate(features, start=1):
                yield from self.feature(feature, f"feature {i}")
        elif kind == "Feature":
            yield from self.feature(top, "the feature")
        else:
            yield from self.geometry(top, "the geometry", 0, {})

    def check_crs(self, top: Mapping[str, object]) -> None:
        """Refuse another system of coordinates than the standard's, as older files could name."""
        crs = top.get("crs")
        properties = crs.get("properties") if isinstance(crs, dict) else None
        name = properties.get("name") if isinstance(properties, dict) else None
        if isinstance(name, str) and not name.lower().endswith(_TRUE_CRS):
            what = f"is {name[:60]!r}; allowed: WGS84 longitude and latitude (RFC 7946)."
            raise self.refused("crs", what, "Export it again in EPSG:4326.")

    def feature(self, feature: object, where: str) -> Iterator[Shape]:
        table = self.table(feature, where)
        if table.get("type") != "Feature":
            raise self.refused(where, f"has the type {_short(table.get('type'))}, not a Feature.")
        properties = table.get("properties")
        says = properties if isinstance(properties, dict) else {}
        if table.get("geometry") is not None:
            yield from self.geometry(table["geometry"], where, 0, says)

    def geometry(
        self, geometry: object, place: str, depth: int, says: Mapping[str, object]
    ) -> Iterator[Shape]:
        """Yield the shapes of a geometry, nested so deep."""
        table = self.table(geometry, place)
        kind = table.get("type")
        if kind == "GeometryCollection":
            if depth >= _MOST_NESTED:
                raise self.refused(place, "nests collections too deeply to be read.")
            for i, one in enumerate(self.items(table.get("geometries"), place), start=1):
                yield from self.geometry(one, f"{place}, geometry {i}", depth + 1, says)
            return
        coordinates = table.get("coordinates")
        one_kind = _MANY.get(kind) if isinstance(kind, str) else None
        if one_kind is not None:
            for i, part in enumerate(self.items(coordinates, place), start=1):
                yield replace(self.single(one_kind, part, f"{place}, part {i}"), says=says)
        elif kind in _MANY.values():
            yield replace(self.single(str(kind), coordinates, place), says=says)
        else:
            allowed = ", ".join((*_MANY.values(), *_MANY, "GeometryCollection"))
            raise self.refused(place, f"has the type {_short(kind)}; allowed: {allowed}.")

    def single(self, kind: str, coordinates: object, where: str) -> Shape:
        if kind == "Point":
            return Shape(form="point", corners=(self.position(coordinates, where),), where=where)
        if kind == "LineString":
            return Shape(form="line", corners=self.line(coordinates, where), where=where)
        rings = self.items(coordinates, where)
        if not rings:
            raise self.refused(where, "is a Polygon without a ring.")
        corners = self.line(rings[0], where)
        if corners[0] != corners[-1]:
            remedy = "Repeat the first position at the end (RFC 7946, 3.1.6)."
            raise self.refused(where, "is a Polygon whose ring is not closed.", remedy)
        return Shape(form="area", corners=corners, where=where, n_holes=len(rings) - 1)

    def line(self, positions: object, where: str) -> tuple[Corner, ...]:
        found = tuple(self.position(one, where) for one in self.items(positions, where))
        if len(found) < 2:
            raise self.refused(where, f"has {len(found)} positions; a line needs two or more.")
        return found

    def position(self, position: object, where: str) -> Corner:
        numbers = self.items(position, where)
        if not 2 <= len(numbers) <= 4 or not all(map(is_number, numbers)):
            what = f"has the position {_short(position)}."
            raise self.refused(where, what, "Write [longitude, latitude] or with a height behind.")
        # A number of more than 308 digits is no float.
        lon, lat = (float(one) if abs(one) < 1e300 else 1e300 for one in numbers[:2])
        return lon, lat, None

    def table(self, value: object, where: str) -> Mapping[str, object]:
        if isinstance(value, dict):
            return value
        raise self.refused(where, f"is {_short(value)}, not an object of GeoJSON.")

    def items(self, value: object, where: str) -> list[float]:
        """Return a JSON array; what its items are is asked by those who take them."""
        if isinstance(value, list):
            return value
        raise self.refused(where, f"holds {_short(value)} where an array belongs.")


def _refused_constant(word: str) -> Callable[[], None]:
    raise ValueError(f"{word} is not a number of JSON")


def _short(value: object) -> str:
    try:
        text = repr(value)
    except ValueError:  # a whole number of more digits than Python turns into text
        return "a number of thousands of digits"
    return text if len(text) <= 50 else text[:49] + "…"
