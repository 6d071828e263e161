"""Fixes: one particle is a Kalman filter, many are weighed by how well each foresaw the fix."""

import math
from dataclasses import replace

import numpy as np
import pytest
from tests.track.filter.made import fix_at, last, laws, metres, of, quiet, unburst

from farglide.sim.fly.stories import moved
from farglide.track.filter.fixes import LOST_AFTER, WILD_M, WILD_RATIO, at_fix
from farglide.track.filter.observed import High
from farglide.track.filter.particles import Particles, Story

SD_MPS, HOLDS_S = 2.0, 60.0
GIVEN = unburst(quiet(laws(), level_mps=SD_MPS, up_mps=SD_MPS, holds_s=HOLDS_S))


def after(particles: Particles, seconds: float) -> Particles:
    cloud = moved(GIVEN.movers, particles.cloud, particles.after_launch_s, seconds)
    return particles._replace(cloud=cloud, after_launch_s=particles.after_launch_s + seconds)


def test_a_particle_that_floats_is_a_kalman_filter() -> None:
    # Predict: m = F m, P = F P F' + Q; correct: S = H P H' + R, K = P H' / S, m += K (z - H m),
    # P -= K S K'. Source: Bar-Shalom, Li & Kirubarajan, Estimation with Applications to Tracking
    # and Navigation (2001), table 5.2.3-1; the noise of a speed that hangs together: 8.2.3 (Singer
    # with exponential speed), Q by quadrature here. Heights: what floats keeps its own by law.
    particles = of(GIVEN, Story.FLOATING, n=5)
    particles.cloud.spread[:] = np.array([400.0, 30.0, 4.0])
    mean, cover = np.zeros(2), np.array([[400.0, 30.0], [30.0, 4.0]])
    for seconds, seen_m in ((5.0, 12.0), (20.0, -8.0), (60.0, 70.0), (1.0, 66.0)):
        kept = math.exp(-seconds / HOLDS_S)
        move = np.array([[1.0, HOLDS_S * (1.0 - kept)], [0.0, kept]])
        mean, cover = move @ mean, move @ cover @ move.T + noise_of(seconds)
        seen = np.array([1.0, 0.0])
        gain = cover @ seen / (seen @ cover @ seen + 30.0**2)
        mean = mean + gain * (seen_m - mean[0])
        cover = cover - np.outer(gain, seen @ cover)
        particles = at_fix(GIVEN, after(particles, seconds), High(amsl_m=last().amsl_m + seen_m))
        assert particles.cloud.amsl_m - last().amsl_m == pytest.approx(mean[0], abs=1e-6)
        assert particles.cloud.off_mps[:, 2] == pytest.approx(mean[1], abs=1e-9)
        assert particles.cloud.spread[:, 1] == pytest.approx(
            np.tile([cover[0, 0], cover[0, 1], cover[1, 1]], (5, 1)), rel=1e-9
        )


def noise_of(seconds: float) -> np.ndarray:  # type: ignore[type-arg]
    """Return the covariance that white noise of the speed's rate makes, by the midpoint rule."""
    n = 200_000
    left = (np.arange(n) + 0.5) * (seconds / n)  # until the end
    speed = np.exp(-left / HOLDS_S)
    way = HOLDS_S * (1.0 - speed)
    power = 2.0 * SD_MPS**2 / HOLDS_S * (seconds / n)
    both = float((way * speed).sum())
    return power * np.array([[float((way**2).sum()), both], [both, float((speed**2).sum())]])


def test_places_are_corrected_by_the_share_that_is_not_known() -> None:
    # 30 m not known beside 10 m of the fix: it moves by 900 / (900 + 100) of the way, and 9.487 m
    # are left: 1 / (1 / 900 + 1 / 100) = 90 m2.
    particles = of(GIVEN, Story.GLIDING, n=8)
    particles.cloud.spread[:] = np.array([900.0, 0.0, 1.0])
    frame, begin = GIVEN.movers.scene.frame, last()
    fix = fix_at(GIVEN, begin.north_rad + 20.0 / 6.36e6, begin.east_rad, begin.amsl_m)
    found = at_fix(GIVEN, particles, fix)
    moved_m = metres(GIVEN, found.cloud)
    assert moved_m[:, 1] == pytest.approx(18.0, abs=0.1)
    assert moved_m[:, 0] == pytest.approx(0.0, abs=0.1)
    assert found.cloud.spread[:, 0, 0] == pytest.approx(90.0)
    assert found.cloud.spread[:, 1, 0] == pytest.approx(1.0 / (1.0 / 900.0 + 1.0 / 225.0))
    assert frame.lat_rad != 0.0
    assert found.placed_s == particles.after_launch_s


