"""Shapes of a GPX 1.1 file: waypoints, routes and tracks."""

from collections.abc import Iterator
from typing import Final

from farglide.sources.files import refused
from farglide.sources.places.shapes import Corner, Shape
from farglide.sources.places.xml_tree import Element, child_text, children, local_name

_CLOSED_DEG: Final = 1e-6
"""About a decimetre: a route whose ends are as near as this goes round something."""


def gpx_shapes(path: str, root: Element) -> list[Shape]:
    """Return a point for each waypoint, a line or, where closed, an area for each route and track.

    What is said of it: `name`, `type` as the kind, `desc` as the note, and every element below
    `extensions` by its name. Each segment of a track is a shape of its own.
    Source: GPX 1.1 schema documentation (wptType seen; rteType and trkType from memory).
    """
    return list(_shapes(path, root))


def _shapes(path: str, root: Element) -> Iterator[Shape]:
    for element in root:
        name = local_name(element)
        if name not in ("wpt", "rte", "trk"):
            continue
        says = _says(element)
        noun = {"wpt": "waypoint", "rte": "route", "trk": "track"}[name]
        where = f"{noun} {says['name']!r}" if says["name"] else f"a {noun} without a name"
        if name == "wpt":
            corner = _corner(path, element, where)
            yield Shape(form="point", corners=(corner,), where=where, says=says)
            continue
        lines = [element] if name == "rte" else list(children(element, "trkseg"))
        for line in lines:
            points = children(line, "rtept" if name == "rte" else "trkpt")
            corners = tuple(_corner(path, point, where) for point in points)
            if corners:
                yield Shape(
                    form="area" if _closed(corners) else "line",
                    corners=corners,
                    where=where,
                    says=says,
                )


def _says(element: Element) -> dict[str, object]:
    says: dict[str, object] = {}
    for extensions in children(element, "extensions"):
        for one in extensions.iter():
            if one is not extensions and not len(one):
                says[local_name(one)] = " ".join((one.text or "").split())
    says["name"] = child_text(element, "name")
    for key, tag in (("kind", "type"), ("note", "desc")):
        text = child_text(element, tag)
        if text:
            says[key] = text
    return says


def _corner(path: str, point: Element, where: str) -> Corner:
    numbers: list[float] = []
    texts = (point.get("lon", ""), point.get("lat", ""), child_text(point, "ele"))
    for key, text in zip(("lon", "lat", "ele"), texts, strict=True):
        if key == "ele" and not text:
            return numbers[0], numbers[1], None
        try:
            numbers.append(float(text))
        except ValueError:
            what = f"has {key} = {text[:40]!r}, not a number." if text else f"has no {key}."
            raise refused(path, what, "Is the file whole?", where=where) from None
    return numbers[0], numbers[1], numbers[2]


def _closed(corners: tuple[Corner, ...]) -> bool:
    (lon_a, lat_a, _), (lon_b, lat_b, _) = corners[0], corners[-1]
    near = max(abs(lon_a - lon_b), abs(lat_a - lat_b)) <= _CLOSED_DEG
    return len(corners) >= 4 and near
