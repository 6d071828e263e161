"""Tables go out with every word and come back the same; old ones come in by other names."""

from pathlib import Path

import pytest

from farglide.errors import SourceError
from farglide.track.reports import Fix, HeightKind
from farglide.track.trackfiles.columns import COLUMNS, csv_lines, read_csv
from farglide.track.trackfiles.taking import TrackRead

from .samples import SAMPLES

T_S = 1_800_697_200.0  # 2027-01-23T09:40:00Z


def read(folder: Path, text: str) -> TrackRead:
    (folder / "a.csv").write_text(text, encoding="utf-8", newline="")
    return read_csv(folder / "a.csv")


@pytest.mark.parametrize("name", SAMPLES)
def test_a_track_comes_back_the_same(name: str, tmp_path: Path) -> None:
    assert list(read(tmp_path, "".join(csv_lines(SAMPLES[name]))).fixes) == SAMPLES[name]


def test_a_feed_with_every_sign_comes_back(tmp_path: Path) -> None:
    fix = Fix(feed='a,b;"c"\nd\u2028e', lat_deg=1.0, lon_deg=2.0)
    assert read(tmp_path, "".join(csv_lines([fix]))).fixes == (fix,)


def test_without_fixes_there_are_the_columns_only() -> None:
    assert "".join(csv_lines([])) == ",".join(COLUMNS) + "\n"


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("Latitude;Longitude;Alt\r\n46.5;8.25;1200\r\n", {"height_m": 1200.0}),
        ("lat\tlng\taltitude_ft\n46.5\t8.25\t1000\n", {"height_m": 304.8}),
        ("time,lat,lon\n2027-01-23T09:40:00Z,46.5,8.25\n", {"t_s": T_S}),
        ("date,time,lat,lon\n2027-01-23,09:40:00,46.5,8.25\n", {"t_s": T_S}),
        ("date,lat,lon\n1970-01-02,46.5,8.25\n", {"t_s": 86_400.0}),
        ("timestamp,lat,lon\n1800697200,46.5,8.25\n", {"t_s": T_S}),
        (
            "lat,lon,hae_m\n46.5,8.25,9\n",
            {"height_m": 9.0, "height_kind": HeightKind.ELLIPSOID},
        ),
        ("lat,lon,palt_m\r46.5,8.25,9\r", {"height_m": 9.0, "height_kind": HeightKind.PRESSURE}),
        ('"lat","lon","course","sats"\n"46.5","8.25","80","5"\n', {"track_deg": 80.0}),
        ("\ufefflat,lon,note\n\n46.5,8.25\n\n", {}),
    ],
)
def test_old_tracks_are_read(tmp_path: Path, text: str, told: dict[str, object]) -> None:
    (fix,) = read(tmp_path, text).fixes
    assert (fix.feed, fix.lat_deg, fix.lon_deg) == ("track", 46.5, 8.25)
    assert {name: getattr(fix, name) for name in told} == told


def test_rows_that_are_none_are_counted(tmp_path: Path) -> None:
    rows = "1,2,3,now\n1,2,high,0\n1\n1,2,3,1e12\n1,2,3,nan\n1,2,,\n"
    found = read(tmp_path, f"lat,lon,alt_ft,time\n{rows}")
    assert len(found.fixes) == 1
    assert found.left_out == {
        "a time that is none": 3, "a height that cannot be read": 1, "no latitude or longitude": 1,
    }  # fmt: skip


@pytest.mark.parametrize(
    ("text", "what"),
    [
        ("", r"no columns for latitude and longitude; its first line is ''\. Name them lat_deg"),
        ("a,b\n1,2\n", "its first line is 'a,b'"),
        (f'lat,lon\n"{"x" * 200_000}",2\n', r"is no table: field larger .* Is it whole\?"),
    ],
)
def test_other_files_are_refused(tmp_path: Path, text: str, what: str) -> None:
    with pytest.raises(SourceError, match=what):
        read(tmp_path, text)
