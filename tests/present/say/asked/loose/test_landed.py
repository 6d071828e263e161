"""Landed in words."""

from dataclasses import replace

from farglide.present.say.asked.loose.landed import landed_reply

from .samples import CLOCK, LANDED


def test_it_is_down_and_was_seen_last_there() -> None:
    told = landed_reply(LANDED, CLOCK)
    assert told.answer == "It is down, as you marked. Look for it: farglide search."
    assert told.number == "Seen last at 09:59: 46.5000 S 108.0000 E, 244 m above sea level."
    never = landed_reply(replace(LANDED, lat_deg=None), CLOCK)
    assert never.answer == "It is down, as you marked, and was never seen."
