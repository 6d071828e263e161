"""Others: particles put into the air and the sink of other draws, as far as their speed allows."""

import math
from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import BoolArray, FloatArray, IntArray
from farglide.kernel import compiled, inner
from farglide.sim.core.step import layer_index
from farglide.sim.fly.particles import (
    CARRIED,
    FLOATING,
    GLIDING,
    GROUND,
    HANDS_OFF,
    TANGLED,
    Cloud,
    Movers,
)

_USUAL_RATIO: Final = 0.5
"""Of the fastest airspeed, a usual one."""
_LEAST_SD_MPS: Final = 1e-3


class Tries(NamedTuple):
    """What particles try, (n,), drawn by chance before it is known who tries at all.

    `again`: which were taken before, and try all of it; the others a law, where theirs is strained.
    `draw`: another draw's law, with a sink near the particle's own where `near`, off it by
    `log_step`; `even`: from 0 to 1, by which it is taken; `longer`: so many times as long a drop
    lasts; `goal`, `down_way`: another field and way to fly off height, by `turns` from 0 to 1.
    """

    again: BoolArray
    draw: IntArray
    near: BoolArray
    log_step: FloatArray
    even: FloatArray
    longer: FloatArray
    goal: IntArray
    turns: FloatArray
    down_way: IntArray


class Bounds(NamedTuple):
    """When a law is tried anew: from so many variances on; and how often another field is.

    `turns_ratio`: by what is on its way to one, `other_ratio`: by what is not yet.
    """

    strained: float
    turns_ratio: float
    other_ratio: float


class _Law(NamedTuple):
    """Whose law a particle goes by, and how many times as fast as that it sinks."""

    story: np.int64
    draw: np.int64
    factor: float


class _Pace(NamedTuple):
    """How a particle moves by a law: to east and north with the air, and down."""

    east_mps: float
    north_mps: float
    sink_mps: float


@inner
def _fall(story: np.int64) -> np.int64:
    """Return the row of a story that falls; what lies on the ground goes as the last of them."""
    return story - HANDS_OFF if story <= TANGLED else TANGLED - HANDS_OFF


@inner
def _own(movers: Movers, law: _Law) -> float:
    """Return how fast a particle would sink as a draw, but for a factor that is its story's."""
    if law.story >= HANDS_OFF:
        return float(movers.sink_eas_mps[_fall(law.story), law.draw])
    return float(1.0 / movers.glide_factor[law.draw])


@inner
def _pace(movers: Movers, sink_mps: FloatArray, law: _Law, k: int) -> _Pace:
    """Return how a particle would move in a layer: the air that carries it, and its sink."""
    swarm, each = movers.swarm, sink_mps[k]
    if law.story >= HANDS_OFF:
        tas, kind = movers.scene.layers.tas_per_eas[k], _fall(law.story)
        each = tas * max(tas, 1.0) ** (-2.0 * movers.thin_exponent[kind, law.draw])
    sink = law.factor * _own(movers, law) * each - swarm.rise_mps[law.draw, k]
    east, north = swarm.home_east_mps[law.draw, k], swarm.home_north_mps[law.draw, k]
    return _Pace(float(east), float(north), sink)


@inner
def _off2(movers: Movers, story: np.int64, up_mps: float, pace: _Pace) -> float:
    """Return how far a sink is off, in the variances of its story."""
    noise = movers.noise
    sd = math.hypot(noise.up_mps[story], noise.up_ratio[story] * pace.sink_mps)
    off = up_mps / max(sd, _LEAST_SD_MPS)
    return float(off * off)


@compiled
def _strain(movers: Movers, sink_mps: FloatArray, cloud: Cloud, out: FloatArray) -> None:
    """Fill how far each particle's sink is off its law."""
    for i in range(len(out)):
        law = _Law(cloud.story[i], cloud.draw[i], cloud.factor[i])
        k = layer_index(movers.scene.layers, cloud.amsl_m[i])
        pace = _pace(movers, sink_mps, law, k)
        drops = cloud.drop_s[i] > 0.0
        out[i] = 0.0 if drops else _off2(movers, law.story, cloud.off_mps[i, 2], pace)


