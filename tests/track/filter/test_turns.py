"""Turns: no story of a free glider dies out, and their weights are shared by a rate."""

import numpy as np
import pytest
from scipy.linalg import expm
from tests.track.filter.made import laws, level, of

from farglide.track.filter.particles import Story, story_weights
from farglide.track.filter.turns import TURN_S, with_turns


def test_weights_are_shared_by_the_rate() -> None:
    # A chain of three states that each leave at the rate 1 / T for the two others alike.
    particles = of(laws(), Story.GLIDING, Story.HANDS_OFF, Story.SPIRAL, n=60)
    weight = np.where(particles.cloud.story == Story.GLIDING.code, 0.8, 0.1)
    particles = particles._replace(weight=weight / weight.sum())
    rate = np.full((3, 3), 0.5 / TURN_S) - np.diag([1.5 / TURN_S] * 3)
    gliding, _, spiral = expm(600.0 * rate) @ [0.8, 0.1, 0.1]
    found = story_weights(with_turns(particles, 600.0))
    assert found[Story.GLIDING] == pytest.approx(gliding)
    assert found[Story.SPIRAL] == pytest.approx(spiral)


@pytest.mark.parametrize("n_steps", [10, 3600])
def test_an_hour_in_many_steps_is_an_hour(n_steps: int) -> None:
    particles = of(laws(), Story.GLIDING, Story.SPIRAL, n=40)
    weight = np.where(particles.cloud.story == Story.GLIDING.code, 1.0, 0.1)
    particles = particles._replace(weight=weight / weight.sum())
    at_once = story_weights(with_turns(particles, 3600.0))[Story.GLIDING]
    for _ in range(n_steps):
        particles = with_turns(particles, 3600.0 / n_steps)
    assert story_weights(particles)[Story.GLIDING] == pytest.approx(at_once, abs=1e-9)
    assert at_once > 0.5


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
