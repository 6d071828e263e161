"""Questions typed in a ride: taken out of the entries, answered on a card, taken away."""

import time

import pytest

from farglide.cli.asking import AskingInRide
from farglide.errors import AnswerError
from farglide.live.asked.situation import Situation
from farglide.live.ride.told import Told
from farglide.outlook.advice import Level
from farglide.present.say.text import FlightClock

CLOCK = FlightClock(launch_t_s=1_800_000_000.0, zone="UTC")


def none_yet(_: str | None) -> Situation:
    raise AnswerError("not yet")


@pytest.fixture
def asking() -> AskingInRide:
    return AskingInRide()


def test_an_entry_is_no_question(asking: AskingInRide) -> None:
    for line in ("q 4", "sun 11", "u", "", "refused tansy"):
        assert not asking.takes(line, none_yet, CLOCK)
    assert asking.card == ()


def test_a_question_that_cannot_be_answered_says_why(asking: AskingInRide) -> None:
    for line, words in (
        ("?", "?, and one of: now, wait"), ("? howso", "'howso' is no one question"),
        ("?sun", "not yet"), ("f ufo", "'ufo' is no one card"), ("F", "not yet"),
    ):  # fmt: skip
        assert asking.takes(line, none_yet, CLOCK)
        assert asking.card[0].startswith(words)
        assert not asking.is_busy
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
    asking.takes("? sun", none_yet, CLOCK)
    asking.turn(Told(level=Level.WATCH))
    assert asking.card == ("not yet",)
    asking.turn(told)
    assert asking.card == ()
    asking.takes("? sun", none_yet, CLOCK)
    asking.turn(told)
    assert asking.card == ("not yet",)  # asked by now, it stays
    asking.takes("f frost", none_yet, CLOCK)
    asking.turn(Told())
    asking.turn(told)
    assert asking.card == ("not yet",)  # what to do at a fault is read to its end
