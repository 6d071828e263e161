"""Faults after the release in words: the cards that count, and the time in hand."""

from dataclasses import replace

import pytest

from farglide.outlook.after import Stage
from farglide.outlook.askedcar import CauseShare, GradeFound
from farglide.present.say.asked.loose.faults import cards_at, fault_after_reply
from farglide.present.say.asked.reply import COLUMNS, reply_lines
from farglide.present.say.cards import CARDS

from .samples import CLOCK, FAULT, GLIDING

GRADE = GradeFound(
    stand="Hill", elevation_deg=32.0, expected_db=9.0, expected_grade=4, seen_grade=1,
    least_db=6.0, most_db=9.0, reach_m=40_000.0, test_of="own sender",
    causes=(CauseShare(cause="own sender", chance_ratio=0.6),
            CauseShare(cause="aim", chance_ratio=0.4)),
)  # fmt: skip


@pytest.mark.parametrize("stage", list(Stage))
@pytest.mark.parametrize("name", list(CARDS))
def test_every_card_fits_at_every_stage(name: str, stage: Stage) -> None:
    told = fault_after_reply(replace(FAULT, wanted=name, stage=stage), GLIDING, CLOCK)
    assert max(map(len, reply_lines(told))) <= COLUMNS
    assert told.until
    text = " ".join((told.answer, told.number, told.why, *(one for _, one in told.more)))
    over = told.answer.startswith("That is over")
    assert over == (name not in cards_at(stage))
    if not over and stage is Stage.GLIDING:
        assert "<ask wait" not in text.casefold()  # nothing of before the release
        assert "the release needs" not in text.casefold()


@pytest.mark.parametrize(
    ("fault", "until"),
    [
        (FAULT, "16 min in hand, then Home strip is out of reach, if nobody steers."),
        (replace(FAULT, door_in_s=94.0), "90 s in hand, then Home strip is out of reach, if nobody "
         "steers."),
        (replace(FAULT, door_in_s=0.0), "Nothing in hand: Home strip is out of reach."),
        (replace(FAULT, door_in_s=None),
         "More than 25 min in hand, then Home strip is out of reach."),
        (replace(FAULT, stage=Stage.TIED_ON), "16 min in hand, then Home strip is out of reach, "
         "all tied on."),
        (replace(FAULT, field=""), "No field is in reach."),
        (replace(FAULT, stage=Stage.DOWN), "It should be down."),
    ],
)  # fmt: skip
def test_the_time_in_hand_is_that_of_the_field(fault: object, until: str) -> None:
    told = fault_after_reply(replace(fault, wanted="frost"), GLIDING, CLOCK)  # type: ignore[type-var]
    assert told.until == until


def test_what_counts_until_the_ground_or_not_at_all() -> None:
    wind = fault_after_reply(replace(FAULT, wanted="ground-wind"), GLIDING, CLOCK)
    assert wind.until == "40 min to the ground."
    assert fault_after_reply(replace(FAULT, wanted="digits"), GLIDING, CLOCK).until == (
        "No hurry by this alone."
    )
    leak = fault_after_reply(replace(FAULT, wanted="leak"), GLIDING, CLOCK)
    assert leak.answer == "That is over: no whole balloon carries it any more."
    tied = fault_after_reply(
        replace(FAULT, wanted="pin-never", stage=Stage.TIED_ON), GLIDING, CLOCK
    )
    assert tied.answer.startswith("Keep sending")


def test_without_a_name_the_cards_that_count_are_listed() -> None:
    told = fault_after_reply(FAULT, GLIDING, CLOCK)
    assert told.number.startswith("20 cards count now: aircraft")
    assert "leak" not in told.number


def test_a_grade_is_told_with_the_tests_of_a_glide() -> None:
    told = fault_after_reply(replace(FAULT, grade=GRADE), GLIDING, CLOCK)
    assert told.answer == "Test: sticks still for 3 s, and look."
    assert told.number == "Likely own sender 6 in 10, aim 4 in 10."
    assert "release" not in " ".join(one for _, one in told.more)
