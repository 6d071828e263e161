"""A search for other programs: rings by RFC 7946, GPX by the order of its schema, read back."""

import json
from dataclasses import replace
from xml.etree import ElementTree

import pytest

from farglide.atlas.outline import Outline
from farglide.present.draw.maps.search_layer import GEOJSON, GPX, search_geojson, search_gpx

from ...search_sample import HOLE, search_sample

NAMESPACE = "{http://www.topografix.com/GPX/1/1}"


def features() -> list[dict[str, object]]:
    return list(json.loads(search_geojson(search_sample()))["features"])


def test_every_part_is_a_feature() -> None:
    kinds = [one["properties"]["kind"] for one in features()]  # type: ignore[index]
    assert kinds == ["last place", "glide", "segment", "segment", "segment", "bearings"]


def test_segments_say_their_order_and_chance() -> None:
    first = features()[2]["properties"]
    assert first == {
        "kind": "segment", "name": "A", "cover": "grass", "on_foot": True, "area_m2": 250_000,
        "chance_ratio": 0.42, "looked_s": 0, "order": 1,
    }  # fmt: skip
    assert features()[4]["properties"]["order"] is None  # type: ignore[index]


def test_rings_are_closed_outer_ones_left_holes_right() -> None:
    """Source: RFC 7946, 3.1.6: closed, exterior rings counterclockwise, holes clockwise."""
    outer, hole = features()[2]["geometry"]["coordinates"]  # type: ignore[index]
    for ring, is_left in ((outer, True), (hole, False)):
        assert ring[0] == ring[-1]
        corners = tuple((lat, lon) for lon, lat in ring[:-1])
        assert (Outline(points=corners).points == corners) is is_left
    assert len(hole) == len(HOLE) + 1


def test_no_glide_area_without_height() -> None:
    sample = search_sample()
    low = replace(sample, datum=replace(sample.datum, glide_radius_m=0.0))
    kinds = [one["properties"]["kind"] for one in json.loads(search_geojson(low))["features"]]
    assert "glide" not in kinds


def test_gpx_has_waypoints_in_the_order_of_the_looks_then_tracks() -> None:
    """Source: GPX 1.1 schema: wpt before trk, latitude and longitude as attributes."""
    root = ElementTree.fromstring(search_gpx(search_sample()))
    assert root.tag == f"{NAMESPACE}gpx"
    assert root.get("version") == "1.1"
    tags = [one.tag.removeprefix(NAMESPACE) for one in root]
    assert tags == ["wpt"] * 3 + ["trk"] * 3
    names = [one.findtext(f"{NAMESPACE}name") for one in root]
    assert names == ["last place", "A", "B", "A", "B", "C"]
    assert float(root[1].get("lat", "")) == pytest.approx(-46.545)
    assert len(root[3].findall(f"{NAMESPACE}trkseg")) == 2
    assert "42 in 100 that it lies there" in (root[1].findtext(f"{NAMESPACE}desc") or "")


def test_names_are_escaped() -> None:
    sample = search_sample()
    odd = replace(sample.segments[0], name="A", cover="<reed & rush>")
    text = search_gpx(replace(sample, segments=(odd, *sample.segments[1:])))
    assert "&lt;reed &amp; rush&gt;" in text
    assert ElementTree.fromstring(text) is not None


def test_files_have_their_names() -> None:
    assert (GEOJSON, GPX) == ("search.geojson", "search.gpx")
