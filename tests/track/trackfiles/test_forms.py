"""Each format is written by name, known by content, and says what it does not hold."""

from dataclasses import replace
from pathlib import Path

import pytest

from farglide.errors import SourceError
from farglide.track.trackfiles.forms import (
    Form,
    form_of,
    is_own,
    read_track,
    track_lines,
    unheld_words,
)

from .samples import FOLDER, SAMPLES, climb, mixed, sample_text


@pytest.mark.parametrize("form", Form)
@pytest.mark.parametrize("name", SAMPLES)
def test_the_samples_that_other_libraries_read_are_what_is_written(name: str, form: Form) -> None:
    assert (FOLDER / f"{name}.{form}").read_bytes().decode() == sample_text(name, form)


@pytest.mark.parametrize("form", Form)
@pytest.mark.parametrize("name", SAMPLES)
def test_a_file_is_known_by_its_content(name: str, form: Form) -> None:
    path = FOLDER / f"{name}.{form}"
    assert form_of(path.read_bytes()[:4096]) is form
    assert is_own(form, path)
    n = 6 if (name, form) == ("mixed", Form.IGC) else len(SAMPLES[name])  # of its first feed
    assert len(read_track(path).fixes) == n


def test_files_of_others_are_not_ours(tmp_path: Path) -> None:
    for form, name in ((Form.GPX, "foreign-1.1.gpx"), (Form.IGC, "foreign.igc")):
        assert not is_own(form, FOLDER / name)
        assert len(read_track(FOLDER / name).fixes) == 5
    (tmp_path / "a.csv").write_text("lat,lon\n")
    assert not is_own(Form.CSV, tmp_path / "a.csv")


@pytest.mark.parametrize(
    ("head", "form"),
    [
        (b"\xef\xbb\xbf <gpx>", Form.GPX),
        (b"\xff\xfe<\0", Form.GPX),
        (b"<?xml?><kml>", Form.KML),
        (b'\n{"type"', Form.GEOJSON),
        (b"ABCD\nHFDTE", Form.IGC),
        (b"Altitude,lat,lon\n1,2,3", Form.CSV),
        (b"", Form.CSV),
    ],
)
def test_other_beginnings(head: bytes, form: Form) -> None:
    assert form_of(head) is form


def test_files_that_cannot_be_read_are_named(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with pytest.raises(SourceError, match=r"cannot be read: No such file .* Look at the name and"):
        read_track(tmp_path / "none.gpx")
    with pytest.raises(SourceError, match="cannot be read: Is a directory"):
        read_track(tmp_path)
    monkeypatch.setattr("farglide.track.trackfiles.forms._LARGEST_BYTES", 1 << 20)
    (tmp_path / "a.csv").write_bytes(bytes((1 << 20) + 1))
    with pytest.raises(SourceError, match=r"is larger than 1 MB\. Cut it down"):
        read_track(tmp_path / "a.csv")


def test_a_format_says_what_it_does_not_hold() -> None:
    level = "No height above sea level is known of 4 fixes: other programs see none there."
    assert unheld_words(Form.GPX, mixed()) == unheld_words(Form.KML, mixed()) == [level]
    assert unheld_words(Form.GEOJSON, mixed()) == [level.replace("sea level", "the ellipsoid")]
    assert unheld_words(Form.CSV, mixed()) == []
    same = "of the same kind as of the others is known of 2 fixes"
    assert same in unheld_words(Form.IGC, mixed())[0]
    for form in Form:
        assert unheld_words(form, climb()) == []


def test_igc_says_what_it_leaves_out() -> None:
    fixes = [*climb(), replace(climb()[0], t_s=None)]
    assert unheld_words(Form.IGC, fixes) == ["Left out, since no time is known: 1 fix."]
    assert "".join(track_lines(Form.IGC, fixes)) == "".join(track_lines(Form.IGC, climb()))
