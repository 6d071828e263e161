"""Conditioned: each particle's place and speed after a fix, against Kalman's matrices."""

import math

import numpy as np
import pytest
from tests.track.filter.made import laws, level, of

from farglide.arrays import FloatArray
from farglide.sim.core.step import _metres_per_rad
from farglide.sim.fly.conditioned import Sight, conditioned
from farglide.sim.fly.particles import Cloud
from farglide.track.filter.particles import Story

LOG_SOUND, LOG_WILD = math.log(0.99), math.log(0.01) - 12.0 * math.log(10.0)


def uneven(n: int = 30) -> Cloud:
    """Return falls of which each is unsure of its place and speed in its own way."""
    random = np.random.default_rng(4)
    cloud = level(of(laws(), Story.TANGLED, n=n).cloud)
    spread = np.empty((n, 2, 3))
    spread[:, :, 0] = random.uniform(10.0, 900.0, (n, 2))
    spread[:, :, 2] = random.uniform(1.0, 30.0, (n, 2))
    spread[:, :, 1] = 0.7 * np.sqrt(spread[:, :, 0] * spread[:, :, 2])
    return cloud._replace(
        north_rad=cloud.north_rad + random.normal(0.0, 3e-6, n),
        east_rad=cloud.east_rad + random.normal(0.0, 3e-6, n),
        amsl_m=cloud.amsl_m + random.normal(0.0, 20.0, n),
        off_mps=random.normal(0.0, 2.0, (n, 3)),
        spread=spread,
    )


def sight_of(cloud: Cloud, place: bool = True, height: bool = True) -> Sight:
    nan = math.nan
    return Sight(
        north_rad=float(cloud.north_rad[0]) + 2e-6 if place else nan,
        east_rad=float(cloud.east_rad[0]) if place else nan,
        amsl_m=float(cloud.amsl_m[0]) - 9.0 if height else nan,
        level_m2=100.0 if place else nan,
        up_m2=225.0,
        log_sound=LOG_SOUND,
        log_wild=LOG_WILD,
    )


def kalman(mean: FloatArray, spread: FloatArray, seen_m: float, noise_m2: float
           ) -> tuple[FloatArray, FloatArray, float]:  # fmt: skip
    """Return mean and covariance of place and speed after a place, and how likely it was."""
    before = np.array([[spread[0], spread[1]], [spread[1], spread[2]]])
    h = np.array([[1.0, 0.0]])
    variance = float((h @ before @ h.T)[0, 0]) + noise_m2
    gain = before @ h.T / variance
    after = (np.eye(2) - gain @ h) @ before
    missed = seen_m - mean[0]
    density = -0.5 * (missed**2 / variance + math.log(2.0 * math.pi * variance))
    return mean + gain[:, 0] * missed, np.array([after[0, 0], after[0, 1], after[1, 1]]), density


@pytest.mark.parametrize(("place", "height"), [(True, True), (True, False), (False, True)])
def test_place_and_speed_are_those_of_kalman(place: bool, height: bool) -> None:
    cloud, frame = uneven(), laws().movers.scene.frame
    sight = sight_of(cloud, place, height)
    around_m2 = np.linspace(0.0, 900.0, len(cloud.story))
    found = conditioned(frame, cloud, sight, around_m2)
    metres = _metres_per_rad(frame, sight.north_rad if place else 0.0)
    fits = 0
    for i in range(len(cloud.story)):
        sound, wanted = LOG_SOUND, [row[i].copy() for row in cloud]
        north = east = height_m = None
        at_m2 = 100.0 + around_m2[i]  # what circles is off its middle by that besides
        if place:
            north = kalman(np.array([0.0, cloud.off_mps[i, 1]]), cloud.spread[i, 0],
                           metres[0] * (sight.north_rad - cloud.north_rad[i]), at_m2)  # fmt: skip
            east = kalman(np.array([0.0, cloud.off_mps[i, 0]]), cloud.spread[i, 0],
                          metres[1] * (sight.east_rad - cloud.east_rad[i]), at_m2)  # fmt: skip
            sound += north[2] + east[2]
        if height:
            height_m = kalman(np.array([0.0, cloud.off_mps[i, 2]]), cloud.spread[i, 1],
                              sight.amsl_m - cloud.amsl_m[i], 225.0)  # fmt: skip
            sound += height_m[2]
        assert found.log_fit[i] == pytest.approx(np.logaddexp(sound, LOG_WILD), abs=1e-9)
        assert found.fits[i] == (sound > LOG_WILD)
        fits += found.fits[i]
        if not found.fits[i]:
            assert found.amsl_m[i] == cloud.amsl_m[i]
            assert np.array_equal(found.spread[i], wanted[15])
            continue
        if north is not None and east is not None:
            assert metres[0] * (found.north_rad[i] - cloud.north_rad[i]) == pytest.approx(
                north[0][0], abs=1e-6)  # fmt: skip
            assert metres[1] * (found.east_rad[i] - cloud.east_rad[i]) == pytest.approx(
                east[0][0], abs=1e-6)  # fmt: skip
            assert found.off_mps[i, :2] == pytest.approx([east[0][1], north[0][1]])
            assert found.spread[i, 0] == pytest.approx(north[1])
        if height_m is not None:
            assert found.amsl_m[i] - cloud.amsl_m[i] == pytest.approx(height_m[0][0], abs=1e-8)
            assert found.off_mps[i, 2] == pytest.approx(height_m[0][1])
            assert found.spread[i, 1] == pytest.approx(height_m[1])
    assert fits > 5


def test_what_fits_nowhere_is_corrected_only_when_asked() -> None:
    cloud, frame = uneven(), laws().movers.scene.frame
    far = sight_of(cloud)._replace(amsl_m=float(cloud.amsl_m[0]) + 5_000.0)
    around_m2 = np.zeros(len(cloud.story))
    left = conditioned(frame, cloud, far, around_m2)
    assert not left.fits.any()
    assert np.array_equal(left.north_rad, cloud.north_rad)
    moved = conditioned(frame, cloud, far, around_m2, always=True)
    assert (moved.amsl_m - cloud.amsl_m > 50.0).all()
    assert np.array_equal(moved.log_fit, left.log_fit)
    assert cloud.spread[0, 0, 0] > moved.spread[0, 0, 0]
