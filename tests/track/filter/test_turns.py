"""Turns: no story of a free glider dies out, and their weights are shared by a rate."""

import math

import numpy as np
import pytest
from tests.track.filter.made import laws, level, of

from farglide.track.filter.particles import Story, story_weights
from farglide.track.filter.turns import TURN_S, with_turns


def test_weights_are_shared_by_the_rate() -> None:
    # A chain of three states that each leave at the rate 1 / T for the two others alike.
    particles = of(laws(), Story.GLIDING, Story.HANDS_OFF, Story.SPIRAL, n=60)
    weight = np.where(particles.cloud.story == Story.GLIDING.code, 0.8, 0.1)
    particles = particles._replace(weight=weight / weight.sum())
    kept = math.exp(-600.0 / TURN_S)
    found = story_weights(with_turns(particles, 600.0))
    assert found[Story.GLIDING] == pytest.approx(0.8 * kept + (1.0 - kept) * 0.1)
    assert found[Story.SPIRAL] == pytest.approx(0.1 * kept + (1.0 - kept) * 0.45)


def test_a_story_that_is_out_of_the_question_begins_from_the_likely_one() -> None:
    particles = of(laws(), Story.GLIDING, Story.SPIRAL, n=60)
    cloud = level(particles.cloud)
    glides = cloud.story == Story.GLIDING.code
    away = cloud._replace(amsl_m=np.where(glides, cloud.amsl_m, cloud.amsl_m - 5000.0))
    weight = np.where(glides, 1.0, 1e-12)
    particles = particles._replace(cloud=away, weight=weight / weight.sum())
    found = with_turns(particles, 1.0)
    assert found.cloud.amsl_m == pytest.approx(away.amsl_m[glides][0])
    assert np.array_equal(found.cloud.story, away.story)
    assert story_weights(found)[Story.SPIRAL] == pytest.approx(1.0 / TURN_S, rel=1e-3)


@pytest.mark.parametrize(
    "stories", [(Story.GLIDING,), (Story.TANGLED, Story.CARRIED, Story.FLOATING)]
)
def test_nothing_turns_that_has_nothing_to_turn_into(stories: tuple[Story, ...]) -> None:
    particles = of(laws(), *stories)
    assert with_turns(particles, 60.0) is particles
    assert with_turns(of(laws(), Story.GLIDING, Story.SPIRAL), 0.0).weight.sum() == pytest.approx(1)
