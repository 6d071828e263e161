"""Others: laws of other draws tried by each particle, against the same in whole arrays."""

from typing import NamedTuple

import numpy as np
import pytest
from tests.track.filter.made import laws, of

from farglide.arrays import FloatArray, IntArray
from farglide.sim.fly.others import Bounds, Tries, strains, tried
from farglide.sim.fly.particles import CARRIED, FLOATING, GLIDING, GROUND, HANDS_OFF, Cloud
from farglide.track.filter.particles import Story

BOUNDS = Bounds(4.0, 0.4, 0.6)
SINK_MPS = laws().releases.haste.sink_mps


class Pace(NamedTuple):
    east_mps: FloatArray
    north_mps: FloatArray
    sink_mps: FloatArray


def cloud_of(n: int = 240) -> Cloud:
    """Return particles of all stories, some in their drop, some over a field, sinks off."""
    random = np.random.default_rng(9)
    cloud = of(laws(), *list(Story), n=n).cloud
    drop_s = np.where(random.random(n) < 0.3, 7.0, 0.0)
    return cloud._replace(
        drop_s=drop_s,
        factor=random.uniform(0.7, 1.4, n),
        over=np.where(random.random(n) < 0.2, 1, 0),
        off_mps=random.normal(0.0, 1.5, (n, 3)),
    )


def tries_of(n: int) -> Tries:
    random = np.random.default_rng(10)
    return Tries(
        again=random.random(n) < 0.5,
        draw=random.integers(laws().n_draws, size=n),
        near=random.random(n) < 0.5,
        log_step=0.03 * random.standard_normal(n),
        even=random.random(n),
        longer=random.uniform(0.8, 1.25, n),
        goal=random.integers(len(laws().movers.goals.north_rad), size=n),
        turns=random.random(n),
        down_way=random.integers(3, size=n),
    )


def layers_of(cloud: Cloud) -> IntArray:
    layers = laws().movers.scene.layers
    k = ((cloud.amsl_m - layers.base_amsl_m) / layers.step_m).astype(np.int64)
    return np.asarray(np.clip(k, 0, len(layers.rho_kgpm3) - 1))


def own(cloud: Cloud, draw: IntArray) -> FloatArray:
    movers, kind = laws().movers, np.clip(cloud.story - HANDS_OFF, 0, 3)
    return np.where(cloud.story >= HANDS_OFF, movers.sink_eas_mps[kind, draw],
                    1.0 / movers.glide_factor[draw])  # fmt: skip


def pace(cloud: Cloud, draw: IntArray, factor: FloatArray) -> Pace:
    movers, swarm, layer = laws().movers, laws().movers.swarm, layers_of(cloud)
    tas, kind = movers.scene.layers.tas_per_eas[layer], np.clip(cloud.story - HANDS_OFF, 0, 3)
    fall = tas * np.maximum(tas, 1.0) ** (-2.0 * movers.thin_exponent[kind, draw])
    each = np.where(cloud.story >= HANDS_OFF, fall, SINK_MPS[layer])
    sink = factor * own(cloud, draw) * each - swarm.rise_mps[draw, layer]
    return Pace(swarm.home_east_mps[draw, layer], swarm.home_north_mps[draw, layer], sink)


def off2(cloud: Cloud, up_mps: FloatArray, at: Pace) -> FloatArray:
    noise, story = laws().movers.noise, cloud.story
    sd = np.hypot(noise.up_mps[story], noise.up_ratio[story] * at.sink_mps)
    return np.asarray((up_mps / np.maximum(sd, 1e-3)) ** 2)


def test_a_strain_is_how_far_a_sink_is_off_its_law() -> None:
    cloud = cloud_of()
    wanted = off2(cloud, cloud.off_mps[:, 2], pace(cloud, cloud.draw, cloud.factor))
    wanted = np.where(cloud.drop_s > 0.0, 0.0, wanted)
    assert strains(laws().movers, SINK_MPS, cloud) == pytest.approx(wanted, rel=1e-9)
    assert (wanted > 4.0).any()


def test_laws_are_taken_as_in_whole_arrays() -> None:
    cloud = cloud_of()
    tries = tries_of(len(cloud.story))
    found = tried(laws().movers, SINK_MPS, cloud, tries, BOUNDS)
    near = np.log(cloud.factor * own(cloud, cloud.draw) / own(cloud, tries.draw))
    factor = np.where(tries.near, np.exp(near + tries.log_step), 1.0)
    was, new = pace(cloud, cloud.draw, cloud.factor), pace(cloud, tries.draw, factor)
    flies = cloud.drop_s <= 0.0
    up = np.where(flies, cloud.off_mps[:, 2] + new.sink_mps - was.sink_mps, cloud.off_mps[:, 2])
    before, after = (flies * off2(cloud, *one) for one in ((cloud.off_mps[:, 2], was), (up, new)))
    free = ~np.isin(cloud.story, (CARRIED, FLOATING, GROUND))
    taken = free & (tries.again | (before > BOUNDS.strained))
    taken &= np.log(tries.even) < 0.5 * (before - after)
    assert 20 < taken.sum() < 200
    assert np.array_equal(found.draw, np.where(taken, tries.draw, cloud.draw))
    assert found.factor == pytest.approx(np.where(taken, factor, cloud.factor))
    assert found.off_mps[:, 2] == pytest.approx(np.where(taken, up, cloud.off_mps[:, 2]))
    stays = ~tries.again  # what is taken again may also turn, and forgets its heading then
    east = cloud.off_mps[:, 0] + np.where(taken, was.east_mps - new.east_mps, 0.0)
    assert found.off_mps[stays, 0] == pytest.approx(east[stays])


def test_drops_last_otherwise_and_others_are_made_for_as_in_whole_arrays() -> None:
    cloud = cloud_of()
    tries = tries_of(len(cloud.story))
    found = tried(laws().movers, SINK_MPS, cloud, tries, BOUNDS)
    more_s = np.where(tries.again, cloud.drop[:, 2] * (tries.longer - 1.0), 0.0)
    longer = (cloud.drop_s > 0.0) & (cloud.drop_s + more_s > 0.0)
    assert found.drop_s == pytest.approx(np.where(longer, cloud.drop_s + more_s, cloud.drop_s))
    assert found.drop[longer, 2] == pytest.approx((cloud.drop[:, 2] + more_s)[longer])
    on_way = (cloud.story == GLIDING) & (cloud.drop_s <= 0.0) & (cloud.over == 0)
    turns = tries.again & (tries.turns < np.where(on_way, BOUNDS.turns_ratio, BOUNDS.other_ratio))
    other = turns & (tries.goal != cloud.goal) & (cloud.over == 0)
    assert other.sum() > 10
    assert np.array_equal(found.goal, np.where(other, tries.goal, cloud.goal))
    assert np.array_equal(found.down_way, np.where(turns, tries.down_way, cloud.down_way))
    anew = other & on_way
    assert anew.sum() > 1
    assert not found.off_mps[anew, :2].any()
    movers, layer = laws().movers, layers_of(cloud)
    tas_mps = movers.speeds.fastest_mps[layer] * movers.scene.layers.tas_per_eas[layer]
    noise_mps = movers.noise.level_ratio[GLIDING] * 0.5 * tas_mps
    assert found.spread[anew, 0, 2] == pytest.approx(noise_mps[anew] ** 2)
    assert np.array_equal(found.spread[~anew], cloud.spread[~anew])
