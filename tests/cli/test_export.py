"""farglide export, as a person runs it: what it writes and says, and what it leaves alone."""

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from farglide.track.journal.frame import Kind
from farglide.track.journal.head import Head
from farglide.track.journal.journal import Journal, Moment
from farglide.track.journal.opening import begin
from farglide.track.journal.payload import fix_payload, payload_of
from farglide.track.reports import Fix, HeightKind
from farglide.track.trackfiles.forms import Form, read_track, track_lines

Said = Callable[..., tuple[int, str, str]]
T_S = 1_800_697_200.0
FIXES = [
    Fix(
        feed="glider", lat_deg=-46.5 + n / 1e3, lon_deg=108.0 - n / 7e2, t_s=T_S + n,
        height_m=240.0 + 5.0 * n, height_kind=HeightKind.ELLIPSOID, separation_m=-12.5,
    )
    for n in range(20)
]  # fmt: skip
CAR = Fix(feed="car", lat_deg=-46.25, lon_deg=108.0, t_s=T_S)
HEAD = Head(flight="[flight]\n", manifest="{}", winds="[]", program="0.1.0")


def logged(path: Path, fixes: list[Fix]) -> Journal:
    journal = begin(path, HEAD, Moment(0.0, T_S))
    for fix in fixes:
        journal.append(Kind.FIX, fix_payload(fix), Moment(1e-3 * ((fix.t_s or T_S) - T_S), T_S))
    return journal


@pytest.fixture
def log(tmp_path: Path) -> Path:
    journal = logged(tmp_path / "ride.log", FIXES)
    journal.append(Kind.END, payload_of({}), Moment(30.0, T_S))
    journal.close()
    return journal.path


@pytest.mark.parametrize("form", Form)
def test_a_track_is_written_and_read_again(
    said: Said, log: Path, tmp_path: Path, form: Form
) -> None:
    out = tmp_path / f"ride.{form}"
    code, told, notes = said("export", log, "--as", form, "--out", out)
    assert (code, told, notes) == (0, f"20 fixes, written to {out}\n", "")
    found = read_track(out).fixes
    assert len(found) == 20
    if form is not Form.IGC:
        assert list(found) == FIXES
    assert out.read_bytes().decode() == "".join(track_lines(form, FIXES))
    assert said("export", log, "--as", form, "--out", out)[0] == 0  # its own, written over
    assert sorted(one.name for one in tmp_path.glob(".*")) == []


@pytest.mark.parametrize("form", Form)
def test_without_out_it_is_printed(said: Said, log: Path, form: Form) -> None:
    code, told, notes = said("export", log, "--as", form)
    text = "".join(track_lines(form, FIXES)).replace("\r\n", "\n")
    assert (code, told, notes) == (0, text, "")


def test_a_long_track_is_printed_whole(said: Said, tmp_path: Path) -> None:
    fixes = [replace(FIXES[0], t_s=T_S + n) for n in range(2500)]
    logged(tmp_path / "long.log", fixes).close()
    code, told, notes = said("export", tmp_path / "long.log", "--as", "CSV")
    assert code == 0
    assert told == "".join(track_lines(Form.CSV, fixes))
    assert notes == "The log is unfinished: this is the track so far.\n"


@pytest.mark.parametrize("form", Form)
def test_without_a_fix_there_is_a_header_only(said: Said, tmp_path: Path, form: Form) -> None:
    logged(tmp_path / "none.log", []).close()
    out = tmp_path / "none"
    told = said("export", tmp_path / "none.log", "--as", form, "--out", out)[1]
    assert told == f"No fix: a header only, written to {out}\n"
    assert read_track(out).fixes == ()


def test_a_log_that_is_cut_off_gives_the_track_so_far(said: Said, log: Path) -> None:
    whole = log.read_bytes()
    log.write_bytes(whole[:-200])
    code, told, notes = said("export", log, "--as", "csv")
    assert code == 0
    assert told.count("\n") == 20  # its columns and 19 fixes
    assert "bytes after byte" in notes
    assert "the log ends in the middle of a record there." in notes
    assert "The log is unfinished: this is the track so far." in notes


def test_a_log_that_is_being_written_is_exported(said: Said, tmp_path: Path) -> None:
    journal = logged(tmp_path / "ride.log", FIXES[:3])
    assert said("export", journal.path, "--as", "csv")[1].count("\n") == 4
    journal.append(Kind.FIX, fix_payload(FIXES[3]), Moment(5.0, T_S))
    assert said("export", journal.path, "--as", "csv")[1].count("\n") == 5
    journal.close()


