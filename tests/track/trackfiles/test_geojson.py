"""GeoJSON goes out as RFC 7946 has it and comes back the same."""

import json
from pathlib import Path
from typing import Any

import pytest

from farglide.errors import SourceError
from farglide.track.heights import hae_m
from farglide.track.reports import Fix, HeightKind
from farglide.track.trackfiles.forms import Form
from farglide.track.trackfiles.geojson import geojson_lines, read_geojson
from farglide.track.trackfiles.taking import TrackRead
from farglide.track.trackfiles.written import by_feed

from .readings import readings
from .samples import SAMPLES


def read(folder: Path, text: str) -> TrackRead:
    (folder / "a.geojson").write_text(text, encoding="utf-8")
    return read_geojson(folder / "a.geojson")


def points(*places: Any, **said: Any) -> str:
    features = [
        {"geometry": {"type": "Point", "coordinates": place}, "properties": said}
        for place in places
    ]
    return json.dumps({"type": "FeatureCollection", "features": features})


@pytest.mark.parametrize("name", SAMPLES)
def test_a_track_comes_back_the_same(name: str, tmp_path: Path) -> None:
    fixes = SAMPLES[name]
    assert by_feed(read(tmp_path, "".join(geojson_lines(fixes))).fixes) == by_feed(fixes)


@pytest.mark.parametrize("name", SAMPLES)
def test_heights_are_above_the_ellipsoid(name: str) -> None:
    # RFC 7946 section 4: the third element is the height above the WGS 84 ellipsoid
    fixes = [fix for some in by_feed(SAMPLES[name]).values() for fix in some]
    told = [(f.feed, f.t_s, f.lat_deg, f.lon_deg, hae_m(f), None) for f in fixes]
    assert [tuple(one) for one in readings(name, Form.GEOJSON)] == told


def test_the_way_is_cut_at_the_antimeridian() -> None:
    # RFC 7946 section 3.1.9: a line that crosses it is cut in two, each part ending at 180
    document = json.loads("".join(geojson_lines(SAMPLES["climb"])))
    way = document["features"][0]["geometry"]
    east, west = way["coordinates"]
    assert way["type"] == "MultiLineString"
    assert (len(east), len(west)) == (6, 6)
    assert (east[-1][0], west[0][0]) == (180.0, -180.0)
    assert east[-1][1] == west[0][1]
    # 2.716 of 4.716 thousandths of a degree to the crossing: as a share of the step in latitude
    share = (180.0 - east[-2][0]) / (180.0 - east[-2][0] + 180.0 + west[1][0])
    assert east[-1][1] == pytest.approx(east[-2][1] + share * (west[1][1] - east[-2][1]))


@pytest.mark.parametrize(
    ("a", "b", "sides"), [(179.0, -179.0, [180.0, -180.0]), (-180.0, 180.0, [-180.0, 180.0])]
)
def test_either_way_across(a: float, b: float, sides: list[float]) -> None:
    fixes = [Fix(feed="a", lat_deg=10.0 * n, lon_deg=x) for n, x in enumerate((a, b))]
    document = json.loads("".join(geojson_lines(fixes)))
    first, second = document["features"][0]["geometry"]["coordinates"]
    assert [first[-1], second[0]] == [[side, 5.0] for side in sides]


def test_without_fixes_there_is_an_empty_collection() -> None:
    document = json.loads("".join(geojson_lines([])))
    told = {"type": "FeatureCollection", "generator": "farglide", "features": []}
    assert document == told


def test_points_of_others_are_read(tmp_path: Path) -> None:
    text = points([8, 46, 900.5], time="2027-01-23T09:40:00Z")
    fix = Fix(
        feed="track", lat_deg=46, lon_deg=8, t_s=1_800_697_200.0, height_m=900.5,
        height_kind=HeightKind.ELLIPSOID,
    )  # fmt: skip
    assert read(tmp_path, text).fixes == (fix,)
    told = read(tmp_path, points([8, 46], height_m=4, t_s=7, n_satellites=6.0, feed="")).fixes[0]
    assert (told.height_m, told.height_kind, told.t_s) == (4, HeightKind.SEA_LEVEL, 7)
    assert (told.n_satellites, told.feed) == (6, "track")


def test_points_that_are_none_are_counted(tmp_path: Path) -> None:
    text = points([8, 46], [8], "x", [8, "46"], [8, 1e999], [8, 95])
    found = read(tmp_path, text)
    assert len(found.fixes) == 1
    assert found.left_out == {"no position": 4, "lat_deg out of its range": 1}
    more = read(tmp_path, points([8, 46], [8, 46], speed_mps="fast")[:-2] + f",{other()}]}}")
    assert more.left_out == {"a value that is no number": 2}
    assert len(more.fixes) == 1


def other() -> str:
    return '1, {}, {"geometry": null}, {"geometry": {"type": "Point", "coordinates": [1, 2]}}'


@pytest.mark.parametrize(
    ("text", "what"),
    [
        ("{", "is no JSON: Expecting"),
        ("[" * 100_000, r"is no JSON: .*recursion"),
        ("[]", r"is no GeoJSON collection of features\. Is it a track\?"),
        ('{"features": 1}', "is no GeoJSON collection of features"),
        ("1" * 5000, "is no JSON: Exceeds the limit"),
    ],
)
def test_other_files_are_refused(tmp_path: Path, text: str, what: str) -> None:
    with pytest.raises(SourceError, match=what):
        read(tmp_path, text)
