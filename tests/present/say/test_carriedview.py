"""Below the balloon: one line each, so that a small screen holds what decides."""

from dataclasses import replace

import pytest
from tests.live.advice import ADVICE, RELEASE

from farglide.outlook.advice import Advice, LeakNow
from farglide.outlook.ascent import Spread
from farglide.present.say.carriedview import burst_line, carried_facts, field_line, wait_line
from farglide.present.say.text import FlightClock

CLOCK = FlightClock(launch_t_s=1_800_000_000.0, zone="UTC")  # 08:00
HOME, MEADOW = ADVICE.fields
COLUMNS = 55  # beside the ladder of an 80-column terminal


def words(advice: Advice) -> list[str]:
    return [one.words for one in carried_facts(advice, CLOCK) if one.words]


def test_the_lines_that_decide_fit_beside_the_ladder() -> None:
    told = words(ADVICE)
    assert told[:3] == [
        "Release for Home strip, 23.2–27.8 km: 9 in 10.",
        "Release by 09:17 (17 min left): then a burst is likely.",
        "Burst by 09:19 1 in 10, 09:22 5 in 10; 9 in 10 never.",
    ]
    assert all(len(one) <= COLUMNS for one in told[:3])


def test_long_before_the_window_waiting_is_no_question() -> None:
    assert not any(
        one.startswith("Waiting") for one in words(replace(ADVICE, after_launch_s=600.0))
    )
    assert any(one.startswith("Waiting") for one in words(ADVICE))


def test_less_than_asked_for_is_said() -> None:
    poor = replace(ADVICE, release=replace(RELEASE, is_enough=False))
    assert "That is less than you asked for." in words(poor)
    assert "No height ahead is good for a release." in words(replace(ADVICE, release=None))


def test_a_leak_and_a_float_are_told_with_the_top() -> None:
    top = Spread(p10=24e3, p50=24.8e3, p90=26e3)
    leak = LeakNow(chance_ratio=0.95, since_after_launch_s=3000.0, top_amsl_m=top)
    assert "It leaks since 08:50 (19 in 20); it tops out at 24.8 km." in words(
        replace(ADVICE, leak=leak)
    )
    maybe = replace(leak, chance_ratio=0.6)
    assert any(one.startswith("It may leak since") for one in words(replace(ADVICE, leak=maybe)))
    floats = replace(leak, floats_since_after_launch_s=3300.0)
    assert "It climbs no more since about 08:55." in words(replace(ADVICE, leak=floats))


@pytest.mark.parametrize(
    ("field", "line"),
    [
        (HOME, "- Home strip: shut, 3 in 10, doubtful from 09:02"),
        (replace(HOME, chance_ratio=0.0), "- Home strip: shut, doubtful from 09:02"),
        (MEADOW, "+ Far meadow: 19 in 20"),
        (replace(MEADOW, until_after_launch_s=3720.0, then="doubtful"),
         "+ Far meadow: 19 in 20, until 09:02"),
        (replace(MEADOW, chance_ratio=0.42), "+ Far meadow: 19 in 20; burst counted 4 in 10"),
        (replace(MEADOW, state="doubtful", until_after_launch_s=3600.0, then="open"),
         "~ Far meadow: doubtful, 19 in 20 just now: open if it lasts"),
        (replace(MEADOW, state="doubtful", until_after_launch_s=3720.0, then="open"),
         "~ Far meadow: doubtful, 19 in 20, open from 09:02"),
    ],
)  # fmt: skip
def test_a_field_in_a_line(field: object, line: str) -> None:
    assert field_line(field, 3600.0, CLOCK) == line  # type: ignore[arg-type]


def test_what_waiting_is_worth() -> None:
    assert wait_line(ADVICE.waiting) == "Waiting: 1 min 4 in 10, 2 min 6 in 10, 5 min 9 in 10."
    flat = tuple(replace(one, chance_ratio=0.99) for one in ADVICE.waiting)
    assert wait_line(flat) == "Waiting up to 5 min costs nothing."


def test_the_burst_in_one_line() -> None:
    assert ADVICE.burst is not None
    nan = float("nan")
    none = replace(ADVICE.burst, after_launch_s=Spread(p10=nan, p50=nan, p90=nan))
    assert burst_line(none, CLOCK) == "No burst is coming: do not wait for one."
    all_three = replace(ADVICE.burst, after_launch_s=Spread(p10=4761.0, p50=5040.0, p90=5400.0))
    told = burst_line(all_three, CLOCK)
    assert told == "Burst by 09:19 1 in 10, 09:24 5 in 10, 09:30 9 in 10."
    assert len(told) <= COLUMNS
    assert burst_line(all_three, CLOCK, 4700.0) == told
    kept = burst_line(all_three, CLOCK, 4800.0)  # the release is due when 1 in 10 has burst
    assert kept == "Burst by 09:19 1 in 10, 09:24 5 in 10, 09:30 9 in 10, if nobody lets go."
