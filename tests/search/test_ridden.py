"""A ride's stories as a search weighs them."""

import numpy as np
import pytest
from tests.track.filter.made import last, laws

from farglide.chances.falls import HANDS_OFF, SPIN, SPIRAL, TANGLED
from farglide.search.ridden import weights_from
from farglide.search.stories import STRAIGHT, USUAL
from farglide.sim.fly.particles import GROUND
from farglide.track.filter.begun import begun
from farglide.track.filter.particles import Story


def test_each_story_of_a_ride_is_one_of_the_search() -> None:
    told = {
        Story.GLIDING: 0.4, Story.HANDS_OFF: 0.2, Story.SPIRAL: 0.07, Story.SPIN: 0.03,
        Story.TANGLED: 0.15, Story.CARRIED: 0.1, Story.FLOATING: 0.05,
    }  # fmt: skip
    found = weights_from(begun(laws(), last(), told))
    assert found == pytest.approx(
        {STRAIGHT: 0.4, HANDS_OFF: 0.2, SPIRAL: 0.07, SPIN: 0.03, TANGLED: 0.3}
    )
    assert set(found) <= set(USUAL)


def test_what_lies_counts_as_it_came_down() -> None:
    particles = begun(laws(), last(), {Story.SPIRAL: 1.0}, n=20)
    lies = particles.cloud._replace(was=particles.cloud.story, story=np.full(20, GROUND))
    assert weights_from(particles._replace(cloud=lies))[SPIRAL] == pytest.approx(1.0)
