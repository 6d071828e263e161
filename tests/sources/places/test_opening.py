"""Opening: damaged, huge and hostile files of places, each refused or read."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from farglide.errors import SourceError
from farglide.present.draw.maps.layers import geojson_text, gpx_text, kml_text
from farglide.sources.places import opening
from farglide.sources.places.places import read_places

from .conftest import APEX, GPX, JSON, KML, NEAR, SAMPLE, SHORT, feature, ground


@pytest.mark.parametrize("encoding", ["utf-8", "utf-16", "utf-16-le"])
def test_entities_are_refused_before_they_can_grow(
    encoding: str, refusal: Callable[[bytes], str]
) -> None:
    grown = "".join(f'<!ENTITY a{i + 1} "{f"&a{i};" * 10}">' for i in range(12))
    bomb = f'<!doctype kml [<!ENTITY a0 "ha">{grown}]><kml>&a12;</kml>'
    said = refusal(bomb.encode(encoding))
    assert "DOCTYPE" in said or "is no" in said
    outside = '<!DOCTYPE k [<!ENTITY x SYSTEM "file:///etc/passwd">]><kml>&x;</kml>'
    assert "DOCTYPE" in refusal(outside.encode("utf-8"))


@pytest.mark.parametrize(
    ("xml", "message"),
    [
        (KML[:400], "Is it whole?"),
        (KML.replace("108.2,-46.6,0", ""), "has no coordinates"),
        (KML.replace("108.2,-46.6,0", "108.2 ,-46.6"), "no blanks inside"),
        (KML.replace("108.2,-46.6,0", "-46.6,108.2"), "swapped"),
        (KML.replace("108.2,-46.6,0", "nan,108.2"), "latitudes -90 to 90"),
        (KML.replace("108.2,-46.6,0", "108,-46.6 108,-46"), "a Point of 2 positions"),
        (KML.replace("outerBoundaryIs", "inner"), "0 outer rings"),
        (f"<kml>{'<Folder>' * 60}{'</Folder>' * 60}</kml>", "nests folders too deeply"),
        (GPX.replace('lat="-46.6" lon="108.2"', 'lat="-46.6"'), "has no lon"),
        (GPX.replace('lat="-46.6" lon="108.2"', 'lat="46,6" lon="108.2"'), "lat = '46,6'"),
        (GPX.replace("<ele>255", "<ele>high"), "waypoint 'Lea é' has ele"),
    ],
)
def test_wrong_xml_is_refused(xml: str, message: str, refusal: Callable[[bytes], str]) -> None:
    data = xml.encode("latin-1" if "ISO-8859-1" in xml else "utf-8")
    if message.startswith("waypoint"):
        message = message.replace(" has ele", ": has ele")
    assert message in refusal(data)


TEXTS = {
    "geojson": geojson_text(SAMPLE).encode(),
    "kml": kml_text(SAMPLE).encode(),
    "gpx": gpx_text(SAMPLE).encode(),
}


def check(path: Path) -> None:
    """Read a file: what comes out are places, or an error that names the file."""
    said = ""
    try:
        found = read_places([path], NEAR, ground)
    except SourceError as error:
        said = str(error)
    if said:
        assert str(path) in said
    else:
        assert found.fields or found.barriers or found.landmarks


@pytest.mark.parametrize("kind", sorted(TEXTS))
@SHORT
@given(share=st.floats(0.0, 1.0, exclude_max=True))
def test_truncated_places(kind: str, share: float, tmp_path: Path) -> None:
    data = TEXTS[kind]
    path = tmp_path / f"cut.{kind}"
    path.write_bytes(data[: int(share * (len(data) - 1))])  # the last byte ends the last line
    with pytest.raises(SourceError, match=f"cut.{kind}"):
        read_places([path], NEAR, ground)


@pytest.mark.parametrize("kind", sorted(TEXTS))
@SHORT
@given(
    changes=st.lists(
        st.tuples(st.floats(0.0, 1.0, exclude_max=True), st.integers(0, 255)),
        min_size=1,
        max_size=8,
    )
)
def test_changed_places(kind: str, changes: list[tuple[float, int]], tmp_path: Path) -> None:
    data = bytearray(TEXTS[kind])
    for share, byte in changes:
        data[int(share * len(data))] = byte
    path = tmp_path / f"changed.{kind}"
    path.write_bytes(bytes(data))
    check(path)


@pytest.mark.parametrize(
    "head", [b"", b"<kml>", b"<gpx>", b'{"type":', b"\xff\xfe", b"\xef\xbb\xbf<"]
)
@SHORT
@given(junk=st.binary(max_size=200))
def test_junk_places(head: bytes, junk: bytes, tmp_path: Path) -> None:
    path = tmp_path / "junk"
    path.write_bytes(head + junk)
    check(path)


@SHORT
@given(document=JSON)
def test_any_json(document: object, tmp_path: Path) -> None:
    path = tmp_path / "any.json"
    path.write_text(json.dumps(document), encoding="utf-8")
    check(path)


@pytest.mark.slow
def test_too_many_corners_are_refused(refusal: Callable[[dict[str, Any]], str]) -> None:
    line = {"type": "LineString", "coordinates": [[108.0, -46.5]] * 200_001}
    assert "200001 corners" in refusal(feature(line))


def test_what_is_nested_too_deeply_is_refused(
    refusal: Callable[[str | bytes | dict[str, Any]], str],
) -> None:
    geometry: dict[str, Any] = {"type": "Point", "coordinates": APEX}
    for _ in range(25):
        geometry = {"type": "GeometryCollection", "geometries": [geometry]}
    assert "nests collections too deeply to be read" in refusal(feature(geometry, name="a"))
    point = "<Point><coordinates>108.2,-46.4</coordinates></Point>"
    nested = "<MultiGeometry>" * 60 + point + "</MultiGeometry>" * 60
    kml = (
        '<kml xmlns="http://www.opengis.net/kml/2.2"><Document><Placemark><name>a</name>'
        f"{nested}</Placemark></Document></kml>"
    )
    assert "nests geometries too deeply to be read" in refusal(kml)


@pytest.mark.slow
@pytest.mark.parametrize("text", ["<a>" * 201, "<a/>" * 1_000_001])
def test_xml_deeper_or_larger_than_places_need_is_refused_while_it_grows(
    refusal: Callable[[str | bytes | dict[str, Any]], str], text: str
) -> None:
    assert "nests its elements over 200 deep, or holds over 1000000" in refusal(f"<kml>{text}")


def test_more_places_than_an_area_has_are_refused(
    refusal: Callable[[str | bytes | dict[str, Any]], str],
) -> None:
    points = {"type": "MultiPoint", "coordinates": [[108.0, -46.5]] * 2001}
    assert "holds 2001 places; allowed: 2000" in refusal(points)


def test_too_large_a_file_of_places_is_refused(
    refusal: Callable[[str | bytes | dict[str, Any]], str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(opening, "LARGEST_TEXT_BYTES", 20)
    told = refusal(feature({"type": "Point", "coordinates": APEX}, name="a"))
    assert "bytes; allowed: 20 at most. Cut it down to the soundings or the area needed." in told


def test_too_long_a_name_is_refused(
    refusal: Callable[[str | bytes | dict[str, Any]], str],
) -> None:
    told = refusal(feature({"type": "Point", "coordinates": APEX}, name="x" * 9000, kind="field"))
    assert "has 9000 characters in name; allowed:" in told
