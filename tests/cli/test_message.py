"""Messages: they go by themselves, never before they could be read; a question stays."""

import pytest

from farglide.cli.message import Message
from farglide.live.entering import Tone

LONG = "word " * 40


def said(words: str, tone: Tone) -> Message:
    message = Message()
    message.say(words, tone)
    assert message.shown("", 100.0) == words
    return message


def test_what_was_taken_goes_after_a_while_and_not_at_a_key() -> None:
    message = said("Taken: picture 3.", Tone.TAKEN)
    assert message.shown("q", 119.0) == "Taken: picture 3."
    assert message.shown("q", 120.5) == ""
    assert message.shown("", 121.0) == ""


def test_what_was_refused_goes_at_the_next_key_once_it_could_be_read() -> None:
    message = said("'xyz' is no entry.", Tone.REFUSED)
    assert message.shown("", 110.0) == "'xyz' is no entry."
    assert message.shown("q", 111.0) == ""
    message = said(LONG, Tone.REFUSED)
    assert message.shown("q", 101.0) == LONG  # a key at once: it is still to be read
    assert message.shown("q", 111.0) == LONG
    assert message.shown("q", 113.0) == ""


def test_what_was_refused_goes_by_itself_after_a_minute() -> None:
    message = said("'xyz' is no entry.", Tone.REFUSED)
    assert message.shown("", 159.0)
    assert message.shown("", 161.0) == ""


def test_a_question_stays_until_something_else_is_said() -> None:
    message = said("Grams? Type y for neck lift 1.60 kg.", Tone.ASKED)
    assert message.shown("y", 9_000.0)
    message.say("Taken: neck lift 1.60 kg.", Tone.TAKEN)
    assert message.words == "Taken: neck lift 1.60 kg."


@pytest.mark.parametrize("tone", list(Tone))
def test_the_time_counts_from_when_it_is_first_shown(tone: Tone) -> None:
    message = Message()
    message.say("Words.", tone)
    assert message.shown("", 5_000.0) == "Words."


def test_the_notes_of_the_beginning_are_a_message() -> None:
    message = Message("Gone on with after 5 min.")
    assert message.shown("", 0.0) == "Gone on with after 5 min."
    assert message.shown("l", 10.0) == ""


def test_an_empty_line_is_a_key_too() -> None:
    message = said("'xyz' is no entry.", Tone.REFUSED)
    message.press()
    assert message.shown("", 110.0) == ""
