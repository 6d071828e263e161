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


def test_low_over_its_field_only_the_landing_is_flown() -> None:
    low = AFTER["low"]
    assert low.after is not None
    told = dict(now_reply(low, low.after, CLOCK).more)
    assert told["Fly"].startswith("Come over the field, circle beside it, turn to ")
    assert "m/s" not in told["Fly"]


def test_low_and_out_of_reach_no_field_is_landed_on() -> None:
    """400 m high a field 58 km off is no field to land at."""
    low = AFTER["low"]
    assert low.after is not None
    assert low.after.steer is not None
    steer = replace(low.after.steer, away_m=58_000.0, arrival_agl_m=None, chance_ratio=0.22)
    told = now_reply(low, replace(low.after, steer=steer), CLOCK)
    assert told.answer == "No field in reach. Choose open ground now."
    assert told.number == "Best of them Home strip, 58 km off: 2 in 10."


def test_what_is_down_has_no_fields_and_no_aim() -> None:
    down = AFTER["down"]
    assert down.after is not None
    assert [one for one, _ in now_reply(down, down.after, CLOCK).more] == ["Sure"]
