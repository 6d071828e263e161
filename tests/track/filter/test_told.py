"""Told: circles that hold what they say, ages, and states for the decision."""

import numpy as np
import pytest
from tests.track.filter.made import ensemble, last, laws, of, quiet, unburst

from farglide.chances.chances import chances_in
from farglide.errors import InputError
from farglide.outlook.freshness import Freshness
from farglide.sim.core.states import CLIMBING, FALLING, FLOATING, GLIDING
from farglide.sim.fly.stories import moved
from farglide.track.filter.observed import Nothing, Observed
from farglide.track.filter.particles import Particles, Story
from farglide.track.filter.step import step
from farglide.track.filter.told import FLOWN, freshness, freshness_for, rank_of, states_of, where

GIVEN = unburst(quiet(laws()))


def round_about(sd_m: float, within_m: float) -> Particles:
    """Return particles normal round a place, each sure of its own to within so much."""
    particles = of(GIVEN, Story.HANDS_OFF, n=2000)
    z = np.random.Generator(np.random.Philox(key=5)).standard_normal((3, 2000)) * sd_m
    frame = GIVEN.movers.scene.frame
    cloud = particles.cloud._replace(
        north_rad=last().north_rad + z[0] / 6.367e6,
        east_rad=last().east_rad + z[1] / (6.388e6 * frame.cosine),
        amsl_m=last().amsl_m + z[2],
    )
    cloud.spread[:, :, 0] = within_m**2
    return particles._replace(cloud=cloud)


@pytest.mark.parametrize(("sd_m", "within_m"), [(1000.0, 0.0), (600.0, 800.0), (0.0, 1000.0)])
def test_circles_hold_half_and_nine_tenths(sd_m: float, within_m: float) -> None:
    # Of normal errors of 1 km to east and north: sqrt(2 ln 2) and sqrt(2 ln 10) km; of one of
    # height: 0.674 and 1.645 km.
    found = where(GIVEN, round_about(sd_m, within_m))
    assert found.half_within_m == pytest.approx(1177.4, rel=0.05)
    assert found.most_within_m == pytest.approx(2146.0, rel=0.05)
    assert found.amsl_half_m == pytest.approx(674.5, rel=0.06)
    assert found.amsl_most_m == pytest.approx(1644.9, rel=0.06)
    assert found.amsl_m == pytest.approx(last().amsl_m, abs=80.0)
    assert found.north_rad == pytest.approx(last().north_rad, abs=80.0 / 6.4e6)


def test_a_rank_is_the_share_nearer_to_the_middle() -> None:
    particles = round_about(1000.0, 0.0)
    assert rank_of(GIVEN, particles, last().north_rad, last().east_rad) < 0.02
    edge = last().north_rad + 2146.0 / 6.367e6
    assert rank_of(GIVEN, particles, edge, last().east_rad) == pytest.approx(0.9, abs=0.03)


def test_one_story_is_asked_alone() -> None:
    particles = of(GIVEN, Story.HANDS_OFF, Story.TANGLED, n=200)
    cloud = moved(GIVEN.movers, particles.cloud, last().after_launch_s, 120.0)
    particles = particles._replace(cloud=cloud)
    gentle, tangled = (
        where(GIVEN, particles, [one]).amsl_m for one in (Story.HANDS_OFF, Story.TANGLED)
    )
    assert gentle > tangled + 1000.0
    with pytest.raises(InputError, match="gliding; allowed: one that has weight"):
        where(GIVEN, particles, [Story.GLIDING])


def test_a_fix_ages() -> None:
    begin = of(GIVEN, Story.HANDS_OFF)
    for seconds, name in ((5.0, "FRESH"), (30.0, "AGEING"), (90.0, "GUESSED"), (400.0, "UNKNOWN")):
        observed = Observed(1, begin.after_launch_s + seconds, Nothing())
        assert freshness(step(GIVEN, begin, observed).particles) is Freshness[name]


@pytest.mark.parametrize(
    ("need_m", "name"),
    [(3000.0, "FRESH"), (1500.0, "AGEING"), (600.0, "GUESSED"), (300.0, "UNKNOWN")],
)
def test_a_place_is_as_good_as_it_is_needed(need_m: float, name: str) -> None:
    particles = round_about(1000.0, 0.0)  # nine in ten within 2.15 km
    assert freshness_for(GIVEN, particles, need_m) is Freshness[name]
    old = particles._replace(placed_s=particles.after_launch_s - 90.0)
    worse = max(Freshness.GUESSED, Freshness[name], key=list(Freshness).index)
    assert freshness_for(GIVEN, old, need_m) is worse


def test_a_need_is_more_than_nothing() -> None:
    with pytest.raises(InputError, match="need_m is 0 m; allowed: more than 0 m"):
        freshness_for(GIVEN, of(GIVEN, Story.HANDS_OFF), 0.0)


def test_each_draw_has_a_state_by_the_weights() -> None:
    particles = of(
        GIVEN, Story.CARRIED, Story.FLOATING, Story.GLIDING, Story.TANGLED, Story.SPIRAL, n=300
    )
    found = states_of(GIVEN, particles)
    n = GIVEN.n_draws
    assert found.amsl_m.shape == (n, 1)
    counts = np.bincount(found.kind[:, 0], minlength=5)
    assert counts[[CLIMBING, FLOATING, FALLING, GLIDING]] == pytest.approx(
        [n / 5, n / 5, n / 5, 2 * n / 5], abs=1.01
    )
    assert (found.after_launch_s == particles.after_launch_s).all()


def test_a_draw_gets_its_own_particle_where_it_can() -> None:
    particles = of(GIVEN, Story.GLIDING, n=GIVEN.n_draws)
    marked = particles.cloud._replace(amsl_m=20_000.0 + particles.cloud.draw)
    found = states_of(GIVEN, particles._replace(cloud=marked))
    assert np.array_equal(found.amsl_m[:, 0], 20_000.0 + np.arange(GIVEN.n_draws))


def test_the_decision_is_asked_of_them() -> None:
    particles = of(GIVEN, Story.GLIDING, Story.TANGLED, n=200)
    states = states_of(GIVEN, particles, FLOWN)
    drawn = ensemble()
    chances = chances_in(drawn, states, drawn.goals)
    assert (chances.reach_ratio[0] >= 0.0).all()
    assert chances.reach_ratio[0].max() > 0.0


def test_what_lies_on_the_ground_is_nowhere() -> None:
    particles = of(GIVEN, Story.TANGLED, n=200)
    cloud = moved(GIVEN.movers, particles.cloud, last().after_launch_s, 7200.0)
    down = particles._replace(cloud=cloud)
    assert np.isnan(states_of(GIVEN, down, list(Story)).amsl_m).all()
    with pytest.raises(InputError, match="one that has weight"):
        states_of(GIVEN, down)
