"""Stories in words: named wherever the stage does not say as much."""

from dataclasses import replace

import pytest
from tests.live.advice import AFTER

from farglide.outlook.advice import FieldNow
from farglide.outlook.after import Stage, StoryName, StoryNow
from farglide.present.say.stories import alone_words, said_share, story_words

SURE = (StoryNow(story="spiral", chance_ratio=1.0),)


def test_what_it_may_be_at() -> None:
    assert story_words(AFTER["unsteered"]) == (
        "Circling hands off 6 in 10, gliding 2 in 10, in a spiral 2 in 10."
    )


@pytest.mark.parametrize("name", ["tied on", "down"])
def test_one_sure_story_that_the_stage_tells_is_not_told_again(name: str) -> None:
    assert story_words(AFTER[name]) == ""


@pytest.mark.parametrize("stage", list(Stage))
def test_one_sure_story_that_the_stage_does_not_tell_is_named(stage: Stage) -> None:
    found = story_words(replace(AFTER["gliding"], stage=stage, stories=SURE))
    assert found.startswith("In a spiral ")


def test_a_stage_is_as_sure_as_the_stories_that_it_stands_for() -> None:
    assert said_share(AFTER["unsteered"]) == "8 in 10"
    assert said_share(AFTER["gliding"]) == "19 in 20"
    assert said_share(replace(AFTER["gliding"], stories=SURE)) == "under 1 in 50"
    assert said_share(replace(AFTER["gliding"], stories=())) == ""


@pytest.mark.parametrize(
    ("story", "words"),
    [("spiral", "in a spiral"), ("falling with remains", "with the remains"), (None, "hands off")],
)
def test_the_time_in_hand_names_its_story(story: StoryName | None, words: str) -> None:
    one: FieldNow = replace(AFTER["gliding"].fields[0], shuts_story=story)
    assert alone_words(one) == words


def test_stories_add_up_and_the_stage_is_as_sure_as_its_story() -> None:
    ratios = (("gliding", 0.38), ("hands off", 0.36), ("spiral", 0.16), ("down", 0.10))
    told = tuple(StoryNow(story=name, chance_ratio=ratio) for name, ratio in ratios)
    advice = replace(AFTER["gliding"], stories=told)
    assert story_words(advice) == (
        "Gliding 4 in 10, circling hands off 4 in 10, in a spiral 1 in 10, on the ground 1 in 10."
    )
    assert said_share(advice) == "4 in 10"