def test_one_feed_can_be_chosen_and_must_be_for_igc(said: Said, tmp_path: Path) -> None:
    path = tmp_path / "two.log"
    logged(path, [*FIXES, CAR]).close()
    assert said("export", path, "--as", "csv")[1].count("\n") == 22
    assert said("export", path, "--as", "csv", "--feed", "car")[1].count("\n") == 2
    code, told, error = said("export", path, "--as", "igc")
    assert (code, told) == (2, "")
    assert "--feed is missing; allowed: one of 'glider', 'car'. An IGC file holds the tr" in error
    assert said("export", path, "--as", "igc", "--feed", "glider")[1].count("\nB") == 20
    code, _, error = said("export", path, "--as", "csv", "--feed", "bus")
    assert code == 2
    assert "--feed is 'bus'; allowed: one of 'glider', 'car'." in error


def test_a_feed_of_a_log_without_fixes_is_refused(said: Said, tmp_path: Path) -> None:
    logged(tmp_path / "none.log", []).close()
    code, _, error = said("export", tmp_path / "none.log", "--as", "csv", "--feed", "car")
    assert code == 2
    assert "allowed: a feed with a fix. There is no fix in it." in error


def test_an_old_track_becomes_another_format(said: Said, tmp_path: Path) -> None:
    old = tmp_path / "old.csv"
    old.write_text("time,lat,lon,alt\n2027-01-23T09:40:00Z,46.5,8.25,900\n,,,\n")
    code, told, notes = said("export", old, "--as", "gpx", "--out", tmp_path / "old.gpx")
    assert (code, told) == (0, f"1 fix, written to {tmp_path / 'old.gpx'}\n")
    assert notes == "Left out 1 point: no latitude or longitude.\n"
    (fix,) = read_track(tmp_path / "old.gpx").fixes
    assert (fix.lat_deg, fix.height_m, fix.t_s) == (46.5, 900.0, T_S)


def test_what_the_format_does_not_hold_is_said(said: Said, tmp_path: Path) -> None:
    fix = replace(FIXES[0], height_kind=HeightKind.PRESSURE)
    logged(tmp_path / "a.log", [fix]).close()
    notes = said("export", tmp_path / "a.log", "--as", "gpx")[2]
    assert "No height above sea level is known of 1 fix" in notes


def test_a_persons_file_is_left_alone(said: Said, log: Path, tmp_path: Path) -> None:
    mine = tmp_path / "mine.gpx"
    mine.write_text("<gpx creator='me'/>")
    code, told, error = said("export", log, "--as", "gpx", "--out", mine)
    assert (code, told) == (2, "")
    assert "allowed: a new file, or a track that was exported as gpx. It is left alone." in error
    assert mine.read_text() == "<gpx creator='me'/>"
    assert said("export", log, "--as", "gpx", "--out", log)[0] == 2
    assert said("export", log, "--as", "gpx", "--out", tmp_path)[0] == 2
    assert read_track_of(said, log) == 20


def read_track_of(said: Said, log: Path) -> int:
    return said("export", log, "--as", "csv")[1].count("\n") - 1


def test_a_place_that_cannot_be_written_is_refused(said: Said, log: Path, tmp_path: Path) -> None:
    out = tmp_path / "no folder" / "a.gpx"
    code, _, error = said("export", log, "--as", "gpx", "--out", out)
    assert code == 2
    assert "It cannot be written: No such file or directory. Choose another place." in error
    code, _, error = said("export", log, "--as", "gpx", "--out", tmp_path / ("x" * 300))
    assert code == 2
    assert "It cannot be written: File name too long" in error


def test_other_files_and_formats_are_refused(said: Said, log: Path, tmp_path: Path) -> None:
    code, _, error = said("export", log, "--as", "shp")
    assert (code, error) == (2, "--as is 'shp'; allowed: gpx, kml, csv, geojson, igc.\n")
    code, _, error = said("export", tmp_path / "none.log", "--as", "csv")
    assert code == 2
    assert "cannot be read: No such file or directory." in error


def test_records_that_never_reached_the_log_are_said(
    said: Said, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    journal = logged(tmp_path / "a.log", FIXES[:2])
    lost = replace(journal.last, number=7)
    monkeypatch.setattr(journal, "last", lost)
    journal.append(Kind.FIX, fix_payload(FIXES[3]), Moment(9.0, T_S))
    journal.close()
    notes = said("export", journal.path, "--as", "csv")[2]
    assert "5 records never reached the log: fixes may be missing." in notes
