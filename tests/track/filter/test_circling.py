"""Circling: radii by hand, and a wide circle seen as one."""

import math

import numpy as np
import pytest
from tests.track.filter.made import fix_at, last, laws, level, of

from farglide.track.filter.begun import after_loss, begun
from farglide.track.filter.circling import circles_m, off_middle_m2
from farglide.track.filter.observed import Observed
from farglide.track.filter.particles import Particles, Story, story_weights
from farglide.track.filter.step import step


def test_a_circle_is_as_wide_as_speed_and_bank_make_it() -> None:
    cloud = level(of(laws(), Story.HANDS_OFF).cloud)
    low = cloud._replace(amsl_m=np.full(40, 300.0), down_way=np.full(40, 1))
    # 1.2 times the demo's stall speed of 9.2 m/s at 45 degrees of bank: V^2 / g, 3 % wider 300 m up
    assert circles_m(laws(), low) == pytest.approx(1.03 * (1.2 * 9.2) ** 2 / 9.80665, rel=0.03)
    high = circles_m(laws(), low._replace(amsl_m=np.full(40, 16_500.0)))
    assert np.median(high) == pytest.approx(7.4 * np.median(circles_m(laws(), low)), rel=0.1)
    wide = circles_m(laws(), low._replace(down_way=np.full(40, 2)))
    assert wide == pytest.approx(3.0 * circles_m(laws(), low))
    assert not circles_m(laws(), low._replace(down_way=np.zeros(40, np.int64))).any()
    assert off_middle_m2(laws(), low) == pytest.approx(0.5 * circles_m(laws(), low) ** 2)


@pytest.mark.parametrize("story", [Story.GLIDING, Story.SPIN, Story.TANGLED])
def test_what_flies_straight_or_falls_has_none(story: Story) -> None:
    cloud = level(of(laws(), story).cloud)
    assert not circles_m(laws(), cloud).any()
    drops = of(laws(), Story.HANDS_OFF).cloud
    assert not circles_m(laws(), drops).any()  # it has not begun to


@pytest.mark.parametrize("radius_m", [100.0, 150.0, 300.0, 500.0])
def test_a_wide_circle_is_seen_as_one(radius_m: float) -> None:
    given, begin = laws(), last()
    scene = given.movers.scene
    found: Particles = begun(given, begin._replace(amsl_m=20_000.0), after_loss(), aimed=0)
    found = found._replace(cloud=level(found.cloud))
    tas_mps, amsl_m, north_m, east_m = 38.0, 20_000.0, 0.0, 0.0
    k0 = (scene.layers.u_mps[0], scene.layers.v_mps[0])
    for s in range(1, 241):
        k = int((amsl_m - scene.layers.base_amsl_m) / scene.layers.step_m)
        amsl_m -= 1.4 * float(scene.layers.tas_per_eas[k])
        east_m, north_m = east_m + float(k0[0][k]), north_m + float(k0[1][k])
        if s % 2:
            continue
        turn = tas_mps / radius_m * s
        n = begin.north_rad + (north_m + radius_m * math.sin(turn)) / 6.37e6
        e = begin.east_rad + (east_m + radius_m * (1.0 - math.cos(turn))) / (
            6.39e6 * scene.frame.cosine
        )
        seen = Observed(s, begin.after_launch_s + s, fix_at(given, n, e, amsl_m))
        found = step(given, found, seen).particles
    held = story_weights(found)
    assert held[Story.HANDS_OFF] > 0.8
    assert found.n_missed == 0
