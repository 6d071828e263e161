"""Choosing anew: counts within one of the weight's worth, and no story left without particles."""

import numpy as np
import pytest
from hypothesis import given as drawn
from hypothesis import strategies as st
from tests.track.filter.made import laws, of

from farglide.errors import InputError
from farglide.track.filter.chosen import (
    LEAST_RATIO,
    chosen,
    effective_ratio,
    is_again,
    shared_out,
    systematic,
)
from farglide.track.filter.particles import Particles, Story, story_weights

WEIGHTS = st.lists(st.floats(0.0, 1.0), min_size=1, max_size=60).filter(lambda w: sum(w) > 1e-3)


@drawn(WEIGHTS, st.integers(1, 300), st.floats(0.0, 1.0))
def test_each_is_taken_within_one_of_its_worth(weights: list[float], n: int, share: float) -> None:
    # Of systematic resampling: Douc, Cappe & Moulines, Comparison of resampling schemes (2005), 2.4
    weight = np.array(weights)
    taken = systematic(weight, n, share)
    counts = np.bincount(taken, minlength=len(weight))
    assert counts.sum() == n
    assert (np.abs(counts - n * weight / weight.sum()) <= 1.0 + 1e-9).all()


@pytest.mark.parametrize(("weight", "share"), [([0.0, 0.0], 0.5), ([1.0], 1.5), ([1.0], -0.1)])
def test_nothing_is_taken_of_nothing(weight: list[float], share: float) -> None:
    with pytest.raises(InputError, match="allowed: weights above 0 and a share from 0 to 1"):
        systematic(np.array(weight), 5, share)


def test_effective_counts_by_hand() -> None:
    assert effective_ratio(np.full(8, 0.125)) == pytest.approx(1.0)
    assert effective_ratio(np.array([1.0, 0.0, 0.0, 0.0])) == pytest.approx(0.25)
    assert effective_ratio(np.array([0.5, 0.5, 0.0, 0.0])) == pytest.approx(0.5)
    assert effective_ratio(np.zeros(3)) == 1.0


def test_possible_stories_keep_some_of_the_particles() -> None:
    held = np.array([0.0, 0.0, 0.999, 0.001, 0.0, 0.0, 0.0])
    possible = np.array([False, False, True, True, False, False, False])
    counts = shared_out(held, possible, 500)
    assert counts.sum() == 500
    assert counts[3] == LEAST_RATIO * 500
    assert counts[2] == 480
    even = shared_out(np.array([0.5, 0.5, 0, 0, 0, 0, 0]), possible & False, 501)
    assert sorted(even[:2]) == [250, 251]


def test_only_the_first_of_one_is_its_own() -> None:
    assert is_again(np.array([3, 3, 4, 9, 9, 9])).tolist() == [
        False,
        True,
        False,
        False,
        True,
        True,
    ]


def poor(particles: Particles) -> Particles:
    weight = np.where(np.arange(len(particles.weight)) % 9 == 0, 1.0, 1e-6)
    return particles._replace(weight=weight / weight.sum())


def test_even_weights_stay_as_they_are() -> None:
    particles = of(laws(), Story.GLIDING, Story.SPIRAL)
    assert chosen(laws(), particles, 7) is particles


def test_few_that_carry_the_weight_are_taken_again() -> None:
    particles = poor(of(laws(), Story.GLIDING, Story.SPIRAL, Story.TANGLED, n=300))
    found = chosen(laws(), particles, 7)
    before, after = story_weights(particles), story_weights(found)
    assert before == pytest.approx(after)
    assert effective_ratio(found.weight) > 0.8
    assert found.weight.sum() == pytest.approx(1.0)
    # what is taken twice does not stay in one draw's air
    glides = found.cloud.story == Story.GLIDING.code
    heavy = particles.cloud.draw[(particles.weight > 1e-4)]
    assert len(np.unique(found.cloud.draw[glides])) > len(np.unique(heavy)) / 2


def test_the_number_of_the_record_keys_what_is_drawn() -> None:
    particles = poor(of(laws(), Story.GLIDING, Story.SPIRAL, n=200))
    once, again, other = (chosen(laws(), particles, k) for k in (7, 7, 8))
    assert np.array_equal(once.cloud.draw, again.cloud.draw)
    assert np.array_equal(once.cloud.factor, again.cloud.factor)
    assert not np.array_equal(once.cloud.draw, other.cloud.draw)


def test_a_story_that_became_likely_gets_its_particles() -> None:
    particles = of(laws(), Story.GLIDING, Story.SPIRAL, n=200)
    spiral = particles.cloud.story == Story.SPIRAL.code
    few = np.flatnonzero(spiral)[:5]
    keep = np.concatenate([np.flatnonzero(~spiral), few])
    cloud = particles.cloud._make(one[keep] for one in particles.cloud)
    weight = np.where(cloud.story == Story.SPIRAL.code, 0.9 / 5, 0.1 / 100)
    links = particles.links._replace(
        dead_ratio=particles.links.dead_ratio[keep],
        budget_normal=particles.links.budget_normal[keep],
    )
    found = chosen(laws(), particles._replace(cloud=cloud, weight=weight, links=links), 3)
    assert (found.cloud.story == Story.SPIRAL.code).mean() > 0.8
    assert story_weights(found)[Story.SPIRAL] == pytest.approx(0.9)
