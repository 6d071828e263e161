"""Changed: the gravest change in one clause, and nothing where nothing is worth a word."""

from dataclasses import replace

import pytest

from farglide.live.ride.changed import change_words
from farglide.live.ride.told import Summary
from farglide.present.say.text import FlightClock

CLOCK = FlightClock(launch_t_s=1_800_000_000.0, zone="UTC")  # 08:00
BEFORE = Summary(
    fields={"Home": "doubtful", "Far": "open"},
    to_field="Home",
    from_amsl_m=23_000.0,
    to_amsl_m=28_000.0,
    release_by_t_s=CLOCK.launch_t_s + 4800.0,
    chance_ratio=0.72,
    neck_lift_kg=1.6,
    burst_amsl_m=28_300.0,
)
NONE = replace(BEFORE, to_field="")


@pytest.mark.parametrize(
    ("before", "now", "words"),
    [
        (BEFORE, BEFORE, ""),
        (BEFORE, replace(BEFORE, fields={"Home": "shut", "Far": "open"}), "Home is shut now"),
        (BEFORE, replace(BEFORE, fields={"Home": "open", "Far": "open"}), "Home is open now"),
        (BEFORE, replace(BEFORE, fields={"Home": "open", "Far": "doubtful"}),
         "Far is doubtful now"),
        (BEFORE, replace(BEFORE, fields={"Home": "doubtful"}), "Far is refused"),
        (BEFORE, NONE, "no release height is good any more"),
        (NONE, BEFORE, "a release for Home is good again"),
        (NONE, NONE, ""),
        (BEFORE, replace(BEFORE, to_field="Far"), "the release is for Far now, not for Home"),
        (BEFORE, replace(BEFORE, release_by_t_s=BEFORE.release_by_t_s - 300.0),
         "release by 09:15, 5 min earlier"),
        (BEFORE, replace(BEFORE, release_by_t_s=BEFORE.release_by_t_s + 59.0), ""),
        (BEFORE, replace(BEFORE, from_amsl_m=23_800.0), "the window begins 0.8 km higher"),
        (BEFORE, replace(BEFORE, from_amsl_m=None), ""),
        (BEFORE, replace(BEFORE, to_amsl_m=27_500.0), "the window ends 0.5 km lower"),
        (BEFORE, replace(BEFORE, chance_ratio=0.91), "the chance is 9 in 10, was 7 in 10"),
        (BEFORE, replace(BEFORE, chance_ratio=0.79), ""),
        (BEFORE, replace(BEFORE, neck_lift_kg=1.68, burst_amsl_m=27_800.0), ""),
        (BEFORE, replace(BEFORE, neck_lift_kg=1.8, burst_amsl_m=27_700.0),
         "neck lift 1.80 kg, was 1.60: the burst is 0.6 km lower"),
        (BEFORE, replace(BEFORE, neck_lift_kg=1.45), "neck lift 1.45 kg, was 1.60"),
    ],
)  # fmt: skip
def test_one_clause_tells_the_gravest_change(before: Summary, now: Summary, words: str) -> None:
    assert change_words(before, now, CLOCK) == words


def test_a_release_that_is_seen_is_told_by_its_stage_not_as_an_order() -> None:
    sent = replace(BEFORE, order="release sent")
    gone = replace(BEFORE, order="released", stage="dropped")
    assert change_words(BEFORE, sent, CLOCK) == "the release is sent: watch for it"
    assert change_words(sent, gone, CLOCK) == "it is off the balloon"
    assert change_words(sent, replace(gone, stage="carried"), CLOCK) == ""
    assert change_words(sent, BEFORE, CLOCK) == "the release was not sent"


def test_worse_comes_before_better() -> None:
    now = replace(
        BEFORE, fields={"Home": "open", "Far": "shut"}, release_by_t_s=BEFORE.release_by_t_s + 600.0
    )
    assert change_words(BEFORE, now, CLOCK) == "Far is shut now"


@pytest.mark.parametrize(
    ("before", "now", "words"),
    [
        (BEFORE, replace(BEFORE, order="release sent"), "the release is sent: watch for it"),
        (replace(BEFORE, order="release sent"), replace(BEFORE, order="release stuck"),
         "the release is stuck: send it again"),
        (replace(BEFORE, order="release sent"), BEFORE, "the release was not sent"),
        (replace(BEFORE, launch_t_s=CLOCK.launch_t_s),
         replace(BEFORE, launch_t_s=CLOCK.launch_t_s + 1200.0),
         "the launch was 20 min later: all times move with it"),
        (BEFORE, replace(BEFORE, launch_t_s=CLOCK.launch_t_s), ""),
    ],
)  # fmt: skip
def test_orders_and_the_launch_are_told(before: Summary, now: Summary, words: str) -> None:
    assert change_words(before, now, CLOCK) == words
