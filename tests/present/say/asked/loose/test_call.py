"""The call card after the release in words."""

from dataclasses import replace

import pytest

from farglide.outlook.after import Stage
from farglide.present.say.asked.loose.call import call_after_reply
from farglide.present.say.asked.reply import COLUMNS, reply_lines

from .samples import CALL, CLOCK, GLIDING


@pytest.mark.parametrize(
    ("stage", "answer"),
    [
        (Stage.GLIDING, "Say: glider off a balloon, level 766, sinking, steered."),
        (Stage.DROPPED, "Say: glider off a balloon, level 766, diving, then gliding."),
        (Stage.TIED_ON, "Say: burst balloon with a glider, level 766, falling."),
        (Stage.UNSTEERED, "Say: glider off a balloon, level 766, sinking, not under control."),
        (Stage.DOWN, "Say: glider off a balloon, down, by its height."),
    ],
)
def test_what_it_is_comes_first(stage: Stage, answer: str) -> None:
    told = call_after_reply(replace(CALL, stage=stage), GLIDING, CLOCK)
    assert told.answer == answer
    assert told.change
    assert max(map(len, reply_lines(told))) <= COLUMNS


def test_place_levels_and_landing_are_told_in_their_time() -> None:
    told = call_after_reply(CALL, GLIDING, CLOCK)
    assert told.number.startswith("At 09:20 UTC 46.70 S 108.50 E, 44 km south-east of the launch")
    assert "(76 772 ft)" in told.number.replace("\u2009", " ").replace("\xa0", " ")
    assert told.until == "Through level 700 at 09:23, 600 at 09:26 UTC, about."
    assert told.why == "It sinks 11.9 m/s and moves to 312° at 71 m/s."
    unseen = call_after_reply(replace(CALL, moves_as_seen=False), GLIDING, CLOCK)
    assert unseen.why == "It sinks 11.9 m/s; flown as advised, it moves to 312° at 71 m/s."
    more = dict(told.more)
    assert more["Lands"] == "Home strip, 46.50 S 108.00 E: over it about 09:30, down by 10:00 UTC."
    assert more["Else"].startswith("Circling hands off (6 in 10): down near 47.10 S 109.20 E about")
    assert "What holds, the unit says" in more["Airspace"]


def test_what_is_not_known_is_not_said() -> None:
    found = replace(CALL, stage=Stage.UNSTEERED, moves_to_deg=None, moves_mps=None, within_m=5e3)
    told = call_after_reply(found, GLIDING, CLOCK)
    assert told.why == "It sinks 11.9 m/s; where it heads is not known."
    assert told.number.endswith("; 9 in 10 within 5.0 km.")
    assert dict(told.more)["Lands"].startswith("if it is steered again: Home strip")
    tied = call_after_reply(replace(CALL, stage=Stage.TIED_ON), GLIDING, CLOCK)
    assert dict(tied.more)["Lands"].startswith("if it is let go now: Home strip")
    none = replace(CALL, field_lat_deg=None, levels=(), sinks_mps=None)
    assert "Lands" not in dict(call_after_reply(none, GLIDING, CLOCK).more)
    assert call_after_reply(none, GLIDING, CLOCK).until == "No level of theirs below it."
