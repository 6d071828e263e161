"""Directions as a crew says them."""

import pytest

from farglide.errors import AnswerError, InputError
from farglide.track.typed.known import Known
from farglide.track.typed.pointing import FIST_DEG, bearing_of, clock_of


@pytest.mark.parametrize(("text", "hours"), [("12", 0.0), ("1", 1.0), ("9:15 h", 9.25)])
def test_clock_positions(text: str, hours: float) -> None:
    assert clock_of(text) == hours


@pytest.mark.parametrize("text", ["0", "13", "11:75", "left", ""])
def test_no_clock_position(text: str) -> None:
    with pytest.raises(AnswerError, match="Type a clock position"):
        clock_of(text)


def test_clock_words_count_from_the_nose(known: Known) -> None:
    found = bearing_of("wether 11 h 2 fists", known)
    assert (found.azimuth_deg, found.elevation_deg) == (60.0, 2.0 * FIST_DEG)


def test_limits_hold(known: Known) -> None:
    with pytest.raises(InputError, match="azimuth is 400°"):
        bearing_of("400", known)
