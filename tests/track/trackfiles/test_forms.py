"""Each format is written by name, known by content, and says what it does not hold."""

from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from farglide.errors import SourceError
from farglide.track.reports import Fix, HeightKind
from farglide.track.trackfiles.forms import (
    Form,
    form_of,
    is_own,
    read_track,
    track_lines,
    unheld_words,
)
from farglide.track.trackfiles.written import by_feed

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


def maybe(low: float, high: float) -> st.SearchStrategy[float | None]:
    return st.none() | st.floats(low, high)


FIXES = st.lists(
    st.builds(
        Fix,
        feed=st.sampled_from(["glider", "car 2", "Höhe <&>", 'a,"b";c']),
        lat_deg=st.floats(-90.0, 90.0),
        lon_deg=st.floats(-180.0, 180.0, exclude_max=True),
        t_s=maybe(0.0, 4_102_444_799.0),
        height_m=maybe(-1000.0, 100_000.0),
        height_kind=st.sampled_from(HeightKind),
        separation_m=maybe(-200.0, 200.0),
        speed_mps=maybe(0.0, 1000.0),
        track_deg=maybe(0.0, 360.0),
        n_satellites=st.none() | st.integers(0, 200),
    ),
    max_size=6,
)


def comparable(fixes: Iterable[Fix]) -> list[tuple[object, ...]]:
    """Return what must come back: by feed, times to the microsecond, no kind of no height."""
    found = []
    for fix in (fix for some in by_feed(fixes).values() for fix in some):
        kind = None if fix.height_m is None else fix.height_kind
        t_s = None if fix.t_s is None else pytest.approx(fix.t_s, abs=1e-6, rel=0.0)
        found.append((replace(fix, t_s=None, height_kind=HeightKind.SEA_LEVEL), kind, t_s))
    return found


@pytest.mark.parametrize("form", [form for form in Form if form is not Form.IGC])
@given(fixes=FIXES)
@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=60)
def test_any_track_comes_back_the_same(tmp_path: Path, form: Form, fixes: list[Fix]) -> None:
    path = tmp_path / "track"
    path.write_bytes("".join(track_lines(form, fixes)).encode())
    assert comparable(read_track(path).fixes) == comparable(fixes)


@given(fixes=FIXES)
@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=60)
def test_any_igc_comes_back_to_a_thousandth_of_a_minute(tmp_path: Path, fixes: list[Fix]) -> None:
    path = tmp_path / "track"
    path.write_bytes("".join(track_lines(Form.IGC, fixes)).encode())
    timed = sorted((fix for fix in fixes if fix.t_s is not None), key=lambda fix: fix.t_s or 0.0)
    found = read_track(path).fixes
    assert len(found) == len(timed)
    for one, fix in zip(found, timed, strict=True):
        assert abs(one.lat_deg - fix.lat_deg) <= 0.0005 / 60.0 + 1e-12
        assert abs(one.lon_deg - fix.lon_deg) <= 0.0005 / 60.0 + 1e-12
        apart_s = (one.t_s or 0.0) - (fix.t_s or 0.0)
        assert abs(apart_s - 86_400.0 * round(apart_s / 86_400.0)) <= 0.00051  # days are not told
