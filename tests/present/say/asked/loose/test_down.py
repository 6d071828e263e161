"""Where to look in words: with what it takes for granted."""

from dataclasses import replace

from tests.live.advice import AFTER

from farglide.outlook.after import Stage
from farglide.present.say.asked.down import search_reply
from farglide.present.say.asked.loose.down import search_after_reply

from ....search_sample import search_sample
from .samples import CLOCK, GLIDING

SEARCH = search_sample()


def test_a_glider_that_is_steered_is_lost_only_if_it_is() -> None:
    told, bare = search_after_reply(SEARCH, GLIDING, CLOCK), search_reply(SEARCH, CLOCK)
    assert told.answer == f"Lost now, {bare.answer[:1].lower()}{bare.answer[1:]}"
    assert told.change.startswith("As long as it is steered: nothing to look for.")
    tied = search_after_reply(SEARCH, AFTER["tied on"], CLOCK)
    assert tied.change.startswith("A fix")
    down = search_after_reply(SEARCH, replace(GLIDING, stage=Stage.DOWN), CLOCK)
    assert down.answer == bare.answer
