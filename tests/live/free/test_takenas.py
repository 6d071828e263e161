"""Taken as: by marks and weights, and steadily where a weight lies at its bound."""

import numpy as np
import pytest
from tests.track.filter.made import laws, of

from farglide.chances.after.afterwards import Loosened
from farglide.chances.onward import Seen
from farglide.live.free.takenas import SETTLED_S, Said, stories_of, taken_for
from farglide.outlook.after import Stage
from farglide.sortie.words import chance_words
from farglide.track.filter.particles import Story


@pytest.mark.parametrize(
    ("marked", "weights", "stage"),
    [
        (Stage.GLIDING, {Story.GLIDING: 0.6, Story.SPIRAL: 0.4}, Stage.GLIDING),
        (Stage.GLIDING, {Story.SPIRAL: 0.4, Story.HANDS_OFF: 0.2, Story.GLIDING: 0.4},
         Stage.UNSTEERED),
        (Stage.GLIDING, {Story.SPIRAL: 0.5, Story.TANGLED: 0.4, Story.GLIDING: 0.1},
         Stage.UNSTEERED),
        (Stage.GLIDING, {Story.TANGLED: 0.6, Story.SPIRAL: 0.4}, Stage.TIED_ON),
        (Stage.TIED_ON, {Story.SPIRAL: 0.9, Story.TANGLED: 0.1}, Stage.UNSTEERED),
        (Stage.TIED_ON, {Story.GLIDING: 0.9, Story.TANGLED: 0.1}, Stage.GLIDING),
        (Stage.DROPPED, {Story.SPIRAL: 0.9}, Stage.DROPPED),
        (Stage.UNSTEERED, {Story.GLIDING: 0.9}, Stage.UNSTEERED),
        (Stage.GLIDING, {Story.GROUND: 0.9}, Stage.DOWN),
    ],
)  # fmt: skip
def test_nobody_steers_what_is_likelier_let_alone(
    marked: Stage, weights: dict[Story, float], stage: Stage
) -> None:
    at = Seen(4500.0, 20e3, 0.0, 0.0)
    assert taken_for(Loosened(marked, at, at), weights).stage is stage


def test_a_fall_tells_of_no_hand_before_it_has_settled() -> None:
    at = Seen(4500.0, 20e3, 0.0, 0.0)
    glides, alone = Loosened(Stage.GLIDING, at, at), {Story.SPIRAL: 0.8, Story.GLIDING: 0.2}
    assert taken_for(glides, alone, free_s=SETTLED_S - 1.0).stage is Stage.GLIDING
    assert taken_for(glides, alone, free_s=SETTLED_S).stage is Stage.UNSTEERED
    lost = Loosened(Stage.UNSTEERED, at, at)  # by its picture
    assert taken_for(lost, alone, free_s=40.0).stage is Stage.UNSTEERED
    remains = {Story.TANGLED: 0.8, Story.GLIDING: 0.2}
    assert taken_for(glides, remains, free_s=35.0).stage is Stage.TIED_ON


def test_what_glided_free_hangs_on_nothing_however_steep_it_is() -> None:
    at = Seen(4500.0, 20e3, 0.0, 0.0)
    glides = Loosened(Stage.GLIDING, at, at)
    steep = {Story.TANGLED: 0.6, Story.GLIDING: 0.4}
    assert taken_for(glides, steep, Said(glided=True)).stage is Stage.GLIDING
    spirals = {Story.TANGLED: 0.2, Story.SPIRAL: 0.6}
    assert taken_for(glides, spirals, Said(glided=True)).stage is Stage.UNSTEERED
    assert taken_for(glides, {Story.GROUND: 0.9}, Said(glided=True)).stage is Stage.DOWN


def test_rounding_makes_no_story_more_than_sure() -> None:
    particles = of(laws(), Story.GLIDING, Story.SPIRAL, n=30)
    for more_ratio in (1.0 + 6e-15, 1.0):
        sure = particles._replace(
            cloud=particles.cloud._replace(story=np.full(30, Story.SPIRAL.code)),
            weight=np.full(30, more_ratio / 30.0),
        )
        told = stories_of(sure)
        assert [one.story for one in told] == ["spiral"]
        assert told[0].chance_ratio == pytest.approx(1.0)
        assert chance_words(told[0].chance_ratio) == "over 49 in 50"


@pytest.mark.parametrize(
    ("marked", "story", "worse"),
    [
        (Stage.GLIDING, Story.SPIRAL, Stage.UNSTEERED),
        (Stage.GLIDING, Story.TANGLED, Stage.TIED_ON),
        (Stage.TIED_ON, Story.TANGLED, Stage.TIED_ON),
        (Stage.GLIDING, Story.GROUND, Stage.DOWN),
    ],
)
def test_no_stage_comes_and_goes_with_a_weight_at_its_bound(
    marked: Stage, story: Story, worse: Stage
) -> None:
    at, told, stages = Seen(4500.0, 20e3, 0.0, 0.0), Stage.GLIDING, list[Stage]()
    for k in range(100):
        ratio = 0.5 + 0.09 * (-1.0) ** k
        weights = {story: ratio, Story.GLIDING: 1.0 - ratio}
        told = taken_for(Loosened(marked, at, at), weights, Said(told.value)).stage
        stages.append(told)
    assert set(stages) == {worse}  # what is worse is told at the first weight, and stays
    clear = {story: 0.39, Story.GLIDING: 0.61}
    assert taken_for(Loosened(marked, at, at), clear, Said(worse.value)).stage is Stage.GLIDING
