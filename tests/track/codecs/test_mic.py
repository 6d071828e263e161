"""Mic: the example of the protocol reference, and addresses and bytes that say nothing."""

import pytest

from farglide.track.codecs.mic import mic_said
from farglide.track.codecs.tally import Cause, UnreadError

# Source: APRS Protocol Reference 1.0.1, chapter 10, from memory: S32U6T is 33 deg 25.64' north,
# (_fn"Oj/ is 12 deg 7.74', or 112 deg where the fifth letter adds a hundred; 20 knots, course 251.
WORDS = b'`(_fn"Oj/'


def test_the_example_of_the_reference() -> None:
    assert mic_said("S32U6T", WORDS).lon_deg == pytest.approx(-(12 + 7.74 / 60))
    said = mic_said("S32UVT", WORDS)
    assert said.lat_deg == pytest.approx(33 + 25.64 / 60)
    assert said.lon_deg == pytest.approx(-(112 + 7.74 / 60))
    assert said.speed_mps == pytest.approx(20 * 1852 / 3600)
    assert said.track_deg == 251.0
    assert said.height_m is None


def test_a_height_in_the_comment_counts_from_ten_kilometres_below_the_sea() -> None:
    assert mic_said("S32U6T", WORDS + b'"4T}').height_m == 61.0
    assert mic_said("S32U6T-2", WORDS + b']"4T}x').height_m == 61.0


def test_digits_left_open_count_as_their_middle() -> None:
    assert mic_said("S32UZL", WORDS).lat_deg == pytest.approx(33 + 25.5 / 60)


@pytest.mark.parametrize(
    ("to", "words", "cause"),
    [
        ("APZ001", WORDS[:8], Cause.HALF),
        ("S32M6T", WORDS, Cause.UNKNOWN),
        ("S32U6", WORDS, Cause.UNKNOWN),
        ("SZ2U6T", WORDS, Cause.RANGE),
        ("S36Z6T", WORDS, Cause.RANGE),
        ("S39U6T", WORDS, Cause.RANGE),
        ("S32U6T", b'`(_\x00n"Oj/', Cause.RANGE),
        ("S32U6T", b'`(_f\x00"Oj/', Cause.RANGE),
        ("S32U6T", b'`\xff_fn"Oj/', Cause.RANGE),
    ],
)
def test_what_says_nothing_says_why(to: str, words: bytes, cause: Cause) -> None:
    with pytest.raises(UnreadError, match=cause.value):
        mic_said(to, words)
