"""Names by their beginning, by one of their words, or nearly."""

import pytest

from farglide.errors import AnswerError
from farglide.track.typed.entries import NeckLift
from farglide.track.typed.known import AskedBack, Known, named
from farglide.track.typed.told import understood

NAMES = ("Wether Knap", "Stile Gap", "Stile Road")


@pytest.mark.parametrize(
    ("typed", "name"),
    [("wether", "Wether Knap"), ("gap", "Stile Gap"), ("wehter knap", "Wether Knap")],
)
def test_a_beginning_is_enough(typed: str, name: str) -> None:
    assert named(typed, NAMES, "stand") == name


def test_two_or_none_are_asked_again() -> None:
    with pytest.raises(
        AnswerError, match="'stile' may be any stand of these: Stile Gap, Stile Road"
    ):
        named("stile", NAMES, "stand")
    with pytest.raises(AnswerError, match="There is no field 'a': none is known"):
        named("a", (), "field")


def test_the_stand_of_the_crew_stands_in(known: Known) -> None:
    found = known.stand_named("")
    assert found is not None
    assert found.name == "Stile Gap"
    assert known.stand_named("nowhere") is None


def test_a_suspicion_is_one_question() -> None:
    meant = understood(NeckLift(kg=1.6))
    assert AskedBack(typed=None, why="No.", alternatives=(meant,)).words == (
        "No. Did you mean neck lift 1.60 kg?"
    )
    assert AskedBack(typed=meant, why="No.").words == "No. Read it again."
