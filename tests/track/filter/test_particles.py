"""Particles: weights by story, in the air and after it."""

import numpy as np
import pytest
from tests.track.filter.made import laws, of

from farglide.sim.fly import particles as codes
from farglide.sim.fly.particles import N_STORIES
from farglide.track.filter.particles import (
    Story,
    dead_ratios,
    fallen_weights,
    story_shares,
    story_weights,
    with_likelihood,
)


def test_names_and_codes_agree() -> None:
    assert len(Story) == N_STORIES
    assert all(getattr(codes, one.name) == one.code for one in Story)


def test_weights_are_summed_by_story() -> None:
    particles = of(laws(), Story.GLIDING, Story.SPIRAL, Story.TANGLED, n=30)
    weight = np.arange(1.0, 31.0)
    particles = particles._replace(weight=weight / weight.sum())
    found = story_weights(particles)
    # ten particles each, in the order of the codes: 55, 155 and 255 of 465
    assert list(found) == [Story.TANGLED, Story.SPIRAL, Story.GLIDING]
    assert list(found.values()) == pytest.approx([255 / 465, 155 / 465, 55 / 465])
    assert story_shares(particles).sum() == pytest.approx(1.0)


def test_what_lies_counts_as_what_it_was() -> None:
    particles = of(laws(), Story.GLIDING, Story.TANGLED, n=20)
    lies = particles.cloud._replace(was=particles.cloud.story, story=np.full(20, Story.GROUND.code))
    particles = particles._replace(cloud=lies)
    assert story_weights(particles) == pytest.approx({Story.GROUND: 1.0})
    assert fallen_weights(particles) == pytest.approx({Story.GLIDING: 0.5, Story.TANGLED: 0.5})


def test_likelihoods_far_from_one_are_told_apart() -> None:
    particles = of(laws(), Story.GLIDING, n=2)
    found = with_likelihood(particles, np.array([-5000.0, -5000.0 - np.log(3.0)]))
    assert found.weight == pytest.approx([0.75, 0.25])


def test_dead_links_are_weighed() -> None:
    particles = of(laws(), Story.GLIDING, n=2)
    n_links = particles.links.dead_ratio.shape[1]
    dead = np.array([[0.1] * n_links, [0.5] * n_links])
    particles = particles._replace(
        weight=np.array([0.75, 0.25]), links=particles.links._replace(dead_ratio=dead)
    )
    assert dead_ratios(particles) == pytest.approx([0.2] * n_links)
