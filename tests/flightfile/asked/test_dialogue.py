"""The dialogue: bad answers are asked again, back takes one back, what was typed is kept."""

import random

import pytest

from farglide.errors import AnswerError
from farglide.flightfile.asked.dialogue import LEFT_OUT, Dialogue

from .answers import BOX, SWIFT
from .test_questions import dialogue, turn


def test_a_bad_answer_changes_nothing() -> None:
    talk = dialogue(SWIFT[:7])
    before = turn(talk)
    with pytest.raises(AnswerError, match=r"That is 5 g; allowed: 30 to 25000 g\."):
        talk.answer("5")
    assert turn(talk).part.ask == before.part.ask
    assert talk.answers == list(SWIFT[:7])


def test_answers_that_cannot_be_together_are_asked_again_with_the_reason() -> None:
    talk = dialogue(SWIFT[: SWIFT.index("1500 g")])
    talk.answer("600 g")
    with pytest.raises(AnswerError, match=r"^That is 600 g, but 0\.640 kg hang below"):
        talk.answer("")
    assert turn(talk).question == 7
    assert talk.kept == "600 g"
    talk.answer("1500 g")
    talk.answer("")
    assert turn(talk).question == 8


def test_back_keeps_what_was_typed_until_it_is_typed_anew() -> None:
    talk = dialogue(SWIFT[:10])
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
        AnswerError, match=r"^That makes 40\.0 m of way in a metre of height\. Allowed: 2"
    ):
        talk.answer("50")
    assert turn(talk).question == 4


def test_back_at_the_beginning_stays_there() -> None:
    talk = Dialogue()
    talk.back()
    assert talk.title == "1 of 14. What is the flight called, and when is it?"
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


def test_the_clock_is_held_against_the_sun_only_where_the_place_is_known() -> None:
    talk = Dialogue()
    told = [talk.answer(said) for said in ("Plain", "2027-05-15 15:00 +05:00", "winds.csv")]
    assert told == [[], [], []]
    told = [talk.answer(said) for said in ("Strip", "52.45 -63.9", "210")]
    assert told[:2] == [[], []]
    (note,) = told[2]
    assert "+5 h from UTC, but the sun there is -4.3 h from it" in note
    assert note.endswith(
        "Is the longitude east (positive) or west (negative)? Are latitude and longitude swapped?"
    )


@pytest.mark.parametrize("offset", ["-11:00", "-03:30", "Z", "+09:30", "+13:00", "+14:00"])
def test_no_clock_is_doubted_before_its_place(offset: str) -> None:
    assert dialogue(("", f"2027-05-15 15:00 {offset}")).answer("") == []


def test_questions_are_counted_by_what_is_asked() -> None:
    at = SWIFT.index("2370")
    talk = dialogue((*SWIFT[:at], ""))
    assert talk.title == "11 of 14. Which radio sends commands up?"
    (note,) = talk.answer("")
    assert note == 'Left out without a radio: "Where do the antennas of the crew stand?"'
    assert talk.title == "12 of 13. What do you hold a permission for?"


def test_a_box_is_asked_nothing_of_gliders() -> None:
    talk, titles = Dialogue(), list[str]()
    for said in BOX:
        titles.append(talk.title)
        talk.answer(said)
    assert talk.turn is None
    assert talk.title == "the end"
    told = list(dict.fromkeys(titles[9:]))  # from the question after what hangs below
    assert told == [
        "4 of 10. Which balloon, and which gas?",
        "5 of 10. How full is the balloon?",
        "6 of 10. What is its battery, and what does it feed?",
        "7 of 10. Which radio tells where it is?",
        "8 of 10. Which radio sends the picture down?",
        "9 of 10. Where do the antennas of the crew stand?",
        "10 of 10. What do you hold a permission for?",
    ]


def test_a_strange_glide_is_asked_back_and_taken_when_meant() -> None:
    at = SWIFT.index("420")
    talk = dialogue(SWIFT[:at])
    with pytest.raises(AnswerError, match="A glide of 12 m is over in a second or two"):
        talk.answer("12")
    assert talk.kept == "12"
    assert turn(talk).part.key == "glided"
    assert talk.answer("") == []
    with pytest.raises(AnswerError, match=r"makes 2\.4 m of way in a metre of height; small"):
        talk.answer("5")
    talk.answer("5")
    assert talk.document["glider"]["glided_m"] == 12
    assert turn(talk).question == 5


@pytest.mark.parametrize(("way", "height"), [("30", "5"), ("1300", "100"), ("2 km", "100")])
def test_a_usual_glide_is_not_doubted(way: str, height: str) -> None:
    talk = dialogue((*SWIFT[: SWIFT.index("420")], way, height))
    assert turn(talk).question == 5


def test_who_cannot_be_asked_back_is_told() -> None:
    talk = dialogue(SWIFT[: SWIFT.index("420")])
    talk.is_asked_back = False
    (note,) = talk.answer("12")
    assert "A glide of 12 m" in note
    assert talk.answer("3") == []
