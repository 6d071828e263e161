"""Numbers of a review: in the units of a crew, with what nobody saw told so."""

from dataclasses import replace

import pytest

from farglide.outlook.review import Promise
from farglide.present.say.review.numbers import (
    came_text,
    flights_text,
    number_text,
    range_text,
    spread_text,
    told_text,
    was_text,
    within_text,
)
from farglide.present.say.text import FlightClock

from ...sample_review import BURST, DOWN, DRAG, FAR, KEPT, LINK, PLACE, TIME, WIDE, WINDOW

CLOCK = FlightClock(launch_t_s=1_800_697_200.0, zone="UTC+07:00")


@pytest.mark.parametrize(("one", "words"), [
    (TIME, "16:52 (T+12)"), (PLACE, "1.1 km"), (BURST, "over 27.2 km"), (DOWN, "not seen"),
])  # fmt: skip
def test_how_it_came(one: Promise, words: str) -> None:
    assert came_text(one, CLOCK) == words


@pytest.mark.parametrize(("one", "words"), [
    (TIME, "9 in 10"), (PLACE, "5 in 10"), (BURST, ""), (FAR, "outside"), (WINDOW, "inside"),
    (replace(WINDOW, told="at 20 km, 8 in 10"), "8 in 10"),
])  # fmt: skip
def test_where_it_came(one: Promise, words: str) -> None:
    assert within_text(one) == words


def test_ranges() -> None:
    assert range_text(675.6, 935.2, "s", CLOCK) == "16:51 to 16:55"
    assert range_text(28_100.0, 31_761.0, "m", CLOCK) == "28.1 to 31.8 km"
    assert range_text(0.0, 2371.9, "m", CLOCK) == "up to 2.4 km"
    assert range_text(None, 1.0, "m", CLOCK) == ""
    assert told_text(0.5, "ratio", CLOCK) == "0.50"


def test_learnt_numbers() -> None:
    assert was_text(DRAG) == "0.877 ± 0.012"
    assert was_text(WIDE) == "over 6.1 m"
    assert was_text(KEPT) == "not seen"
    assert was_text(LINK) == "−1.3 ± 0.6 dB"
    assert (flights_text(DRAG), flights_text(WIDE)) == ("1", "1, 1 one-sided")
    assert number_text(-0.04, "dB") == "0.0 dB"
    assert spread_text(7.05, 0.42, "m") == "7.05 ± 0.42 m"
