"""Permissions and what was tried are asked, each in a word or a number, and never guessed."""

import tomllib

import pytest

from farglide.errors import AnswerError
from farglide.flightfile.asked.written import flight_text

from .answers import SWIFT
from .test_questions import dialogue, turn

AT = len(SWIFT) - 8


def test_each_permission_is_asked_and_empty_is_missing() -> None:
    talk = dialogue((*SWIFT[:AT], *[""] * 5))
    assert turn(talk).question == 14
    found = tomllib.loads(flight_text(talk.document))["permissions"]
    assert list(found.values()) == ["missing"] * 5


@pytest.mark.parametrize(
    ("said", "state"),
    [("yes", "held"), ("no", "missing"), ("not needed", "not needed"), ("h", "held")],
)
def test_yes_and_no_are_understood(said: str, state: str) -> None:
    found = dialogue((*SWIFT[:AT], said, *[""] * 4)).document["permissions"]
    assert found == {"airspace": state}


@pytest.mark.parametrize("said", ["n", "perhaps"])
def test_what_may_mean_two_states_is_refused(said: str) -> None:
    with pytest.raises(AnswerError, match="none of these: held, asked, not needed, missing"):
        dialogue((*SWIFT[:AT], said))


def test_that_of_a_radio_is_asked_only_where_there_is_one() -> None:
    at = SWIFT.index("2370")
    talk, asked = dialogue((*SWIFT[:at], "", "")), list[str]()
    while turn(talk).question == 13:
        asked.append(turn(talk).part.key)
        talk.answer("")
    assert asked == ["airspace", "aircraft", "land"]


def test_failures_are_asked_only_of_what_was_tried() -> None:
    talk = dialogue((*SWIFT[:-3], "0", "12", "2"))
    assert talk.turn is None
    assert talk.document["crew"] == {"n_releases": 0, "n_pullouts": 12, "n_pullout_failures": 2}


@pytest.mark.parametrize("said", ["13", "-1", "1.5", "many", "٣", "9" * 400])
def test_failures_are_whole_and_no_more_than_the_tries(said: str) -> None:
    with pytest.raises(AnswerError, match="Type a whole number, 0 to 12"):
        dialogue((*SWIFT[:-3], "12", said))
