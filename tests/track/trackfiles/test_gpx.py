"""GPX goes out as the schema has it and comes back the same; old tracks come in."""

from pathlib import Path

import pytest

from farglide.errors import SourceError
from farglide.track.heights import amsl_m
from farglide.track.reports import Fix
from farglide.track.trackfiles.forms import Form
from farglide.track.trackfiles.gpx import gpx_lines, read_gpx
from farglide.track.trackfiles.written import by_feed

from .readings import readings
from .samples import FOLDER, SAMPLES


def read(folder: Path, text: str) -> tuple[Fix, ...]:
    (folder / "a.gpx").write_text(text, encoding="utf-8")
    return read_gpx(folder / "a.gpx").fixes


@pytest.mark.parametrize("name", SAMPLES)
def test_a_track_comes_back_the_same(name: str, tmp_path: Path) -> None:
    fixes = SAMPLES[name]
    assert by_feed(read(tmp_path, "".join(gpx_lines(fixes)))) == by_feed(fixes)


@pytest.mark.parametrize("name", SAMPLES)
def test_another_library_reads_the_same(name: str) -> None:
    fixes = [fix for some in by_feed(SAMPLES[name]).values() for fix in some]
    told = [(f.feed, f.t_s, f.lat_deg, f.lon_deg, amsl_m(f), f.separation_m) for f in fixes]
    assert [tuple(one) for one in readings(name, Form.GPX)] == told


@pytest.mark.parametrize("form", ["1.0", "1.1"])
def test_tracks_that_another_library_wrote_are_read(form: str) -> None:
    # written by scripts/read_tracks.py with gpxpy from these values
    fixes = read_gpx(FOLDER / f"foreign-{form}.gpx").fixes
    began_s = 1_777_676_398.0  # 2026-05-01T22:59:58Z
    assert fixes == tuple(
        Fix(
            feed="old glider", t_s=began_s + n, lat_deg=47.25 + n / 128, lon_deg=11.5 - n / 64,
            height_m=600.0 + n,
        )
        for n in range(5)
    )  # fmt: skip


def test_without_fixes_there_is_a_header_only(tmp_path: Path) -> None:
    text = "".join(gpx_lines([]))
    assert "trk" not in text.replace("farglide:track", "")
    assert read(tmp_path, text) == ()


def test_waypoints_routes_and_extensions_of_others_are_no_fixes(tmp_path: Path) -> None:
    text = """<gpx><wpt lat="1" lon="2"/><rte><rtept lat="1" lon="2"/></rte><trk><trkseg>
    <trkpt lat="3" lon="4"><name>x</name><course>90</course><speed>2.5</speed><ele/>
    <extensions><q:TrackPointExtension><q:atemp>9</q:atemp></q:TrackPointExtension></extensions>
    </trkpt></trkseg></trk></gpx>"""
    fix = Fix(feed="track", lat_deg=3.0, lon_deg=4.0, speed_mps=2.5, track_deg=90.0)
    assert read(tmp_path, text) == (fix,)


def test_points_that_are_none_are_counted(tmp_path: Path) -> None:
    point = '<trkpt lat="{}" lon="{}"><time>{}</time></trkpt>'
    points = [(1, 2, "2027-01-23T09:40:00Z"), (91, 2, ""), ("x", 2, ""), ("", 2, ""), (1, 2, "t")]
    body = "".join(point.format(*one) for one in points)
    (tmp_path / "a.gpx").write_text(f"<gpx><trk><trkseg>{body}</trkseg></trk></gpx>")
    found = read_gpx(tmp_path / "a.gpx")
    assert len(found.fixes) == 1
    assert sorted(found.left_out.values()) == [1, 1, 1, 1]


def test_what_is_no_gpx_is_refused(tmp_path: Path) -> None:
    with pytest.raises(SourceError, match=r"a.gpx: is no GPX file\. Is it a track\?"):
        read(tmp_path, "<html><body/></html>")
