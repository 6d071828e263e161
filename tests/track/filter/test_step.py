"""Step: a pure function, bit for bit, and stories found out by what is seen."""

import math

import numpy as np
import pytest
from tests.track.filter.made import fix_at, last, laws, level, of

from farglide.arrays import FloatArray
from farglide.atlas.outline import Outline
from farglide.earth.state import Place
from farglide.errors import InputError
from farglide.sim.fly.particles import Cloud
from farglide.sim.fly.stories import moved
from farglide.track.filter.begun import after_release, begun
from farglide.track.filter.observed import (
    Aimed,
    EdgeSeen,
    Graded,
    High,
    LinkHeard,
    LinkSilent,
    Nothing,
    Observed,
    SunSeen,
    What,
)
from farglide.track.filter.particles import Particles, Story, story_weights
from farglide.track.filter.step import step
from farglide.track.filter.told import where

SQUARE = Outline(points=((45.0, 8.0), (45.0, 8.2), (45.2, 8.2), (45.2, 8.0)))
EVERY: list[What] = [
    Nothing(), fix_at(laws(), last().north_rad, last().east_rad, 26_900.0), High(amsl_m=26_900.0),
    Aimed(stand=Place(lat_deg=45.0, lon_deg=8.0, amsl_m=300.0), azimuth_deg=80.0),
    SunSeen(clock_h=10.0), EdgeSeen(outline=SQUARE, is_left=True), Graded(grade=4, stand=0),
    LinkHeard(link=0, stand=0), LinkSilent(link=0, stand=0),
]  # fmt: skip


def same(one: Particles, other: Particles) -> bool:
    pairs = [*zip(one.cloud, other.cloud, strict=True), (one.weight, other.weight)]
    pairs += list(zip(one.links, other.links, strict=True))
    return all(np.array_equal(a, b, equal_nan=True) for a, b in pairs)


@pytest.mark.parametrize("what", EVERY, ids=lambda what: type(what).__name__)
def test_a_step_is_a_pure_function(what: What) -> None:
    begin = begun(laws(), last(), after_release(0.1), aimed=0, n=100)
    kept = begun(laws(), last(), after_release(0.1), aimed=0, n=100)
    observed = Observed(5, begin.after_launch_s + 4.0, what)
    once, again = step(laws(), begin, observed), step(laws(), begin, observed)
    assert same(once.particles, again.particles)
    assert same(begin, kept)
    assert once.particles.weight.sum() == pytest.approx(1.0)
    assert once.particles.after_launch_s == begin.after_launch_s + 4.0


def truth_sinks(cloud: Cloud) -> FloatArray:
    """Return how far particles come down in ten seconds."""
    return cloud.amsl_m - moved(laws().movers, cloud, last().after_launch_s, 10.0).amsl_m


@pytest.mark.parametrize("story", [Story.GLIDING, Story.HANDS_OFF, Story.SPIRAL, Story.TANGLED])
def test_what_it_is_shows_in_half_a_minute_of_fixes(story: Story) -> None:
    particles = begun(laws(), last(), after_release(0.1), aimed=0)
    truth = of(laws(), story, n=7).cloud
    particles, truth = particles._replace(cloud=level(particles.cloud)), level(truth)
    # of falls one that is neither fast nor slow for its story: a slow one of remains is a spiral
    own = np.argsort(truth_sinks(truth))[3]
    normal = np.random.Generator(np.random.Philox(key=11)).standard_normal((60, 3))
    for k in range(1, 41):
        at_s = last().after_launch_s + k - 1.0
        truth = moved(laws().movers, truth, at_s, 1.0)
        north, east = (float(one[own]) for one in (truth.north_rad, truth.east_rad))
        off = normal[k] * np.array([8.0 / 6.37e6, 8.0 / 4.4e6, 10.0])
        fix = fix_at(laws(), north + off[0], east + off[1], float(truth.amsl_m[own]) + off[2])
        particles = step(laws(), particles, Observed(k, at_s + 1.0, fix)).particles
    found = story_weights(particles)
    assert found[story] > 0.9
    assert where(laws(), particles).most_within_m < 30.0
    assert where(laws(), particles).amsl_m == pytest.approx(float(truth.amsl_m[own]), abs=30.0)


def test_time_alone_widens_and_says_nothing() -> None:
    begin = of(laws(), Story.HANDS_OFF, Story.TANGLED, n=100)
    found = step(laws(), begin, Observed(1, begin.after_launch_s + 300.0, Nothing())).particles
    assert story_weights(found) == pytest.approx(story_weights(begin))
    assert where(laws(), found).most_within_m > 300.0


def test_what_comes_late_is_refused_but_for_the_slack_of_clocks() -> None:
    begin = of(laws(), Story.HANDS_OFF)
    slack = Observed(1, begin.after_launch_s - 0.3, Nothing())
    assert step(laws(), begin, slack).particles.after_launch_s == begin.after_launch_s
    with pytest.raises(InputError, match=r"2\.0 s before the last one.*in the order of time"):
        step(laws(), begin, Observed(1, begin.after_launch_s - 2.0, Nothing()))


def test_the_info_tells_how_even_the_weights_were() -> None:
    begin = of(laws(), Story.HANDS_OFF, Story.TANGLED, n=100)
    info = step(laws(), begin, Observed(1, begin.after_launch_s, Nothing())).info
    assert info.effective_ratio == pytest.approx(1.0)
    assert not info.is_chosen_anew
    odd = High(amsl_m=5_000.0, sd_m=5.0)
    assert step(laws(), begin, Observed(2, begin.after_launch_s, odd)).info.n_missed == 1
    assert math.isfinite(info.n_missed)
