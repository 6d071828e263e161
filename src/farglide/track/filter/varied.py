"""Varied: particles put into the air and the sink of other draws, as far as their speed allows."""

from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import BoolArray, FloatArray, IntArray
from farglide.sim.fly.particles import (
    CARRIED,
    FLOATING,
    GLIDING,
    GROUND,
    HANDS_OFF,
    N_DOWN_WAYS,
    Cloud,
)
from farglide.track.filter.particles import Laws

STRAINED: Final = 4.0
"""A sink so many variances off its law, in the mean, is no noise: the laws of these particles are
wrong, and others are tried."""
_LOCAL_RATIO: Final = 0.5
_LOCAL_SD: Final = 0.03
"""Half of the sinks tried are a little off the particle's own, the others any draw's."""


_OTHER_RATIO: Final = 0.25
"""So many of those taken again try another way of flying off height over their field, or make for
another field once they fly."""


_TURNS_RATIO: Final = 0.05
"""And so many on their way another field: crews turn, and nobody tells to which."""
_USUAL_RATIO: Final = 0.5
"""Of the fastest airspeed, a usual one."""
_LONGER_RATIO: Final = 1.25
"""How long a glider slows down is never told before it makes way: others taken again try up to so
many times as long."""


class _Pace(NamedTuple):
    """How particles move by their laws, (n,): to east and north with the air, and down."""

    east_mps: FloatArray
    north_mps: FloatArray
    sink_mps: FloatArray


def strain(laws: Laws, cloud: Cloud) -> FloatArray:
    """Return how far each particle's sink is off its law, in variances, (n,)."""
    pace = _pace(laws, cloud, cloud.draw, cloud.factor)
    off2 = _off2(laws, cloud, cloud.off_mps[:, 2], pace)
    return np.where(cloud.drop_s > 0.0, 0.0, off2)


def varied(laws: Laws, cloud: Cloud, again: BoolArray, chance: np.random.Generator) -> Cloud:
    """Return particles of which those taken `again`, and strained ones, try another draw's law.

    Those taken again may also slow down for longer after their release, make for another field, or
    fly off their height there in another way. For the law see `_tried`.
    """
    cloud = _tried(laws, cloud, again, chance)
    longer = np.where(again, chance.uniform(1 / _LONGER_RATIO, _LONGER_RATIO, len(again)), 1.0)
    return _turned_to(laws, _lasting(cloud, longer), again, chance)


def _tried(laws: Laws, cloud: Cloud, again: BoolArray, chance: np.random.Generator) -> Cloud:
    """Return particles of which those taken `again`, and strained ones, try another draw's law.

    Each keeps the speed that it was seen to have: what the other law does not explain of that is
    its error now. By that of its sink the other law is taken or not: so what was believed too early
    can be unlearnt. Of the wind it says nothing, for one wind that fits tells little of those
    below: what was seen to be off here stays off for a while, in the air of any draw.
    Source: a Metropolis-Hastings move after resampling, Gilks & Berzuini, J. R. Stat. Soc. B 63
    (2001), 127, from memory.
    """
    n = len(cloud.story)
    draw = chance.integers(laws.n_draws, size=n)
    local = chance.random(n) < _LOCAL_RATIO
    near = np.log(cloud.factor * _own(laws, cloud, cloud.draw) / _own(laws, cloud, draw))
    factor = np.where(local, np.exp(near + _LOCAL_SD * chance.standard_normal(n)), 1.0)
    even = chance.random(n)
    was, new = (_pace(laws, cloud, *one) for one in ((cloud.draw, cloud.factor), (draw, factor)))
    off = cloud.off_mps + np.stack(
        [was.east_mps - new.east_mps, was.north_mps - new.north_mps, new.sink_mps - was.sink_mps],
        axis=1,
    )
    flies = cloud.drop_s <= 0.0  # a drop tells nothing of a glide: any draw's will do
    off[:, 2] = np.where(flies, off[:, 2], cloud.off_mps[:, 2])
    before = flies * _off2(laws, cloud, cloud.off_mps[:, 2], was)
    after = flies * _off2(laws, cloud, off[:, 2], new)
    free = ~np.isin(cloud.story, (CARRIED, FLOATING, GROUND))
    taken = free & (again | (before > STRAINED)) & (np.log(even) < 0.5 * (before - after))
    return cloud._replace(
        draw=np.where(taken, draw, cloud.draw),
        factor=np.where(taken, factor, cloud.factor),
        off_mps=np.where(taken[:, None], off, cloud.off_mps),
    )


