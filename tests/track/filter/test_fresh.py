"""Fresh particles: draws and fields shared out evenly, and what each begins with."""

import numpy as np
import pytest
from tests.track.filter.made import last, laws

from farglide.sim.core.release import begin_glide
from farglide.sim.core.tracks import Point
from farglide.sim.fly.drops import fallen_m
from farglide.track.filter.fresh import even_draws, fresh_cloud, goals_for
from farglide.track.filter.particles import Story

AT = Point(*last()[:4])


@pytest.mark.parametrize(("n", "n_draws"), [(1, 60), (20, 60), (60, 60), (500, 60)])
def test_draws_are_taken_evenly(n: int, n_draws: int) -> None:
    found = even_draws(n, n_draws)
    counts = np.bincount(found, minlength=n_draws)
    assert counts.sum() == n
    assert counts.max() - counts.min() <= 1


def test_fields_are_dealt_to_particles_of_all_draws() -> None:
    normal = np.random.Generator(np.random.Philox(key=2)).standard_normal(500)
    goal = goals_for(laws(), 1, 500, normal)
    n_fields = len(laws().movers.goals.north_rad)
    assert np.bincount(goal[:250])[1] == pytest.approx(250 * (0.7 + 0.3 / n_fields), rel=0.15)
    assert len(np.unique(goal)) == n_fields


@pytest.mark.parametrize("story", [Story.GLIDING, Story.HANDS_OFF, Story.SPIRAL])
@pytest.mark.parametrize("sought_s", [0.0, 30.0])
def test_the_drop_is_that_of_the_plan(story: Story, sought_s: float) -> None:
    haste = laws().releases.haste._replace(heading_s=np.full(laws().n_draws, sought_s))
    given = laws()._replace(releases=laws().releases._replace(haste=haste))
    draw = even_draws(30, laws().n_draws)
    cloud = fresh_cloud(given, AT, np.full(30, story.code), draw, np.zeros(30, np.int64))
    for i in (0, 29):
        whole = begin_glide(given.movers.scene, given.releases, int(draw[i]), AT)
        fall_s, _, after_s, _ = cloud.drop[i]
        assert fall_s == pytest.approx(whole.t_s - AT.t_s - sought_s)
        assert cloud.drop_s[i] == pytest.approx(fall_s + after_s)
        assert fallen_m(cloud.drop[i], cloud.drop_s[i]) == pytest.approx(AT.amsl_m - whole.amsl_m)
        # level, it slows down to its glide for about as long again
        assert 0.5 < (after_s - sought_s) / fall_s < 2.5


@pytest.mark.parametrize("story", [Story.CARRIED, Story.FLOATING, Story.TANGLED])
def test_nothing_but_what_flies_drops(story: Story) -> None:
    codes, draw = np.full(30, story.code), even_draws(30, laws().n_draws)
    cloud = fresh_cloud(laws(), AT, codes, draw, np.zeros(30, np.int64))
    assert (cloud.drop_s == 0.0).all()
    noise = laws().movers.noise
    wide = min(float(noise.level_mps[story.code]), 99.0 if story is Story.TANGLED else 0.5)
    assert cloud.spread[:, 0, 2] == pytest.approx(wide**2)
    assert (cloud.spread[:, :, :2] == 0.0).all()
