"""Other draws' laws: speeds seen are kept, and a wrong sink is unlearnt."""

import numpy as np
import pytest
from tests.track.filter.made import laws, level, of

from farglide.sim.fly.particles import Cloud
from farglide.sim.fly.stories import moved
from farglide.track.filter.particles import Story
from farglide.track.filter.varied import STRAINED, strain, varied


def chance() -> np.random.Generator:
    return np.random.Generator(np.random.Philox(key=np.array([1, 2], dtype=np.uint64)))


def speeds(cloud: Cloud) -> np.ndarray:  # type: ignore[type-arg]
    """Return speeds east, north and up over a second."""
    still = level(cloud)
    later = moved(laws().movers, still, 4560.0, 1.0)
    return np.stack([
        6.39e6 * 0.69 * (later.east_rad - cloud.east_rad),
        6.37e6 * (later.north_rad - cloud.north_rad),
        later.amsl_m - cloud.amsl_m,
    ], axis=1)  # fmt: skip


@pytest.mark.parametrize("story", [Story.HANDS_OFF, Story.SPIRAL, Story.TANGLED])
def test_another_law_leaves_the_speed_that_was_seen(story: Story) -> None:
    cloud = level(of(laws(), story, n=60).cloud)
    again = np.ones(60, np.bool_)
    found = varied(laws(), cloud, again, chance())
    moves = found.draw != cloud.draw
    assert moves.sum() > 3
    assert np.abs(speeds(found) - speeds(cloud)).max() < 0.6
    assert np.array_equal(found.factor[~moves], cloud.factor[~moves])


def test_what_is_carried_floats_or_lies_keeps_its_draw() -> None:
    cloud = of(laws(), Story.CARRIED, Story.FLOATING, n=20).cloud
    found = varied(laws(), cloud, np.ones(20, np.bool_), chance())
    assert np.array_equal(found.draw, cloud.draw)


def test_a_sink_that_its_law_does_not_explain_is_tried_anew() -> None:
    cloud = level(of(laws(), Story.SPIRAL, n=200).cloud)
    true = np.median(cloud.draw)
    strained = cloud._replace(factor=np.full(200, 1.6), off_mps=cloud.off_mps.copy())
    sinks = -speeds(strained)[:, 2]
    strained.off_mps[:, 2] = sinks - sinks / 1.6  # seen to sink as the draws do, not 1.6 times so
    assert strain(laws(), strained).mean() > STRAINED
    found = strained
    random = chance()
    for _ in range(12):
        found = varied(laws(), found, np.zeros(200, np.bool_), random)
    assert true >= 0.0
    assert np.median(found.factor) == pytest.approx(1.0, abs=0.15)
    assert strain(laws(), found).mean() < STRAINED
    assert np.abs(speeds(found)[:, 2] - speeds(strained)[:, 2]).max() < 0.6


def test_a_sink_that_fits_is_not_touched_unless_it_was_taken_again() -> None:
    cloud = level(of(laws(), Story.SPIRAL, n=50).cloud)
    found = varied(laws(), cloud, np.zeros(50, np.bool_), chance())
    assert np.array_equal(found.draw, cloud.draw)
    assert strain(laws(), cloud) == pytest.approx(0.0)
