"""Placing: examples that the protocol reference itself works out, and what it leaves open."""

import pytest

from farglide.track.codecs.placing import base91, commented_m, compressed_said, plain_said
from farglide.track.codecs.tally import UnreadError

# Source of the expected values: APRS Protocol Reference 1.0.1, chapters 6, 7 and 9, from memory;
# readings of a general library stand in test_packet.py.


@pytest.mark.parametrize(
    ("lat", "deg"),
    [(b"4903.50", 49 + 3.5 / 60), (b"4903.5 ", 49 + 3.55 / 60), (b"4903.  ", 49 + 3.5 / 60),
     (b"490 .  ", 49 + 5.0 / 60), (b"49  .  ", 49.5)],
)  # fmt: skip
def test_what_is_left_open_counts_as_its_middle(lat: bytes, deg: float) -> None:
    said = plain_said(lat + b"N/07201.75W-")
    assert said.lat_deg == pytest.approx(deg, abs=1e-9)


@pytest.mark.parametrize("text", [b"4903.50N/0720", b"4 03.50N/07201.75W-", b"49 3.50N/07201.75W-",
                                  b"4963.50N/07201.75W-", b"49035.0N/07201.75W-"])  # fmt: skip
def test_half_or_impossible_places_are_refused(text: bytes) -> None:
    with pytest.raises(UnreadError):
        plain_said(text)


def test_a_compressed_place_with_course_height_or_neither() -> None:
    moving = compressed_said(b"/5L!!<*e7>7P[")
    assert (moving.track_deg, moving.height_m) == (88.0, None)
    assert moving.speed_mps == pytest.approx(36.2 * 1852 / 3600, abs=0.02)
    high = compressed_said(b"/5L!!<*e7OS]S")
    assert high.height_m == pytest.approx(10_004 * 0.3048, abs=0.5)
    assert high.track_deg is None
    still = compressed_said(b"/5L!!<*e7O sT")
    assert (still.track_deg, still.height_m, still.speed_mps) == (None, None, None)
    ranged = compressed_said(b"/5L!!<*e7>{?!")
    assert (ranged.track_deg, ranged.speed_mps) == (None, None)


def test_a_comment_states_feet_and_counts_before_the_packed_height() -> None:
    assert commented_m(b"x/A=-00100") == pytest.approx(-30.48)
    assert commented_m(b"/A=12345") is None
    assert compressed_said(b"/5L!!<*e7OS]S/A=000100").height_m == pytest.approx(30.48)


def test_an_unknown_course_is_none() -> None:
    assert plain_said(b"4903.50N/07201.75WO000/036").track_deg is None


def test_no_compressed_place() -> None:
    with pytest.raises(UnreadError, match="out of range"):
        compressed_said(b"/5L!!<*e")
    assert base91(b"!!!!") == 0
