"""Moments: times of day and days of a month beside a time that is known."""

import pytest

from farglide.earth.clock import seconds_from_text
from farglide.track.codecs.moments import midnight_t_s, nearest_day_t_s, nearest_t_s, of_day_s
from farglide.track.codecs.tally import UnreadError

NEAR = seconds_from_text("2027-03-01T00:05:00Z")


@pytest.mark.parametrize(
    ("clock_s", "when"),
    [(86_390.0, "2027-02-28T23:59:50Z"), (300.0, "2027-03-01T00:05:00Z")],
)
def test_the_nearest_day_is_taken(clock_s: float, when: str) -> None:
    assert nearest_t_s(clock_s, NEAR) == seconds_from_text(when)


@pytest.mark.parametrize(
    ("day", "when"),
    [(28, "2027-02-28T00:00:00Z"), (1, "2027-03-01T00:00:00Z"), (31, "2027-03-31T00:00:00Z")],
)
def test_the_nearest_month_that_has_the_day_is_taken(day: int, when: str) -> None:
    assert nearest_day_t_s(day, 0.0, NEAR) == seconds_from_text(when)


def test_over_new_year() -> None:
    near = seconds_from_text("2027-01-01T00:00:10Z")
    assert nearest_day_t_s(31, 86_399.0, near) == seconds_from_text("2026-12-31T23:59:59Z")


@pytest.mark.parametrize("day", [0, 32])
def test_a_day_that_no_month_has_is_out_of_range(day: int) -> None:
    with pytest.raises(UnreadError, match="out of range"):
        nearest_day_t_s(day, 0.0, NEAR)
    with pytest.raises(UnreadError, match="out of range"):
        midnight_t_s(2027, 1, day)


@pytest.mark.parametrize("clock", [(24, 0, 0.0), (0, 60, 0.0), (0, 0, 61.0)])
def test_a_time_that_no_clock_shows_is_out_of_range(clock: tuple[int, int, float]) -> None:
    with pytest.raises(UnreadError, match="out of range"):
        of_day_s(*clock)


def test_a_leap_second_is_a_time() -> None:
    assert of_day_s(23, 59, 60.0) == 86_400.0
