"""Opening: the shapes of a file of places, by what kind of file it is."""

from pathlib import Path
from typing import Final

from farglide.sources.files import LARGEST_TEXT_BYTES, content, refused
from farglide.sources.places.geojson import geojson_shapes
from farglide.sources.places.gpx import gpx_shapes
from farglide.sources.places.kml import kml_shapes
from farglide.sources.places.shapes import Shape
from farglide.sources.places.xml_tree import local_name, xml_root, xml_text

_MOST_PLACES: Final = 2000  # in one file: each barrier is held against each way to each field
_MOST_CORNERS: Final = 200_000  # in one file: a flight's area needs a few thousand


def shapes_of(path: Path) -> list[Shape]:
    """Return the shapes of a file, told apart by what it begins with, not by its name."""
    data = content(path, LARGEST_TEXT_BYTES)
    if data.startswith(b"PK\x03\x04"):
        what = "is a zip archive, as KMZ is; allowed: GeoJSON, KML, GPX."
        raise refused(path, what, "Unpack it and name the KML file inside.")
    name, text = str(path), xml_text(str(path), data)
    if text.lstrip("\ufeff \t\r\n").startswith("<"):
        root = xml_root(name, text.lstrip("\ufeff \t\r\n"))
        readers = {"kml": kml_shapes, "gpx": gpx_shapes}
        kind = local_name(root)
        if kind not in readers:
            raise refused(name, f"is XML of the kind {kind[:40]!r}; allowed: kml, gpx.")
        shapes = readers[kind](name, root)
    else:
        shapes = geojson_shapes(name, text)
    if len(shapes) > _MOST_PLACES:
        what = f"holds {len(shapes)} places; allowed: {_MOST_PLACES}."
        raise refused(path, what, "Cut it down to the area of the flight.")
    n_corners = sum(len(shape.corners) for shape in shapes)
    if n_corners > _MOST_CORNERS:
        what = f"holds {n_corners} corners; allowed: {_MOST_CORNERS}."
        raise refused(path, what, "Cut it down to the area of the flight.")
    return shapes
