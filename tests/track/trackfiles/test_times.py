"""Times go out as RFC 3339 and come back to the microsecond."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from farglide.track.trackfiles.times import seconds_of, time_text


@given(st.floats(0.0, 4_102_444_799.0))
def test_a_time_comes_back_to_the_microsecond(t_s: float) -> None:
    back_s = seconds_of(time_text(t_s))
    assert back_s is not None
    assert abs(back_s - t_s) <= 1e-6


@pytest.mark.parametrize("t_s", [None, -1.0, 4_102_444_800.0, float("nan"), float("inf")])
def test_no_time_and_a_wild_one_are_not_written(t_s: float | None) -> None:
    assert time_text(t_s) == ""


@pytest.mark.parametrize(
    ("text", "t_s"),
    [
        ("2027-01-23T09:40:00Z", 1_800_697_200.0),  # as earth.clock has it
        ("2027-01-23T09:40:00", 1_800_697_200.0),
        ("2027-01-23 16:40:00+07:00", 1_800_697_200.0),
        ("2027-01-23T09:40:00.1234567Z", 1_800_697_200.123456),
        (" 1970-01-01T00:00:00Z ", 0.0),
        ("1969-12-31T23:59:59Z", None),
        ("2100-01-01T00:00:00Z", None),
        ("0001-01-01T00:00:00+14:00", None),
        ("yesterday", None),
        ("", None),
    ],
)
def test_times_of_others_are_read(text: str, t_s: float | None) -> None:
    assert seconds_of(text) == t_s
