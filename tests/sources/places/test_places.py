"""Files of places: what each format says, what is refused with which words, and damaged files."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from farglide.atlas.barriers import BARRIER_KINDS, Barrier, Places
from farglide.atlas.fields import Field
from farglide.atlas.outline import Outline
from farglide.present.draw.maps.layers import WRITERS, geojson_text, gpx_text, kml_text
from farglide.sources.places.places import read_places

from .conftest import APEX, GPX, KML, NEAR, SAMPLE, SHORT, Read, feature, ground

RING = [[108.1, -46.6], [108.3, -46.6], [108.3, -46.5], [108.1, -46.6]]


@pytest.mark.parametrize("name", sorted(WRITERS))
def test_what_is_written_reads_back_equal(name: str, read: Read) -> None:
    back = read(WRITERS[name](SAMPLE))
    assert back.barriers == SAMPLE.barriers
    assert sorted(back.fields, key=lambda one: one.name) == list(SAMPLE.fields)
    assert sorted(back.landmarks, key=str) == sorted(SAMPLE.landmarks, key=str)


@pytest.mark.parametrize("write", [geojson_text, kml_text, gpx_text])
@SHORT
@given(seed=st.integers(0, 10_000), text=st.text(max_size=12))
def test_any_places_come_back_equal(
    write: Callable[[Places], str], seed: int, text: str, tmp_path: Path
) -> None:
    rng = np.random.default_rng(seed)
    word = " ".join("".join(c for c in text if c.isprintable()).split())
    angle = np.sort(rng.uniform(0.0, 6.28, 7))
    corners = zip(-46.5 + 0.1 * np.sin(angle), 108.0 + 0.1 * np.cos(angle), strict=True)
    outline = Outline(points=tuple((float(a), float(b)) for a, b in corners))
    lat_deg, lon_deg = outline.points[0]
    field = Field(
        name=word or "x",
        lat_deg=lat_deg,
        lon_deg=lon_deg,
        amsl_m=float(rng.uniform(-400.0, 5000.0)),
        outline=outline if seed % 2 else None,
        owner=word,
        length_m=float(rng.uniform(5.0, 2000.0)),
    )
    barrier = Barrier(name=word or "y", kind=BARRIER_KINDS[seed % 6], outline=outline, note=word)
    path = tmp_path / "back"
    path.write_text(write(Places(fields=(field,), barriers=(barrier,))), encoding="utf-8")
    back = read_places([path], NEAR, ground)
    assert (back.fields, back.barriers) == ((field,), (barrier,))


def test_bare_geometries_without_a_kind(read: Read) -> None:
    found = read({"type": "Polygon", "coordinates": [RING]})
    assert [(one.name, one.kind) for one in found.barriers] == [("no landing", "no landing")]
    line = {"type": "LineString", "coordinates": RING[:3]}
    assert read(line).landmarks[0].kind == "road"
    point = feature({"type": "Point", "coordinates": [108.2, -46.6]}, name="Lea", owner=None)
    assert read(point).fields[0].amsl_m == 208.0  # of the ground: the file states none
    point["geometry"]["coordinates"].append(255)
    assert read(point).fields[0].amsl_m == 208.0  # what stands behind counts from the ellipsoid
    point["properties"]["amsl_m"] = "255"
    assert read(point).fields[0].amsl_m == 255.0


def test_multi_geometries_come_apart_and_keep_their_names_apart(read: Read) -> None:
    hole = [[108.2, -46.58], [108.22, -46.58], [108.22, -46.57], [108.2, -46.58]]
    parts = {"type": "MultiPolygon", "coordinates": [[RING, hole], [RING]]}
    nothing = {"type": "Feature", "geometry": None, "properties": None}
    both = {"type": "GeometryCollection", "geometries": [parts]}
    found = read(
        {
            "type": "FeatureCollection",
            "features": [feature(both, name="Wood", kind="Closed-Forest"), nothing],
        }
    )
    assert [one.name for one in found.barriers] == ["Wood", "Wood 2"]
    assert {one.kind for one in found.barriers} == {"closed forest"}
    assert found.notes == ("Wood: clearings inside count as part of it (1).",)


def test_several_files_share_the_names_of_barriers(read: Read, tmp_path: Path) -> None:
    paths = [tmp_path / "a", tmp_path / "b"]
    for path in paths:
        path.write_text(json.dumps({"type": "Polygon", "coordinates": [RING]}))
    found = read_places(paths, NEAR, ground)
    assert [one.name for one in found.barriers] == ["no landing", "no landing 2"]
    assert read_places([], NEAR, ground) == Places()


def test_an_outline_drawn_as_a_field_is_landed_on_in_its_middle(read: Read) -> None:
    found = read(feature({"type": "Polygon", "coordinates": [RING]}, name="Lea", kind="field"))
    assert (found.fields[0].lat_deg, found.fields[0].lon_deg) == pytest.approx(
        (-46.5667, 108.2333), abs=1e-4
    )


@pytest.mark.parametrize(
    ("geometry", "properties", "message"),
    [
        ({"type": "Point", "coordinates": [-46.6, 108.2]}, {}, "swapped: GeoJSON and KML"),
        ({"type": "Point", "coordinates": [8.2, 46.6]}, {}, "file of another area"),
        ({"type": "Point", "coordinates": [1e999, 46.6]}, {}, "not a number of JSON"),
        ({"type": "Point", "coordinates": [10**400, 46.6]}, {}, "latitudes -90 to 90"),
        ({"type": "Point", "coordinates": ["8", 46.6]}, {}, "Write [longitude, latitude]"),
        ({"type": "Point", "coordinates": 8}, {}, "where an array belongs"),
        ({"type": "Point", "coordinates": [108.2, -46.6]}, {}, "field name is ''"),
        ({"type": "Point", "coordinates": [108.2, -46.6]}, {"name": "a\u200bb"}, "unprintable"),
        (
            {"type": "Point", "coordinates": [108.2, -46.6]},
            {"name": "a", "length_m": "long"},
            "has length_m = 'long', not a number",
        ),
        (
            {"type": "Point", "coordinates": [108.2, -46.6]},
            {"name": "a", "kind": "forrest"},
            "Did you mean 'closed forest'?",
        ),
        (
            {"type": "Point", "coordinates": [108.2, -46.6]},
            {"name": "a", "kind": "water"},
            "is a point, but a water is an area",
        ),
        ({"type": "Polygon", "coordinates": [RING[:3]]}, {}, "ring is not closed"),
        ({"type": "Polygon", "coordinates": []}, {}, "without a ring"),
        (
            {"type": "Polygon", "coordinates": [[RING[k] for k in (0, 2, 1)] + [APEX, RING[0]]]},
            {},
            "crosses or touches itself",
        ),
        (
            {"type": "Polygon", "coordinates": [RING, RING]},
            {"kind": "field", "name": "a"},
            "a field with 1 holes",
        ),
        ({"type": "Circle", "coordinates": []}, {}, "allowed: Point, LineString"),
        ({"type": "LineString", "coordinates": [[108.2, -46.6]]}, {}, "two or more"),
    ],
)  # fmt: skip
def test_wrong_features_are_refused_with_their_place(
    geometry: dict[str, Any],
    properties: dict[str, Any],
    message: str,
    refusal: Callable[[dict[str, Any]], str],
) -> None:
    document = {"type": "FeatureCollection", "features": [feature(geometry, **properties)]}
    said = refusal(document)
    assert message in said
    if "JSON" not in message or "swapped" in message:
        assert "feature 1" in said


def test_other_coordinates_and_other_documents_are_refused(
    refusal: Callable[[str | bytes | dict[str, Any]], str],
) -> None:
    crs = {"type": "name", "properties": {"name": "EPSG:32648"}}
    point = {"type": "Point", "coordinates": [108.2, -46.6]}
    assert "EPSG:4326" in refusal({**feature(point, name="a"), "crs": crs})
    assert "holds no place" in refusal({"type": "FeatureCollection", "features": []})
    assert "has the type 'Topology'" in refusal({"type": "Topology"})
    assert "is no JSON: Expecting" in refusal('{"type": "Feature"')
    assert "nests brackets too deeply" in refusal("[" * 100_000)
    assert "XML of the kind 'svg'" in refusal("<svg/>")
    assert "is no utf-8 text" in refusal(b"\xff{}")
    assert "name the KML file inside" in refusal(b"PK\x03\x04rest")
    deep = "<a>" * 200_000 + "</a>" * 200_000
    assert "nests its elements over 200 deep" in refusal(deep)
    deep = "<a>" * 190 + "</a>" * 190
    assert "XML of the kind 'a'" in refusal(deep)
    assert "holds no place" in refusal(f"<gpx><x>{deep}</x></gpx>")


def test_the_standard_system_named_the_old_way_is_taken(read: Read) -> None:
    crs = {"type": "name", "properties": {"name": "urn:ogc:def:crs:OGC:1.3:CRS84"}}
    point = feature({"type": "Point", "coordinates": [108.2, -46.6]}, name="a")
    assert read({**point, "crs": crs}).fields[0].name == "a"


def test_kml_drawn_by_hand(read: Read) -> None:
    """The folder says the kind; a height counts with its mode only."""
    found = read(KML)
    assert [(b.name, b.kind, b.note) for b in found.barriers] == [
        ("Gollan", "closed forest", "gorge inside")
    ]
    assert [(f.name, f.owner, f.amsl_m) for f in found.fields] == [("Lea", "agreed", 208.0)]
    high = KML.replace("108.2,-46.6,0", "108.2,-46.6,261")
    assert read(high).fields[0].amsl_m == 208.0
    mode = "<Point><altitudeMode>absolute</altitudeMode>"
    assert read(high.replace("<Point>", mode)).fields[0].amsl_m == 261.0


def test_gpx_waypoints_are_fields_and_what_is_closed_is_a_barrier(read: Read) -> None:
    found = read(GPX.encode("latin-1"))
    assert [(f.name, f.amsl_m) for f in found.fields] == [("Lea é", 255.0)]
    assert [(b.name, b.kind) for b in found.barriers] == [("Wood", "water")]
    assert [(b.name, b.kind) for b in found.landmarks] == [("Lane", "road")]


def test_marks_and_encodings(read: Read, refusal: Callable[[bytes], str]) -> None:
    head, rest = KML.split("\n", 1)
    for encoding in ("utf-8-sig", "utf-16"):
        assert read(KML.encode(encoding)).fields[0].name == "Lea"
    wide = KML.replace("Lea", "Übung")
    declared = f'<?xml version="1.0" encoding="UTF-16"?>{wide}'
    assert read(declared.encode("utf-16")).fields[0].name == "Übung"
    cp = f'<?xml version="1.0" encoding="windows-1252"?>{wide}'
    assert read(cp.encode("cp1252")).fields[0].name == "Übung"
    assert read(geojson_text(SAMPLE).encode("utf-8-sig")).barriers == SAMPLE.barriers
    assert "save it as utf-8" in refusal(cp.replace("1252", "1257").encode("cp1257")).lower()
    assert "is no utf-8 text" in refusal(wide.encode("cp1252"))
    assert head.startswith("<kml")
    assert rest


def test_a_field_whose_middle_lies_outside_is_refused(
    refusal: Callable[[str | bytes | dict[str, Any]], str],
) -> None:
    """A thin ring round a meadow, open in the south."""
    ring = [
        [108.10, -46.60], [108.10, -46.50], [108.20, -46.50], [108.20, -46.60], [108.19, -46.60],
        [108.19, -46.51], [108.11, -46.51], [108.11, -46.60], [108.10, -46.60],
    ]  # fmt: skip
    told = refusal(feature({"type": "Polygon", "coordinates": [ring]}, name="U", kind="field"))
    assert "so bent that its middle lies outside. Give the point to land at" in told
