"""Every part of every question says what it is for, and how to find it out."""

import pytest

from farglide.flightfile.asked.about import about
from farglide.flightfile.asked.dialogue import Dialogue
from farglide.flightfile.asked.parts import Turn

from .answers import BOX, SWIFT
from .test_questions import turn

ELSEWHERE = (
    *SWIFT[:-10],
    "Ridge",
    "-25.05, -65.4",
    "1400",
    "3",
    "35",
    *[""] * 5,
    "9",
    "1",
    "9",
    "1",
)


def asked(answers: tuple[str, ...]) -> list[Turn]:
    talk, found = Dialogue(), list[Turn]()
    for said in answers:
        found.append(turn(talk))
        talk.answer(said)
    assert talk.turn is None
    return found


@pytest.mark.parametrize("answers", [SWIFT, BOX, ELSEWHERE])
def test_every_part_is_explained_in_two_sentences_and_an_example(answers: tuple[str, ...]) -> None:
    for one in asked(answers):
        told = about(one)
        assert told.count(". ") >= 1, one.part.key
        assert "Example: " in told, one.part.key
        assert 80 < len(told) < 420, (one.part.key, len(told))


def test_the_same_word_is_explained_by_its_question() -> None:
    names = {about(one) for one in asked(ELSEWHERE) if one.part.key == "name"}
    assert len(names) == 4
