"""Lost in words after the release: time in hand, where to aim, where each story comes down."""

from tests.live.advice import AFTER

from farglide.outlook.advice import Advice
from farglide.present.say.advice import answer_lines

from .samples import CLOCK


def told(question: str, advice: Advice) -> str:
    return "\n".join(answer_lines(question, advice, CLOCK))


def test_lost_tells_the_time_in_hand_and_the_ways_down() -> None:
    found = told("lost", AFTER["unsteered"])
    assert "Home strip 16 min hands off; Far meadow more than 25 min" in " ".join(found.split())
    assert "115° and 161°" in found
    assert "Hands off (6 in 10): about 11:30, 120.0 km on" in found
    assert "farglide search" in found


def test_lost_with_all_tied_on_is_a_release_to_send() -> None:
    assert told("lost", AFTER["tied on"]).startswith("Send release, keep sending.")


def test_lost_once_it_must_be_down_is_no_time_in_hand() -> None:
    found = told("lost", AFTER["down"])
    assert found.startswith("It should be down. Mark it, then go.")
    assert "if nobody steers" not in found


def test_a_guess_tells_its_rings() -> None:
    found = told("where", AFTER["unsteered"])
    assert "5 in 10 that it is within 2.1 km of it, 9 in 10 within 5.2 km." in " ".join(
        found.split()
    )
    assert "By a fix just now." in told("where", AFTER["gliding"])


def test_unseen_over_its_field_it_circles() -> None:
    found = " ".join(told("lost", AFTER["over"]).split())
    assert "Blind A flat circle over Home strip; low down wings level into the wind." in found
    assert "ground speed" not in found