@inner
def _try_draw(
    movers: Movers, sink_mps: FloatArray, cloud: Cloud, i: int, tries: Tries, least_off2: float
) -> None:
    """Put a particle into another draw's law, if it fits its sink as well, or by chance worse.

    It keeps the speed that it was seen to have: what the other law does not explain is its error.
    """
    story = cloud.story[i]
    if story in (CARRIED, FLOATING, GROUND):
        return
    law, k = _Law(story, cloud.draw[i], cloud.factor[i]), layer_index(movers.scene.layers,
                                                                      cloud.amsl_m[i])  # fmt: skip
    other = _Law(story, tries.draw[i], 1.0)
    if tries.near[i]:
        near = math.log(law.factor * _own(movers, law) / _own(movers, other))
        other = _Law(story, tries.draw[i], math.exp(near + tries.log_step[i]))
    was, new = _pace(movers, sink_mps, law, k), _pace(movers, sink_mps, other, k)
    off, flies = cloud.off_mps[i], cloud.drop_s[i] <= 0.0
    # a drop tells nothing of a glide: any draw's will do
    up_mps = off[2] + (new.sink_mps - was.sink_mps) if flies else off[2]
    before = _off2(movers, story, off[2], was) if flies else 0.0
    after = _off2(movers, story, up_mps, new) if flies else 0.0
    if before <= least_off2 or not math.log(tries.even[i]) < 0.5 * (before - after):
        return
    cloud.draw[i], cloud.factor[i] = other.draw, other.factor
    off[0] += was.east_mps - new.east_mps
    off[1] += was.north_mps - new.north_mps
    off[2] = up_mps


@inner
def _last_longer(cloud: Cloud, i: int, longer: float) -> None:
    """Let a drop take so many times as long from where it is level on."""
    more_s = cloud.drop[i, 2] * (longer - 1.0)
    if cloud.drop_s[i] > 0.0 and cloud.drop_s[i] + more_s > 0.0:
        cloud.drop[i, 2] += more_s
        cloud.drop_s[i] += more_s


@inner
def _turn(movers: Movers, cloud: Cloud, i: int, tries: Tries, bounds: Bounds) -> None:
    """Let a particle make for another field; on its way it has kept no heading to that yet."""
    on_way = cloud.story[i] == GLIDING and cloud.drop_s[i] <= 0.0 and cloud.over[i] == 0
    if not tries.turns[i] < (bounds.turns_ratio if on_way else bounds.other_ratio):
        return
    cloud.down_way[i] = tries.down_way[i]
    if tries.goal[i] == cloud.goal[i] or cloud.over[i] != 0:
        return
    cloud.goal[i] = tries.goal[i]
    if not on_way:
        return
    k = layer_index(movers.scene.layers, cloud.amsl_m[i])
    tas_mps = movers.speeds.fastest_mps[k] * movers.scene.layers.tas_per_eas[k]
    noise_mps = movers.noise.level_ratio[GLIDING] * _USUAL_RATIO * tas_mps
    cloud.off_mps[i, 0] = cloud.off_mps[i, 1] = 0.0
    cloud.spread[i, 0, 1], cloud.spread[i, 0, 2] = 0.0, noise_mps * noise_mps


@compiled
def _try_all(
    movers: Movers,
    sink_mps: FloatArray,
    cloud: Cloud,
    tries: Tries,
    bounds: Bounds,
) -> None:
    for i in range(len(tries.again)):
        least_off2 = -1.0 if tries.again[i] else bounds.strained
        _try_draw(movers, sink_mps, cloud, i, tries, least_off2)
        if tries.again[i]:
            _last_longer(cloud, i, tries.longer[i])
            _turn(movers, cloud, i, tries, bounds)


def strains(movers: Movers, sink_mps: FloatArray, cloud: Cloud) -> FloatArray:
    """Return how far each particle's sink is off its law, in variances, (n,); 0 in a drop.

    `sink_mps` (n_layers,): of a glider at its best speed.
    """
    out = np.empty(len(cloud.story))
    _strain(movers, sink_mps, cloud, out)
    return out


def tried(
    movers: Movers, sink_mps: FloatArray, cloud: Cloud, tries: Tries, bounds: Bounds
) -> Cloud:
    """Return particles of which those taken `again`, and strained ones, try another draw's law.

    Those taken again may also slow down for longer after their release, make for another field, or
    fly off their height there in another way. Of the wind the other law's sink says nothing: what
    was seen to be off here stays off for a while, in the air of any draw. `sink_mps`: as `strains`.
    Source: a Metropolis-Hastings move after resampling, Gilks & Berzuini, J. R. Stat. Soc. B 63
    (2001), 127, from memory.
    """
    found = Cloud._make(one.copy() for one in cloud)
    _try_all(movers, sink_mps, found, tries, bounds)
    return found
