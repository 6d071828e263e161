"""The dialogue: bad answers are asked again, back takes one back, what was typed is kept."""

import random

import pytest

from farglide.errors import AnswerError
from farglide.flightfile.asked.dialogue import LEFT_OUT, Dialogue, title

from .answers import SWIFT
from .test_questions import dialogue, turn


def test_a_bad_answer_changes_nothing() -> None:
    talk = dialogue(SWIFT[:6])
    before = turn(talk)
    with pytest.raises(AnswerError, match=r"That is 5 g; allowed: 30 to 25000 g\."):
        talk.answer("5")
    assert turn(talk).part.ask == before.part.ask
    assert talk.answers == list(SWIFT[:6])


def test_answers_that_cannot_be_together_are_asked_again_with_the_reason() -> None:
    talk = dialogue(SWIFT[: SWIFT.index("1500 g")])
    talk.answer("600 g")
    with pytest.raises(AnswerError, match=r"neck_lift_g: is 600 g, but 0\.640 kg hang below"):
        talk.answer("")
    assert turn(talk).question == 7
    assert talk.kept == "600 g"
    talk.answer("1500 g")
    talk.answer("")
    assert turn(talk).question == 8


def test_back_keeps_what_was_typed_until_it_is_typed_anew() -> None:
    talk = dialogue(SWIFT[:9])
    talk.back()
    talk.back()
    assert turn(talk).part.key == "span"
    assert talk.kept == "92 cm"
    talk.answer("")
    assert talk.kept == "16,5"
    talk.answer(LEFT_OUT)
    assert talk.document["glider"] == {"mass_g": 540, "span_cm": 92}


def test_a_glide_too_flat_for_the_wing_is_told_with_its_question() -> None:
    talk = dialogue((*SWIFT[: SWIFT.index("420")], "2000 m"))
    with pytest.raises(
        AnswerError, match=r"makes 40\.0 m of way in a metre of height\. Allowed: 2"
    ):
        talk.answer("50")
    assert turn(talk).question == 4


def test_back_at_the_beginning_stays_there() -> None:
    talk = Dialogue()
    talk.back()
    assert title(turn(talk)) == "1 of 14. What is the flight called, and when is it?"
    assert talk.answer("Alpine swift") == []


def test_a_whip_that_shades_the_ground_is_told_with_its_question_and_once() -> None:
    at = SWIFT.index("quarter wave")
    talk = dialogue((*SWIFT[:at], "quarter wave", "up", "helix 12"))
    (note,) = talk.answer("-91")
    assert 'Turn it over: sender_pointing = "down"' in note
    assert [talk.answer(said) for said in SWIFT[SWIFT.index("868") : -8]] == [[]] * 8


def test_an_end_of_all_questions_takes_no_more() -> None:
    talk = dialogue(SWIFT)
    assert talk.answer("more") == []
    assert talk.answers == list(SWIFT)


def test_a_needed_answer_is_not_left_out() -> None:
    talk = Dialogue()
    talk.answer("")
    for said in ("", LEFT_OUT):
        with pytest.raises(AnswerError):
            talk.answer(said)


@pytest.mark.parametrize("said", ["no", "None", "skip", "-", "unknown"])
def test_words_for_nothing_leave_a_part_out(said: str) -> None:
    at = SWIFT.index("day.csv")
    assert "wind" not in dialogue((*SWIFT[:at], said)).document
    talk = dialogue(SWIFT[: SWIFT.index("West pampa")])
    talk.answer(said)
    assert turn(talk).question == 10
    assert len(talk.document["fields"]) == 1


def test_no_is_an_answer_where_it_is_asked_for() -> None:
    talk = dialogue((*SWIFT[: SWIFT.index("West pampa") - 1], "no"))
    assert "home" in turn(talk).part.ask
    assert "fields" not in talk.document


def test_nothing_that_is_typed_breaks_the_dialogue() -> None:
    rng, n_taken, reasons = random.Random(7), 0, set[str]()
    strange = ("1e400", "9" * 400, "nan", "inf", "-", "back", "1_000", "٣", "²", "10000000000 km")
    letters = "0123456789.,;-+ NSEWgkmh/°'\"xTZ:abαé\x1b\t²∞"
    for _ in range(6):
        talk = Dialogue()
        for said in SWIFT:
            for _ in range(3):
                word = list(rng.choice((*SWIFT, *strange)))
                word.insert(rng.randint(0, len(word)), rng.choice(letters))
                try:
                    talk.answer("".join(word))
                    talk.back()
                    n_taken += 1
                except AnswerError as error:
                    reasons.add(str(error))
            try:
                talk.answer(said)
            except AnswerError:
                break  # an odd answer that was taken changed what is asked now
    assert n_taken > 20
    assert len(reasons) > 50
    assert all(reasons)
