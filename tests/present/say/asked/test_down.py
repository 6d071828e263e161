"""The first place to look in words, were it to come down from here."""

from dataclasses import replace

from farglide.present.say.asked.down import search_reply

from ...search_sample import search_sample
from .samples import CLOCK


def test_the_first_place_comes_first() -> None:
    told = search_reply(search_sample(), CLOCK)
    assert told.answer.startswith("Look first in segment A")
    assert told.number == "9 in 10 within 900 m of 46.545 S 108.098 E."
    assert told.until.startswith("Be back by ")
    assert "glider, hands off 6 in 10." in told.why
    assert [label for label, _ in told.more] == ["Order", "Piece A", "Piece B", "Piece C"]
    assert dict(told.more)["Order"] == "A from 18:42 for 35 min, then B from 19:21 for 20 s."


def test_without_an_end_or_an_order() -> None:
    sample = search_sample()
    stop = replace(sample.stop, turn_t_s=None)
    told = search_reply(replace(sample, stop=stop, steps=(), stories=()), CLOCK)
    assert told.until == "Nothing ends the search but you."
    assert dict(told.more)["Order"] == ""
    assert told.why == ""
