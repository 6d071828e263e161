"""Down ways: how often one is left, and what a dive after circling is taken for."""

from itertools import pairwise

import numpy as np
import pytest

from farglide.sim.fly.particles import CIRCLES, DIVES, GLIDING, Cloud
from farglide.sim.fly.stories import moved
from farglide.track.filter.downways import HOLDS_S, with_down_ways
from farglide.track.filter.observed import Observed
from farglide.track.filter.particles import Particles, Story, story_weights
from farglide.track.filter.step import step

from .made import AT_S, fix_at, laws, level, of

GIVEN = laws()


def over_home(n: int = 400) -> Particles:
    """Return gliders 20 km over their field, and a few spins beside."""
    found = of(GIVEN, Story.GLIDING, Story.SPIN, n=n)
    cloud = level(found.cloud)
    goals = GIVEN.movers.goals
    glides = cloud.story == GLIDING
    cloud = cloud._replace(
        amsl_m=np.full(n, 20_000.0), goal=np.zeros(n, np.int64), over=glides.astype(np.int64),
        north_rad=np.full(n, goals.north_rad[0]), east_rad=np.full(n, goals.east_rad[0]),
    )  # fmt: skip
    weight = np.where(glides, 0.99 / glides.sum(), 0.01 / (~glides).sum())
    return found._replace(cloud=cloud, weight=weight)


def changed_ratio(cloud: Cloud, steps: int, seconds: float) -> float:
    ways = [cloud.down_way]
    for k in range(steps):
        cloud = with_down_ways(cloud, AT_S + k * seconds, seconds)
        ways.append(cloud.down_way)
    over = cloud.over != 0
    return float(np.mean([(a != b)[over].mean() for a, b in pairwise(ways)]))


@pytest.mark.parametrize("seconds", [1.0, 10.0, 60.0])
def test_a_way_is_left_as_often_in_short_steps_as_in_long_ones(seconds: float) -> None:
    wanted = 1.0 - np.exp(-seconds / HOLDS_S)
    assert changed_ratio(over_home().cloud, 60, seconds) == pytest.approx(wanted, rel=0.15)


def test_only_what_is_over_its_field_changes_and_nothing_is_drawn() -> None:
    cloud = over_home().cloud
    found = with_down_ways(cloud, AT_S, 300.0)
    assert (found.down_way != cloud.down_way)[cloud.over != 0].mean() > 0.8
    assert (found.down_way == cloud.down_way)[cloud.over == 0].all()
    assert np.array_equal(found.down_way, with_down_ways(cloud, AT_S, 300.0).down_way)
    assert with_down_ways(cloud, AT_S, 0.0) is cloud


@pytest.mark.parametrize(("fix_s", "n_circles", "n_dives"), [(2.0, 60, 60), (16.0, 8, 8)])
def test_a_dive_after_minutes_of_circles_is_no_spin(
    fix_s: float, n_circles: int, n_dives: int
) -> None:
    """Where none took to another way what was left of gliding was 0.02 at most."""
    particles = over_home(500)
    one = Cloud._make(row[:1] for row in particles.cloud)._replace(
        story=np.full(1, GLIDING), over=np.ones(1, np.int64)
    )
    lowest = 1.0
    for k in range(n_circles + n_dives):
        at_s, way = particles.after_launch_s, CIRCLES if k < n_circles else DIVES
        one = moved(GIVEN.movers, one._replace(down_way=np.full(1, way)), at_s, fix_s)
        place = (float(row[0]) for row in (one.north_rad, one.east_rad, one.amsl_m))
        fix = Observed(k, at_s + fix_s, fix_at(GIVEN, *place))
        particles = step(GIVEN, particles, fix).particles
        lowest = min(lowest, story_weights(particles).get(Story.GLIDING, 0.0))
    assert lowest > 0.9
