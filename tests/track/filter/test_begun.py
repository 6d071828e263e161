"""Begun: stories by what was marked, spread evenly over the draws."""

import numpy as np
import pytest
from tests.track.filter.made import last, laws, of

from farglide.errors import InputError
from farglide.track.filter.begun import (
    after_burst,
    after_loss,
    after_release,
    as_story,
    begun,
    let_go,
    turned,
    unsteered,
)
from farglide.track.filter.observed import Nothing, Observed
from farglide.track.filter.particles import Story, story_weights
from farglide.track.filter.step import step


def test_a_marked_release_mostly_glides() -> None:
    particles = begun(laws(), last(), after_release(0.1), aimed=0)
    found = story_weights(particles)
    assert next(iter(found)) is Story.GLIDING
    assert found[Story.CARRIED] + found[Story.TANGLED] == pytest.approx(0.1)
    assert len(particles.weight) == 500
    assert len(np.unique(particles.cloud.draw)) == laws().n_draws
    assert np.bincount(particles.cloud.story).min() == 0
    assert np.bincount(particles.cloud.story)[Story.CARRIED.code] == 60


def test_most_make_for_the_field_advised() -> None:
    goals = begun(laws(), last(), {Story.GLIDING: 1.0}, aimed=2).cloud.goal
    counts = np.bincount(goals) / len(goals)
    n_fields = len(laws().movers.goals.north_rad)
    assert counts[2] == pytest.approx(0.7 + 0.3 / n_fields, abs=0.01)
    even = np.bincount(begun(laws(), last(), {Story.GLIDING: 1.0}).cloud.goal) / 500
    assert even == pytest.approx(1.0 / n_fields, abs=0.01)


def test_a_burst_is_tangled_and_has_fallen_since_some_seconds() -> None:
    cloud = begun(laws(), last(), after_burst()).cloud
    assert (cloud.story == Story.TANGLED.code).all()
    # evenly from just now to 15 s ago, at g: 0 to 147 m/s
    assert cloud.speed_mps.min() < 1.0
    assert np.median(cloud.speed_mps) == pytest.approx(73.5, abs=2.0)
    assert cloud.speed_mps.max() == pytest.approx(147.1, abs=1.0)


def test_a_lost_picture_lets_some_fly_on_by_themselves() -> None:
    particles = begun(laws(), last(), after_release(0.0), aimed=0)
    found = turned(particles, after_loss())
    before, after = story_weights(particles), story_weights(found)
    assert after[Story.GLIDING] == pytest.approx(0.5 * before[Story.GLIDING])
    assert after[Story.HANDS_OFF] == pytest.approx(
        before[Story.HANDS_OFF] + 0.35 * before[Story.GLIDING]
    )
    assert np.array_equal(found.cloud.amsl_m, particles.cloud.amsl_m)
    turned_ones = found.cloud.story != particles.cloud.story
    assert len(np.unique(found.cloud.draw[turned_ones])) > 0.5 * laws().n_draws
    assert turned(of(laws(), Story.TANGLED), after_loss()).weight.sum() == pytest.approx(1.0)


def test_on_empty_packs_none_is_steered_nor_becomes_so() -> None:
    given = of(laws(), Story.GLIDING, Story.SPIRAL, n=40)
    after = unsteered(given)
    held = story_weights(after)
    assert set(held) == {Story.HANDS_OFF, Story.SPIRAL, Story.SPIN}
    assert held[Story.HANDS_OFF] == pytest.approx(0.5 * 0.7)
    assert not after.possible[Story.GLIDING.code]
    assert np.array_equal(unsteered(after).weight, after.weight)
    now = step(laws(), after, Observed(1, after.after_launch_s + 600.0, Nothing())).particles
    assert Story.GLIDING not in story_weights(now)
    none = given._replace(
        weight=np.where(given.cloud.story == Story.GLIDING.code, 0.0, given.weight)
    )
    assert story_weights(unsteered(none)) == {Story.SPIRAL: pytest.approx(0.5)}


def test_a_release_after_a_burst_frees_some() -> None:
    particles = begun(laws(), last(), after_burst())
    found = turned(particles, {Story.GLIDING: 1.0, Story.TANGLED: 1.0}, of=(Story.TANGLED,))
    assert story_weights(found)[Story.GLIDING] == pytest.approx(0.5)
    assert found.possible[Story.GLIDING.code]


def test_what_is_freed_of_its_remains_drops_as_from_its_line() -> None:
    tied = of(laws(), Story.TANGLED)
    freed = turned(tied, {Story.GLIDING: 0.5, Story.TANGLED: 0.5}, (Story.TANGLED,))
    found = let_go(laws(), freed, tied).cloud
    flies = found.story == Story.GLIDING.code
    assert 0 < flies.sum() < len(flies)
    assert (found.drop_s[flies] > 10.0).all()
    assert (found.drop_s[~flies] == 0.0).all()
    lone = of(laws(), Story.GLIDING).cloud
    assert found.drop[flies, 1].mean() == pytest.approx(lone.drop[:, 1].mean(), rel=0.05)
    assert let_go(laws(), tied, tied) is tied


def test_another_story_sinks_as_its_draw() -> None:
    cloud = of(laws(), Story.SPIRAL, n=10).cloud
    cloud = cloud._replace(factor=np.full(10, 1.3))
    found = as_story(cloud, np.arange(5), np.full(5, Story.HANDS_OFF.code))
    assert found.factor.tolist() == [1.0] * 5 + [1.3] * 5


def test_the_same_question_gets_the_same_particles() -> None:
    one, other = (begun(laws(), last(), after_release(), aimed=1) for _ in range(2))
    for a, b in zip(one.cloud, other.cloud, strict=True):
        assert np.array_equal(a, b, equal_nan=True)
    assert np.array_equal(one.links.budget_normal, other.links.budget_normal)
    assert one.links.budget_normal.std() == pytest.approx(1.0, abs=0.1)


def test_refusals() -> None:
    with pytest.raises(InputError, match="weight of gliding is -1"):
        begun(laws(), last(), {Story.GLIDING: -1.0})
    with pytest.raises(InputError, match=r"stories is all 0.*Say what it may be\."):
        begun(laws(), last(), {Story.GLIDING: 0.0})
