"""Faults in words: a card, all cards, or a bad picture's causes."""

from dataclasses import replace

import pytest

from farglide.outlook.asked import FaultNow
from farglide.outlook.askedcar import CauseShare, GradeFound
from farglide.present.say.asked.faults import card_reply, fault_reply
from farglide.present.say.cards import CARDS

from .samples import CLOCK

GRADE = GradeFound(
    stand="Wether Knap", elevation_deg=38.0, expected_db=5.5, expected_grade=3, seen_grade=1,
    least_db=7.0, most_db=7.8, reach_m=35_600.0,
    causes=tuple(
        CauseShare(cause=name, chance_ratio=ratio)
        for name, ratio in (("aim", 0.5), ("damage", 0.3), ("own sender", 0.19), ("lens", 0.01))
    ),
    test_of="aim",
)  # fmt: skip
FAULT = FaultNow(
    after_launch_s=4560.0, wanted="", field="Home strip", release_in_s=440.0, door_in_s=90.0,
    burst_in_s=600.0, burst_ratio=0.12, leak_ratio=0.8, winds_ratio=2.0, grade=None,
)  # fmt: skip


def test_without_a_name_all_cards_are_named() -> None:
    told = fault_reply(FAULT, CLOCK)
    assert all(name in told.number for name in CARDS)
    assert told.until == "7 min in hand, then the release is due."


def test_a_card_begins_with_what_to_do_and_has_the_time_in_hand() -> None:
    told = fault_reply(replace(FAULT, wanted="burst"), CLOCK)
    assert told.answer == "Send the release. Keep sending for 60 s."
    assert told.number == "It burst with the glider tied on 9 in 10; it was let go 1 in 10."
    assert told.until == "90 s in hand, then Home strip is shut."
    assert told.why == "Seen when: height falls at once, the picture tumbles."
    assert card_reply(FAULT, "burst") == told


@pytest.mark.parametrize(
    ("name", "number"),
    [
        ("early-burst", "It bursts within five minutes 1 in 10; it does not 9 in 10."),
        ("leak", "The balloon leaks 8 in 10; sinking air, or it was slower all along 2 in 10."),
        ("wind-turned",
         "The wind has turned or grown 9 in 10; a wrong launch or place 1 in 10."),
        ("refused", "Nobody may land there today."),
    ],
)  # fmt: skip
def test_the_ride_s_own_chances_stand_in_place_of_guesses(name: str, number: str) -> None:
    assert card_reply(FAULT, name).number == number


@pytest.mark.parametrize(
    ("name", "change", "until"),
    [
        ("clock-off", {}, "No hurry by this alone."),
        ("ground-wind", {}, "To the ground."),
        ("frost", {"release_in_s": None}, "Not known: no release is advised."),
        ("frost", {"release_in_s": -3.0}, "Nothing in hand: the release is due."),
        ("burst", {"door_in_s": None}, "Home strip stays as it is."),
        ("pin-never", {"burst_in_s": None}, "No burst is likely."),
        ("pin-never", {}, "10 min in hand, then 1 in 10 has burst."),
    ],
)
def test_how_long_there_is(name: str, change: dict[str, float | None], until: str) -> None:
    assert card_reply(replace(FAULT, **change), name).until == until  # type: ignore[arg-type]


def test_a_grade_is_answered_with_the_one_test() -> None:
    told = fault_reply(replace(FAULT, grade=GRADE, wanted="frost"), CLOCK)
    assert told.answer == "Test: turn a beam to each side, slowly."
    assert told.number == "Likely aim 5 in 10, damage 3 in 10, own sender 2 in 10."
    assert told.why == (
        "Picture 3 is expected at Wether Knap (+6 dB, 38° up), 1 is seen: 7 to 8 dB are missing."
    )
    assert told.change == (
        "If it stays so the picture reaches 36 km. The release needs no picture: <ask lost>."
    )
    assert [label for label, _ in told.more] == ["aim", "damage", "own sender"]
    none = fault_reply(replace(FAULT, grade=replace(GRADE, most_db=None)), CLOCK)
    assert none.why.endswith("7 dB or more are missing.")
    fine = replace(
        GRADE, least_db=0.0, causes=(CauseShare(cause="distance", chance_ratio=0.9),)
    )  # fmt: skip
    told = fault_reply(replace(FAULT, grade=fine), CLOCK)
    assert told.why.endswith("within what is expected.")
    assert told.change == "A nearer or higher stand: <ask park>."
    assert told.answer == "As expected so far off: no fault shows."
    assert (told.number, told.more) == ("The distance alone explains it 9 in 10.", ())
    told = fault_reply(replace(FAULT, grade=replace(fine, seen_grade=4)), CLOCK)
    assert told.answer == "Better than expected: no fault shows."
    assert told.why.endswith("4 is seen: better than expected.")
    assert told.number == "The link is stronger than its budget."
    told = fault_reply(replace(FAULT, grade=replace(fine, least_db=0.4)), CLOCK)
    assert told.answer == "Hardly worse than expected: a fault is unlikely."


@pytest.mark.parametrize(
    ("name", "change", "answer", "number", "why"),
    [
        ("leak", {"leak_ratio": 0.01}, "No leak shows: go on as advised.",
         "The balloon leaks under 1 in 50.", "The climb so far does not fall off. Seen when: "),
        ("early-burst", {"burst_ratio": 0.01}, "No burst is near: go on as advised.",
         "It bursts within five minutes under 1 in 50.", "It is lower than such balloons burst."),
        ("wind-turned", {"winds_ratio": 1.0}, "The winds fit: go on as advised.",
         "The winds miss by no more than was told.", "The drift so far is as was told."),
    ],
)  # fmt: skip
def test_a_card_of_which_the_ride_sees_nothing_says_so(
    name: str, change: dict[str, float], answer: str, number: str, why: str
) -> None:
    told = card_reply(replace(FAULT, **change), name)  # type: ignore[arg-type]
    assert (told.answer, told.number) == (answer, number)
    assert told.why.startswith(why)
    assert CARDS[name].first in told.why
    assert len(told.answer.split()) <= 9
