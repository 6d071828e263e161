"""IGC comes back to a thousandth of a minute; files of recorders come in."""

from pathlib import Path

import pytest

from farglide.errors import SourceError
from farglide.track.heights import amsl_m, hae_m
from farglide.track.reports import Fix, HeightKind
from farglide.track.trackfiles.igc import igc_lines
from farglide.track.trackfiles.igcread import read_igc
from farglide.track.trackfiles.taking import TrackRead

from .samples import FOLDER, climb, mixed
from .test_igc import HALF

HEAD = "AXXX\r\nHFDTE230127\r\n"
BODY = "4630000N00800000EA0095001000"


def read(folder: Path, text: str) -> TrackRead:
    (folder / "a.igc").write_text(text, encoding="utf-8", newline="")
    return read_igc(folder / "a.igc")


@pytest.mark.parametrize("fixes", [climb(), [one for one in mixed() if one.feed == "glider"]])
def test_a_track_comes_back_to_a_thousandth_of_a_minute(fixes: list[Fix], tmp_path: Path) -> None:
    found = read(tmp_path, "".join(igc_lines(fixes))).fixes
    assert len(found) == len(fixes)
    for one, fix in zip(found, fixes, strict=True):
        assert (one.feed, one.t_s) == (fix.feed, fix.t_s)
        assert abs(one.lat_deg - fix.lat_deg) <= HALF
        assert abs(one.lon_deg - fix.lon_deg) <= HALF
        height = {HeightKind.SEA_LEVEL: amsl_m, HeightKind.ELLIPSOID: hae_m}.get(one.height_kind)
        told = height(fix) if height else fix.height_m
        if one.height_m is not None:
            assert told is not None
            assert abs(one.height_m - told) <= 0.5


def test_a_file_that_another_library_wrote_is_read() -> None:
    # written by scripts/read_tracks.py with aerofiles from these values
    fixes = read_igc(FOLDER / "foreign.igc").fixes
    began_s = 1_777_679_997.0  # 2026-05-01T23:59:57Z
    for n, (fix, share) in enumerate(zip(fixes, (0.0, 0.25, 0.5, 0.75, 0.1), strict=True)):
        assert fix.t_s == pytest.approx(began_s + n + share, abs=1e-6)
        assert abs(fix.lat_deg - 47.25 - n / 128) <= 2 * HALF  # it cuts, we round
        assert abs(fix.lon_deg - 11.5 + n / 64) <= 2 * HALF
    kinds = [fix.height_kind for fix in fixes]
    assert kinds == [HeightKind.ELLIPSOID] * 2 + [HeightKind.PRESSURE] + [HeightKind.ELLIPSOID] * 2
    assert [fix.height_m for fix in fixes] == [600.0, 601.0, 582.0, 603.0, 604.0]


def test_a_step_back_by_more_than_an_hour_is_the_next_day(tmp_path: Path) -> None:
    clocks = ("235950", "000010", "000005", "235900", "000000")
    fixes = read(tmp_path, HEAD + "".join(f"B{clock}{BODY}\r\n" for clock in clocks)).fixes
    began_s = fixes[0].t_s or 0.0
    assert [round((fix.t_s or 0.0) - began_s) for fix in fixes] == [0, 20, 15, 86350, 86410]


@pytest.mark.parametrize(
    ("head", "t_s"),
    [
        ("HFDTE230127", 1_800_662_400.0),
        ("HFDTEDATE:230127,01", 1_800_662_400.0),
        ("HFDTEDATE: 230127", 1_800_662_400.0),
        ("HFDTE010199", 915_148_800.0),
        ("HFDTE300227", None),
        ("HFXXX", None),
    ],
)
def test_the_date_is_of_the_header(tmp_path: Path, head: str, t_s: float | None) -> None:
    (fix,) = read(tmp_path, f"AXXX\n{head}\nB000000{BODY}\n").fixes
    assert fix.t_s == t_s


def test_the_header_says_what_the_gnss_column_is(tmp_path: Path) -> None:
    for word, kind in (("GEO", HeightKind.SEA_LEVEL), ("ELL", HeightKind.ELLIPSOID)):
        (fix,) = read(tmp_path, f"{HEAD}HFALGALTGPS:{word}\nB000000{BODY}\n").fixes
        assert (fix.height_m, fix.height_kind) == (1000.0, kind)


def test_records_that_are_none_are_counted(tmp_path: Path) -> None:
    bad = ["Bxx", f"B246000{BODY}", f"B006100{BODY}", "B0000004660000N00800000EA0095001000"]
    bad += ["B0000009100000N00800000EA0095001000", "B0000004630000N00800000EA00950010"]
    lines = "".join(f"{line}\n" for line in [*bad, f"B000000{BODY}"])
    found = read(tmp_path, HEAD + lines)
    assert len(found.fixes) == 1
    assert found.left_out == {
        "a record that cannot be read": 2, "a time or position that is none": 3,
        "lat_deg out of its range": 1,
    }  # fmt: skip


def test_what_is_no_igc_is_refused(tmp_path: Path) -> None:
    with pytest.raises(SourceError, match=r"a.igc: is no IGC file\. Is it a track\?"):
        read(tmp_path, "A letter to you\n")
