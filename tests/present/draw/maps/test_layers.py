"""Layers as their standards want them; that they read back equal is tested with the readers."""

import json
import xml.etree.ElementTree as ET
from itertools import pairwise

from farglide.atlas.barriers import Barrier, Landmark, Places
from farglide.atlas.fields import Field
from farglide.atlas.outline import Outline
from farglide.present.draw.maps.layers import geojson_text, gpx_text, kml_text

WOOD = Outline(points=((-46.6, 108.1), (-46.5, 108.3), (-46.6, 108.3)))  # given clockwise
SAMPLE = Places(
    fields=(
        Field(name="A & <b>", lat_deg=-46.5, lon_deg=108.0, amsl_m=240.0, owner='said "yes"'),
        Field(
            name="Lea", lat_deg=-46.57, lon_deg=108.25, amsl_m=255.0, outline=WOOD, length_m=340.0
        ),
    ),
    barriers=(Barrier(name="Wood", kind="closed forest", outline=WOOD, note="a gorge"),),
    landmarks=(
        Landmark(name="Moor road", kind="road", points=((-46.5, 108.0), (-46.6, 108.1))),
        Landmark(name="", kind="house", points=((-46.51, 108.01),)),
    ),
)
KML, GPX = "{http://www.opengis.net/kml/2.2}", "{http://www.topografix.com/GPX/1/1}"


def test_geojson_written_is_geojson() -> None:
    """RFC 7946: longitude first, rings closed and counterclockwise."""
    document = json.loads(geojson_text(SAMPLE))
    rings = [
        one["geometry"]["coordinates"][0]
        for one in document["features"]
        if one["geometry"]["type"] == "Polygon"
    ]
    assert len(rings) == 2
    for ring in rings:
        assert ring[0] == ring[-1]
        twice = sum(a[0] * b[1] - b[0] * a[1] for a, b in pairwise(ring))
        assert twice > 0.0
        assert all(108.0 <= lon < 109.0 and -47.0 < lat <= -46.5 for lon, lat in ring)


def test_kml_writes_the_longitude_first_and_closes_rings() -> None:
    root = ET.fromstring(kml_text(SAMPLE).encode())
    assert root.tag == f"{KML}kml"
    rings = [one.text or "" for one in root.iter(f"{KML}coordinates")]
    assert rings[0] == "108.0,-46.5"
    assert rings[1].split()[0] == rings[1].split()[-1] == "108.1,-46.6"
    names = [one.text for one in root.iter(f"{KML}name")]
    assert names == ["A & <b>", "Lea", "Wood", "Moor road", None]


def test_gpx_keeps_the_order_of_its_schema() -> None:
    """wptType: ele before name, name before desc, then type, extensions last; tracks at the end."""
    root = ET.fromstring(gpx_text(SAMPLE).encode())
    assert root.attrib["version"] == "1.1"
    assert [one.tag.removeprefix(GPX) for one in root] == ["wpt", "wpt", "trk", "trk", "trk"]
    order = ["ele", "name", "desc", "type", "extensions", "trkseg"]
    for element in root:
        found = [order.index(one.tag.removeprefix(GPX)) for one in element]
        assert found == sorted(found)
    wood = root[3]
    assert [one.text for one in wood][:3] == ["Wood", "a gorge", "closed forest"]
    points = [one.attrib for one in wood.iter(f"{GPX}trkpt")]
    assert points[0] == points[-1] == {"lat": "-46.6", "lon": "108.1"}
