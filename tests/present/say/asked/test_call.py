"""The call card in words."""

from dataclasses import replace

from farglide.outlook.ascent import Spread
from farglide.present.say.asked.call import call_reply
from farglide.present.say.text import FlightClock

from .samples import CALL, CLOCK


def test_the_card_says_what_is_asked_for_in_utc() -> None:
    told = call_reply(CALL, CLOCK)
    assert told.answer == "Say: balloon, level 98, climbing."
    assert told.number == (
        "At 08:10 UTC 46.80 S 108.50 E, 51 km south-east of the launch, 3\u2009000 m "
        "(9\u2009843 ft); 9 in 10 within 1.2 km."
    )
    assert told.until == "Through level 100 at 08:10 (08:10 to 08:10) UTC."
    assert "climbs 5.2 m/s and moves to 128° at 9 m/s" in told.why
    more = dict(told.more)
    assert more["Let go"] == (
        "09:10 to 09:18 UTC for Home strip, 46.50 S 108.00 E, glider down through all levels "
        "there by 09:38 UTC."
    )
    assert more["Tied on"].startswith("down near 46.90 S 108.60 E about 09:40 UTC")
    assert more["Airspace"] == "held in your file. What holds, the unit says."


def test_all_that_is_said_to_a_unit_is_in_utc() -> None:
    there = FlightClock(launch_t_s=CLOCK.launch_t_s, zone="UTC+07:00")
    assert dict(call_reply(CALL, there).more) == dict(call_reply(CALL, CLOCK).more)
    burst = dict(call_reply(CALL, there).more)["Burst"]
    assert burst == "about 09:21 UTC (09:18 to 09:25) if nobody lets go."
    none = Spread(p10=float("nan"), p50=float("nan"), p90=float("nan"))
    calm = replace(CALL, burst_after_launch_s=none)
    assert dict(call_reply(calm, CLOCK).more)["Burst"] == "none is coming."


def test_at_the_launch_and_above_their_levels() -> None:
    told = call_reply(replace(CALL, from_launch_m=20.0, level=872), CLOCK)
    assert told.answer == "Say: balloon, above level 600, climbing."
    assert ", at the launch, " in told.number


def test_it_is_no_verdict_and_tells_what_is_not_planned() -> None:
    bare = replace(
        CALL, let_go_after_launch_s=None, down_after_launch_s=None, levels=(), climb_mps=-2.0,
        within_m=10.0,
    )  # fmt: skip
    told = call_reply(bare, CLOCK)
    assert told.answer.endswith("sinking.")
    assert told.until == "No level of theirs ahead."
    assert "9 in 10" not in told.number
    assert dict(told.more)["Let go"].startswith("not planned now")
    assert call_reply(replace(CALL, climb_mps=0.1), CLOCK).answer.endswith("level.")
    words = " ".join((told.answer, told.number, told.change, *dict(told.more).values())).lower()
    assert "safe" not in words
    assert "legal" not in words