def test_weights_are_how_well_the_fix_was_foreseen() -> None:
    # Two particles, 0 and 50 m off a height told to 30 m, both sure of their own to 40 m: normal
    # densities of 50 m, exp(0) : exp(-0.5), each less the wild share.
    particles = of(GIVEN, Story.FLOATING, n=2)
    cloud = particles.cloud._replace(amsl_m=last().amsl_m + np.array([0.0, -50.0]))
    cloud.spread[:] = np.array([1600.0, 0.0, 1.0])
    found = at_fix(GIVEN, particles._replace(cloud=cloud), High(amsl_m=last().amsl_m, sd_m=30.0))
    largest = (1.0 - WILD_RATIO) / (50.0 * math.sqrt(2.0 * math.pi))
    wild = WILD_RATIO / WILD_M[2]
    wanted = (largest + wild) / (largest * (1.0 + math.exp(-0.5)) + 2.0 * wild)
    assert found.weight[0] == pytest.approx(wanted)


def test_one_wild_fix_moves_nothing() -> None:
    particles = of(GIVEN, Story.GLIDING, Story.HANDS_OFF)
    begin = last()
    wild = fix_at(GIVEN, begin.north_rad + 0.01, begin.east_rad, begin.amsl_m)  # 64 km off
    found = at_fix(GIVEN, particles, wild)
    assert found.weight == pytest.approx(particles.weight)
    assert np.array_equal(found.cloud.amsl_m, particles.cloud.amsl_m)
    assert found.n_missed == 1
    good = at_fix(GIVEN, found, fix_at(GIVEN, begin.north_rad, begin.east_rad, begin.amsl_m))
    assert good.n_missed == 0


def test_what_several_fixes_say_is_where_it_is() -> None:
    particles = of(GIVEN, Story.GLIDING, Story.HANDS_OFF)
    begin = last()
    there = fix_at(GIVEN, begin.north_rad + 0.01, begin.east_rad, begin.amsl_m - 3000.0)
    for k in range(LOST_AFTER):
        assert particles.n_missed == k
        particles = at_fix(GIVEN, particles, there)
    assert particles.cloud.north_rad == pytest.approx(begin.north_rad + 0.01, abs=1e-6)
    assert particles.cloud.amsl_m == pytest.approx(begin.amsl_m - 3000.0, abs=1.0)
    assert particles.n_missed == 0


def test_what_was_thought_to_lie_flies_again_when_it_is_seen_aloft() -> None:
    particles = of(GIVEN, Story.HANDS_OFF)
    cloud = particles.cloud
    lies = cloud._replace(
        story=np.full(40, Story.GROUND.code), amsl_m=np.full(40, 240.0), down_s=np.zeros(40)
    )
    particles = particles._replace(cloud=lies)
    begin = last()
    aloft = fix_at(GIVEN, begin.north_rad, begin.east_rad, 9000.0)
    for _ in range(LOST_AFTER):
        particles = at_fix(GIVEN, particles, replace(aloft))
    assert (particles.cloud.story == Story.HANDS_OFF.code).all()
    assert particles.cloud.amsl_m == pytest.approx(9000.0, abs=1.0)
    assert np.isnan(particles.cloud.down_s).all()


def test_a_height_alone_leaves_the_place() -> None:
    particles = of(GIVEN, Story.GLIDING)
    particles.cloud.spread[:] = np.array([900.0, 0.0, 1.0])
    found = at_fix(GIVEN, particles, High(amsl_m=last().amsl_m - 20.0))
    assert np.array_equal(found.cloud.north_rad, particles.cloud.north_rad)
    assert np.array_equal(found.cloud.spread[:, 0], particles.cloud.spread[:, 0])
    assert (found.cloud.amsl_m < last().amsl_m - 5.0).all()
    assert found.placed_s == particles.placed_s


def test_heights_far_off_do_not_make_the_place_fresh() -> None:
    particles = of(GIVEN, Story.GLIDING)
    for _ in range(3):
        particles = at_fix(GIVEN, particles, High(amsl_m=last().amsl_m - 9000.0))
    assert particles.cloud.amsl_m == pytest.approx(last().amsl_m - 9000.0, abs=100.0)
    assert particles.placed_s == of(GIVEN, Story.GLIDING).placed_s
