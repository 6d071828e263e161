"""Questions typed in a ride: taken out of the entries, answered on a card, taken away."""

import threading
import time
from typing import cast

import pytest

from farglide.cli.asking import AskingInRide
from farglide.cli.questions import QUESTIONS
from farglide.errors import AnswerError
from farglide.live.asked.situation import Situation
from farglide.live.ride.told import Told
from farglide.outlook.advice import Level
from farglide.present.say.text import FlightClock

CLOCK = FlightClock(launch_t_s=1_800_000_000.0, zone="UTC")


def none_yet(_: str | None) -> Situation:
    raise AnswerError("not yet")


def some(_: str | None) -> Situation:
    return cast("Situation", None)


def show(asking: AskingInRide, words: str) -> None:
    """Let an answer stand on the card."""
    asking.card = (words,)


def shown(asking: AskingInRide) -> tuple[str, ...]:
    """Return what stands on the card."""
    return asking.card


@pytest.fixture
def asking() -> AskingInRide:
    return AskingInRide()


def test_an_entry_is_no_question(asking: AskingInRide) -> None:
    for line in ("q 4", "sun 11", "u", "", "refused tansy"):
        assert not asking.takes(line, none_yet, CLOCK)
    assert asking.card == ()


def test_a_question_that_cannot_be_answered_says_why(asking: AskingInRide) -> None:
    for line, words in (
        ("? howso", "There is no question 'howso'. Nearest: "), ("?sun", "not yet"),
        ("? weather", "There is no question 'weather'. Nearest: where,"),
        ("? p", "'p' may be any question of these: park, picture, power, putdown."),
        ("f ufo", "There is no fault card 'ufo'. Nearest: "), ("F", "not yet"),
    ):  # fmt: skip
        assert asking.takes(line, none_yet, CLOCK)
        assert asking.refusal().startswith(words)
        assert asking.refusal() == ""
        assert shown(asking) == ()  # no answer stands in the way of the flight
        assert not asking.is_busy


def test_all_questions_are_listed_with_what_they_are_about(asking: AskingInRide) -> None:
    assert asking.takes("?", none_yet, CLOCK)
    assert "  park     where to stand, when to set off" in asking.card
    assert len(asking.card) == 1 + len(QUESTIONS)
    asking.takes("? howso", none_yet, CLOCK)
    assert len(asking.card) == 1 + len(QUESTIONS)
    assert asking.refusal().endswith("? alone lists all questions.")
    assert asking.takes("", none_yet, CLOCK)
    assert asking.card == ()


def test_an_answer_comes_from_beside(asking: AskingInRide) -> None:
    wanted: list[str | None] = []

    def broken(card: str | None) -> Situation:
        wanted.append(card)
        return None  # type: ignore[return-value]

    assert asking.takes("f fro", broken, CLOCK)
    assert wanted == ["frost"]
    assert asking.card == ("One moment.",)
    assert asking.is_busy
    for _ in range(100):
        asking.turn(Told())
        if not asking.is_busy:
            break
        time.sleep(0.02)
    assert "NoneType" in asking.card[0]  # what fails is told, and ends no ride
    assert asking.close()


@pytest.mark.parametrize("told", [Told(level=Level.NOW), Told(stage="gliding")])
def test_an_answer_of_before_stands_in_no_way_of_what_presses_now(
    asking: AskingInRide, told: Told
) -> None:
    show(asking, "Turn left.")
    asking.turn(Told(level=Level.WATCH))
    assert shown(asking) == ("Turn left.",)
    asking.turn(told)
    assert shown(asking) == ()
    show(asking, "Turn right.")
    asking.turn(told)
    assert shown(asking) == ("Turn right.",)  # asked by now, it stays
    asking.takes("?", none_yet, CLOCK)
    asking.turn(Told())
    asking.turn(told)
    assert shown(asking)  # a list is read to its end, as a fault card is


@pytest.mark.parametrize("line", ["? park", "?"])
def test_a_question_that_hangs_is_told_whatever_was_asked_behind_it(
    asking: AskingInRide, line: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    is_begun, go_on = threading.Event(), threading.Event()

    def hangs(*_: object) -> tuple[str, ...]:
        is_begun.set()
        go_on.wait(60.0)
        return ("Answered.",)

    monkeypatch.setattr("farglide.cli.asking._lines", hangs)
    assert asking.takes("? sun", some, CLOCK)
    assert is_begun.wait(10.0)
    assert asking.takes(line, some, CLOCK)
    assert not asking.close(0.1)
    go_on.set()
    assert asking.close(10.0)
