"""KML goes out as its schema has it and comes back the same."""

from pathlib import Path

import pytest

from farglide.errors import SourceError
from farglide.track.heights import amsl_m
from farglide.track.reports import Fix
from farglide.track.trackfiles.forms import Form
from farglide.track.trackfiles.kml import kml_lines, read_kml
from farglide.track.trackfiles.taking import TrackRead
from farglide.track.trackfiles.written import by_feed

from .readings import readings
from .samples import SAMPLES


def read(folder: Path, text: str) -> TrackRead:
    (folder / "a.kml").write_text(text, encoding="utf-8")
    return read_kml(folder / "a.kml")


def placemark(inside: str) -> str:
    return f"<kml><Document><Placemark>{inside}</Placemark></Document></kml>"


@pytest.mark.parametrize("name", SAMPLES)
def test_a_track_comes_back_the_same(name: str, tmp_path: Path) -> None:
    fixes = SAMPLES[name]
    assert by_feed(read(tmp_path, "".join(kml_lines(fixes))).fixes) == by_feed(fixes)


@pytest.mark.parametrize("name", SAMPLES)
def test_another_library_reads_the_same(name: str) -> None:
    fixes = [fix for some in by_feed(SAMPLES[name]).values() for fix in some]
    told = [(f.feed, f.t_s, f.lat_deg, f.lon_deg, amsl_m(f), None) for f in fixes]
    assert [tuple(one) for one in readings(name, Form.KML)] == told


def test_a_way_with_unknown_heights_lies_on_the_ground() -> None:
    text = "".join(kml_lines(SAMPLES["climb"]))
    assert text.count("<altitudeMode>absolute</altitudeMode>") == 11
    text = "".join(kml_lines(SAMPLES["mixed"]))
    assert text.count("<LineString><altitudeMode>clampToGround</altitudeMode>") == 2
    assert text.count("<Point><altitudeMode>absolute</altitudeMode>") == 2


def test_points_of_others_need_a_time(tmp_path: Path) -> None:
    point = (
        "<Point><altitudeMode>absolute</altitudeMode><coordinates>8,46,900</coordinates></Point>"
    )
    when = "<TimeStamp><when>2027-01-23T09:40:00Z</when></TimeStamp>"
    fix = Fix(feed="track", lat_deg=46.0, lon_deg=8.0, height_m=900.0, t_s=1_800_697_200.0)
    assert read(tmp_path, placemark(when + point)).fixes == (fix,)
    assert read(tmp_path, placemark(point)).fixes == ()
    low = "<Point><coordinates>8,46,900</coordinates></Point>"
    assert read(tmp_path, placemark(when + low)).fixes[0].height_m is None


def test_points_that_are_none_are_counted(tmp_path: Path) -> None:
    bad = [
        ("<when>2027-01-23T09:40:00Z</when>", "8"),
        ("<when>now</when>", "8,46"),
        ("<when>2027-01-23T09:40:00Z</when>", "8,96"),
    ]
    marks = [
        f"<Placemark>{when}<Point><coordinates>{place}</coordinates></Point></Placemark>"
        for when, place in (*bad, ("<when>2027-01-23T09:40:00Z</when>", "8,46"))
    ]
    found = read(tmp_path, f"<kml>{''.join(marks)}</kml>")
    assert len(found.fixes) == 1
    assert found.left_out == {
        "no latitude or longitude": 1, "a time that is none": 1, "lat_deg out of its range": 1,
    }  # fmt: skip


def test_what_is_no_kml_is_refused(tmp_path: Path) -> None:
    with pytest.raises(SourceError, match=r"a.kml: is no KML file\. Is it a track\?"):
        read(tmp_path, "<html><body/></html>")
