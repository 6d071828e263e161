"""Replies in the ride: they name what is typed there, and no option of the command line."""

import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from farglide.cli.questions import QUESTIONS
from farglide.present.say import asked
from farglide.present.say.asked import inride
from farglide.present.say.asked.inride import in_ride, ride_words
from farglide.present.say.asked.reply import Reply
from farglide.present.say.cards import CARDS, Card
from farglide.present.say.cardsafter import CARDS_AFTER

_ASKS = re.compile(rf"\b[Aa]sk ({'|'.join(QUESTIONS)})\b")


def cards() -> Iterator[Card]:
    yield from CARDS.values()
    yield from CARDS_AFTER.values()


def test_every_question_is_known() -> None:
    for name in QUESTIONS:
        assert ride_words(f"ask {name}.") == f"type ? {name}."


def test_no_card_names_an_option() -> None:
    for card in cards():
        told = ride_words(f"{card.first} {card.then}")
        assert "--" not in told
        assert not _ASKS.search(told)


@pytest.mark.parametrize("path", sorted(Path(asked.__file__).parent.rglob("*.py")), ids=str)
def test_no_reply_names_an_option(path: Path) -> None:
    if path.name in ("inride.py", "landed.py"):  # the last is of the command line alone
        return
    for words in re.findall(r'f?"([^"\n]*--[a-z][^"\n]*)"', path.read_text(encoding="utf-8")):
        assert "--" not in ride_words(words), words


def test_every_row_of_a_reply_is_told_so() -> None:
    told = in_ride(
        Reply("Which fault? Ask fault --card NAME, or --grade N.", change="Ask now.",
              more=(("Then", "Ask wait, and burst."),))
    )  # fmt: skip
    assert told.answer == "Which fault? Type f NAME, or q N and then f."
    assert told.change == "Type ? now."
    assert told.more == (("Then", "Type ? wait, and ? burst."),)
    assert inride.in_ride(told) == told
