"""Shapes of a KML file (OGC 12-007, versions 2.2 and 2.3)."""

from collections.abc import Iterator
from dataclasses import replace
from typing import Final

from farglide.sources.files import refused
from farglide.sources.places.shapes import Corner, Shape
from farglide.sources.places.xml_tree import Element, child_text, children, local_name

_MOST_NESTED: Final = 50
_FOLDERS: Final = ("Document", "Folder")
_FORMS: Final = ("Point", "LineString", "LinearRing", "Polygon")


def kml_shapes(path: str, root: Element) -> list[Shape]:
    """Return the shapes of a KML document, one or more from each Placemark.

    What is said of it: `name`, `description` and every `Data` or `SimpleData` of its extended
    data; where no `kind` is among them, the name of the folder it lies in stands as `folder`.
    Heights count where their mode is "absolute", above sea level; without a mode they are ignored.
    Source: OGC 12-007r2, 9.14 (Placemark), 10.3 to 10.8 (geometries), 9.2 to 9.6 (extended data);
    9.14 as the conformance tests of OGC cite it, the other section numbers from memory.
    """
    return list(_below(path, root, "", 0))


def _below(path: str, element: Element, folder: str, depth: int) -> Iterator[Shape]:
    """Yield the shapes below an element, which lies in a folder of this name, so deep."""
    if depth > _MOST_NESTED:
        raise refused(path, "nests folders too deeply to be read.")
    for child in element:
        name = local_name(child)
        if name in _FOLDERS:
            yield from _below(path, child, child_text(child, "name") or folder, depth + 1)
        elif name == "Placemark":
            yield from _placemark(path, child, folder)


def _placemark(path: str, placemark: Element, folder: str) -> Iterator[Shape]:
    says: dict[str, object] = {"folder": folder}
    for extended in children(placemark, "ExtendedData"):
        for data in children(extended, "Data"):
            says[data.get("name", "")] = child_text(data, "value")
        for schema in children(extended, "SchemaData"):
            for data in children(schema, "SimpleData"):
                says[data.get("name", "")] = " ".join((data.text or "").split())
    says["name"] = child_text(placemark, "name")
    says.setdefault("note", child_text(placemark, "description"))
    where = f"placemark {says['name']!r}" if says["name"] else "a placemark without a name"
    for shape in _geometries(path, placemark, where, 0):
        yield replace(shape, says=says)


def _geometries(path: str, element: Element, where: str, depth: int) -> Iterator[Shape]:
    if depth > _MOST_NESTED:
        raise refused(path, "nests geometries too deeply to be read.", where=where)
    for child in element:
        name = local_name(child)
        if name == "MultiGeometry":
            yield from _geometries(path, child, where, depth + 1)
        elif name in _FORMS:
            yield _shape(path, child, where)


def _shape(path: str, element: Element, where: str) -> Shape:
    name = local_name(element)
    if name != "Polygon":
        corners = _corners(path, element, where)
        if child_text(element, "altitudeMode") != "absolute":
            corners = tuple((lon, lat, None) for lon, lat, _ in corners)
        if name == "Point":
            if len(corners) != 1:
                what = f"is a Point of {len(corners)} positions, not one."
                raise refused(path, what, where=where)
            return Shape(form="point", corners=corners, where=where)
        return Shape(form="area" if name == "LinearRing" else "line", corners=corners, where=where)
    outer = [
        ring
        for boundary in children(element, "outerBoundaryIs")
        for ring in children(boundary, "LinearRing")
    ]
    if len(outer) != 1:
        what = f"is a Polygon with {len(outer)} outer rings; allowed: one."
        raise refused(path, what, where=where)
    n_holes = sum(1 for _ in children(element, "innerBoundaryIs"))
    corners = tuple((lon, lat, None) for lon, lat, _ in _corners(path, outer[0], where))
    return Shape(form="area", corners=corners, where=where, n_holes=n_holes)


def _corners(path: str, element: Element, where: str) -> tuple[Corner, ...]:
    """Return positions written "longitude,latitude[,height]" with blanks between them."""
    found: list[Corner] = []
    for position in child_text(element, "coordinates").split():
        try:
            numbers = [float(part) for part in position.split(",")]
        except ValueError:
            numbers = []
        if len(numbers) not in (2, 3):
            remedy = "Write longitude,latitude or longitude,latitude,height; no blanks inside."
            raise refused(path, f"has the position {position[:50]!r}.", remedy, where=where)
        found.append((numbers[0], numbers[1], numbers[2] if len(numbers) == 3 else None))
    if not found:
        raise refused(path, "has no coordinates.", "Is the file whole?", where=where)
    return tuple(found)
