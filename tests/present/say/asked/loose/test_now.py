"""Now in words after the release: all of it, what tells most, and what is over."""

from dataclasses import replace

from tests.live.advice import AFTER

from farglide.present.say.asked.loose.now import (
    not_any_more,
    now_reply,
    sighting_words,
    sure_words,
)

from .samples import CLOCK, GLIDING


def test_all_of_it_is_told_once() -> None:
    assert GLIDING.after is not None
    told = now_reply(GLIDING, GLIDING.after, CLOCK)
    assert told.answer == "Steer for Home strip, track 312°."
    assert [one for one, _ in told.more] == [
        "Fly",
        "Fields",
        "",
        "",
        "Barrier",
        "Links",
        "Sure",
        "Aim",
    ]


def test_what_is_over_says_what_counts_now() -> None:
    assert GLIDING.after is not None
    told = not_any_more(GLIDING, GLIDING.after, CLOCK)
    assert told.number == "Steer for Home strip, track 312°."


def test_what_would_tell_most_hangs_on_what_is_known() -> None:
    assert sighting_words(GLIDING) == "The next fix."
    assert sighting_words(AFTER["unsteered"]).startswith("Digits off the picture most")
    assert sure_words(GLIDING) == "By a fix just now."
    wide = replace(GLIDING, place=replace(GLIDING.place, most_within_m=900.0))
    assert sure_words(wide) == "5 in 10 that it is within 0.3 km of it, 9 in 10 within 0.9 km."
