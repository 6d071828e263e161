"""Points become fixes, or are counted with the reason."""

import pytest

from farglide.errors import SourceError
from farglide.track.reports import Fix, HeightKind
from farglide.track.trackfiles.taking import Taking, TrackRead, content

PLACE = {"lat_deg": "46.5", "lon_deg": "8"}


def test_what_a_point_says_is_taken_and_an_empty_word_says_nothing() -> None:
    taking = Taking("a.gpx")
    said = {"height_m": "12", "height_kind": "pressure", "n_satellites": "7", "speed_mps": ""}
    taking.take({"feed": "car", **PLACE, **said}, 5.0)
    taking.take({"feed": "", **PLACE}, None)
    told = Fix(
        feed="car", lat_deg=46.5, lon_deg=8.0, t_s=5.0, height_m=12.0,
        height_kind=HeightKind.PRESSURE, n_satellites=7,
    )  # fmt: skip
    bare = Fix(feed="track", lat_deg=46.5, lon_deg=8.0)
    assert taking.track() == TrackRead(fixes=(told, bare), left_out={})


@pytest.mark.parametrize(
    ("said", "why"),
    [
        ({**PLACE, "height_m": "high"}, "a value that cannot be read (could not convert string"),
        ({**PLACE, "height_kind": "depth"}, "a value that cannot be read ('depth' is not a valid"),
        ({**PLACE, "n_satellites": "7.5"}, "a value that cannot be read (invalid literal"),
        ({"lat_deg": "46"}, "no latitude or longitude"),
        ({**PLACE, "lat_deg": "91"}, "lat_deg out of its range"),
        ({**PLACE, "height_m": "nan"}, "height_m out of its range"),
    ],
)
def test_what_can_be_no_fix_is_counted(said: dict[str, str], why: str) -> None:
    taking = Taking("a.gpx")
    taking.take(PLACE, None)
    for _ in range(3):
        taking.take(said, None)
    ((told, n),) = taking.track().left_out.items()
    assert told.startswith(why)
    assert n == 3


def test_a_file_of_points_that_are_none_is_refused() -> None:
    taking = Taking("a.gpx")
    taking.leave("a time that is none")
    with pytest.raises(
        SourceError, match=r"holds no point .* \(a time that is none: 1\)\. Is it a"
    ):
        taking.track()
    assert Taking("b.gpx").track() == TrackRead(fixes=(), left_out={})


def test_bytes_become_text() -> None:
    assert content("a", "\ufeffHöhe".encode()) == "Höhe"
    assert content("a", "Höhe".encode("cp1252")) == "Höhe"
    with pytest.raises(SourceError, match=r"a: holds bytes that no text has\. Is it a track\?"):
        content("a", b"a\0b")
