"""Varied: particles put into the air and the sink of other draws, as far as their speed allows."""

from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import BoolArray, FloatArray, IntArray
from farglide.sim.fly.particles import CARRIED, FLOATING, GROUND, HANDS_OFF, Cloud
from farglide.track.filter.particles import Laws

STRAINED: Final = 4.0
"""A sink so many variances off its law, in the mean, is no noise: the laws of these particles are
wrong, and others are tried."""
_LOCAL_RATIO: Final = 0.5
_LOCAL_SD: Final = 0.03
"""Half of the sinks tried are a little off the particle's own, the others any draw's."""


class _Pace(NamedTuple):
    """How particles move by their laws, (n,): to east and north with the air, and down."""

    east_mps: FloatArray
    north_mps: FloatArray
    sink_mps: FloatArray


def strain(laws: Laws, cloud: Cloud) -> FloatArray:
    """Return how far each particle's sink is off its law, in variances, (n,)."""
    pace = _pace(laws, cloud, cloud.draw, cloud.factor)
    return _off2(laws, cloud, cloud.off_mps[:, 2], pace)


def varied(laws: Laws, cloud: Cloud, again: BoolArray, chance: np.random.Generator) -> Cloud:
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
    before = _off2(laws, cloud, cloud.off_mps[:, 2], was)
    after = _off2(laws, cloud, off[:, 2], new)
    free = ~np.isin(cloud.story, (CARRIED, FLOATING, GROUND))
    taken = free & (again | (before > STRAINED)) & (np.log(even) < 0.5 * (before - after))
    return cloud._replace(
        draw=np.where(taken, draw, cloud.draw),
        factor=np.where(taken, factor, cloud.factor),
        off_mps=np.where(taken[:, None], off, cloud.off_mps),
    )


def _layers(laws: Laws, cloud: Cloud) -> IntArray:
    layers = laws.movers.scene.layers
    k = ((cloud.amsl_m - layers.base_amsl_m) / layers.step_m).astype(np.int64)
    return np.asarray(np.clip(k, 0, len(layers.rho_kgpm3) - 1))


def _own(laws: Laws, cloud: Cloud, draw: IntArray) -> FloatArray:
    """Return how fast a particle would sink as a draw, but for a factor that is its story's."""
    movers = laws.movers
    kind = np.clip(cloud.story - HANDS_OFF, 0, 2)
    glides = 1.0 / movers.glide_factor[draw]
    return np.where(cloud.story >= HANDS_OFF, movers.sink_eas_mps[kind, draw], glides)


def _pace(laws: Laws, cloud: Cloud, draw: IntArray, factor: FloatArray) -> _Pace:
    """Return how particles would move as other draws: the air that carries them, and their sink."""
    movers, swarm, layer = laws.movers, laws.movers.swarm, _layers(laws, cloud)
    tas = movers.scene.layers.tas_per_eas[layer]
    kind = np.clip(cloud.story - HANDS_OFF, 0, 2)
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