def _turned_to(laws: Laws, cloud: Cloud, again: BoolArray, chance: np.random.Generator) -> Cloud:
    """Return particles of which some that are taken again make for another field.

    One that is on its way has kept no heading to that yet. What is over its field stays there, and
    flies off its height in another way.
    """
    n, ways = len(cloud.story), cloud.story == GLIDING
    ways &= (cloud.drop_s <= 0.0) & (cloud.over == 0)
    goal = chance.integers(len(laws.movers.goals.north_rad), size=n)
    tries = again & (chance.random(n) < np.where(ways, _TURNS_RATIO, _OTHER_RATIO))
    other = tries & (goal != cloud.goal) & (cloud.over == 0)
    off, spread = cloud.off_mps.copy(), cloud.spread.copy()
    anew, layer = other & ways, _layers(laws, cloud)
    movers = laws.movers
    tas_mps = movers.speeds.fastest_mps[layer] * movers.scene.layers.tas_per_eas[layer]
    noise_mps = movers.noise.level_ratio[GLIDING] * _USUAL_RATIO * tas_mps
    off[anew, :2] = 0.0
    spread[anew, 0, 1], spread[anew, 0, 2] = 0.0, noise_mps[anew] ** 2
    return cloud._replace(
        goal=np.where(other, goal, cloud.goal),
        down_way=np.where(tries, chance.integers(N_DOWN_WAYS, size=n), cloud.down_way),
        off_mps=off,
        spread=spread,
    )


def _lasting(cloud: Cloud, longer: FloatArray) -> Cloud:
    """Return particles whose drops take so many times as long from where they are level on."""
    more_s = cloud.drop[:, 2] * (longer - 1.0)
    changes = (cloud.drop_s > 0.0) & (cloud.drop_s + more_s > 0.0)
    drop = cloud.drop.copy()
    drop[changes, 2] += more_s[changes]
    return cloud._replace(drop=drop, drop_s=np.where(changes, cloud.drop_s + more_s, cloud.drop_s))


def _layers(laws: Laws, cloud: Cloud) -> IntArray:
    layers = laws.movers.scene.layers
    k = ((cloud.amsl_m - layers.base_amsl_m) / layers.step_m).astype(np.int64)
    return np.asarray(np.clip(k, 0, len(layers.rho_kgpm3) - 1))


def _own(laws: Laws, cloud: Cloud, draw: IntArray) -> FloatArray:
    """Return how fast a particle would sink as a draw, but for a factor that is its story's."""
    movers = laws.movers
    kind = np.clip(cloud.story - HANDS_OFF, 0, 3)
    glides = 1.0 / movers.glide_factor[draw]
    return np.where(cloud.story >= HANDS_OFF, movers.sink_eas_mps[kind, draw], glides)


def _pace(laws: Laws, cloud: Cloud, draw: IntArray, factor: FloatArray) -> _Pace:
    """Return how particles would move as other draws: the air that carries them, and their sink."""
    movers, swarm, layer = laws.movers, laws.movers.swarm, _layers(laws, cloud)
    tas = movers.scene.layers.tas_per_eas[layer]
    kind = np.clip(cloud.story - HANDS_OFF, 0, 3)
    fall = tas * np.maximum(tas, 1.0) ** (-2.0 * movers.thin_exponent[kind, draw])
    each = np.where(cloud.story >= HANDS_OFF, fall, laws.releases.haste.sink_mps[layer])
    sink = factor * _own(laws, cloud, draw) * each - swarm.rise_mps[draw, layer]
    east, north = (
        one[draw, layer].astype(np.float64) for one in (swarm.home_east_mps, swarm.home_north_mps)
    )
    return _Pace(east, north, sink)


def _off2(laws: Laws, cloud: Cloud, up_mps: FloatArray, pace: _Pace) -> FloatArray:
    """Return how far sinks are off, in the variances of their stories."""
    noise, story = laws.movers.noise, cloud.story
    sd = np.hypot(noise.up_mps[story], noise.up_ratio[story] * pace.sink_mps)
    return np.asarray((up_mps / np.maximum(sd, 1e-3)) ** 2)
