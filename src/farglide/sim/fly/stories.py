"""Stories: particles moved on in time, each by the law of its story, and how sure each place is."""

from typing import Final

import numpy as np

from farglide.arrays import FloatArray
from farglide.atlas.posts import ground_amsl_m, row_column
from farglide.errors import InputError
from farglide.kernel import compiled, inner
from farglide.sim.core.march import Velocity, carried
from farglide.sim.core.tracks import Point, between
from farglide.sim.core.wind import cell_at
from farglide.sim.fly.homing import is_over
from farglide.sim.fly.particles import (
    CARRIED,
    CIRCLES,
    DROPPING,
    FLOATING,
    GLIDING,
    GROUND,
    TANGLED,
    Cloud,
    Movers,
)
from farglide.sim.fly.ways import Gone, goal_of, gone_by_law, hangs_still

_STEP_S: Final = 5.0
_DROP_STEP_S: Final = 2.0
_UNEVEN_RATIO: Final = 5.0
"""What begins to fly otherwise may rise and sink so many times as unevenly as later on."""


@inner
def _widen(spread: FloatArray, sd_mps: float, seconds: float, kept: float, holds_s: float) -> None:
    """Carry variances on over a step in which the error of the speed keeps a share."""
    place, both, speed = spread[0], spread[1], spread[2]
    new, reach_s = sd_mps * sd_mps, holds_s * (1.0 - kept)
    spread[0] = (
        place + 2.0 * reach_s * both + reach_s * reach_s * speed
        + new * holds_s * (2.0 * seconds - holds_s * (3.0 - 4.0 * kept + kept * kept))
    )  # fmt: skip
    spread[1] = kept * (both + reach_s * speed) + new * reach_s * (1.0 - kept)
    spread[2] = kept * kept * speed + new * (1.0 - kept * kept)


@inner
def _noise_row(cloud: Cloud, i: int) -> np.int64:
    """Return by which row of the noise a particle goes."""
    if cloud.drop_s[i] <= 0.0:
        return cloud.story[i]
    return CARRIED if hangs_still(cloud, i) else DROPPING


@inner
def _put_off(movers: Movers, cloud: Cloud, i: int, gone: Gone, seconds: float) -> Point:
    """Return where a particle is with its own error of speed, and widen what is not known of it."""
    noise, story = movers.noise, _noise_row(cloud, i)
    holds_s = noise.holds_s[story]
    kept = np.exp(-seconds / holds_s)
    reach_s = holds_s * (1.0 - kept)
    sink_mps = (cloud.amsl_m[i] - gone.at.amsl_m) / seconds
    level = np.hypot(noise.level_mps[story], noise.level_ratio[story] * gone.level_mps)
    up = np.hypot(noise.up_mps[story], noise.up_ratio[story] * sink_mps)
    _widen(cloud.spread[i, 0], level, seconds, kept, holds_s)
    _widen(cloud.spread[i, 1], up, seconds, kept, holds_s)
    off = cloud.off_mps[i]
    cell = cell_at(movers.scene, gone.at)
    drift = Velocity(off[0], off[1], -off[2])
    moved = carried(movers.scene, cell, gone.at, drift, reach_s)
    off[0] *= kept
    off[1] *= kept
    off[2] *= kept
    return Point(gone.at.t_s, moved.amsl_m, moved.north_rad, moved.east_rad)


@inner
def _ground_m(movers: Movers, at: Point) -> float:
    """Return the height of the ground below a place."""
    frame = movers.scene.frame
    lat_rad, lon_rad = frame.lat_rad + at.north_rad, frame.lon_rad + at.east_rad
    row, column = row_column(movers.ground, lat_rad, lon_rad)
    found = ground_amsl_m(movers.ground, row, column)
    # the march ends where the air does
    return max(movers.flat_amsl_m if np.isnan(found) else found, movers.scene.layers.base_amsl_m)


@inner
def _put(cloud: Cloud, i: int, at: Point, gone: Gone) -> None:
    cloud.amsl_m[i], cloud.north_rad[i], cloud.east_rad[i] = at.amsl_m, at.north_rad, at.east_rad
    cloud.speed_mps[i], cloud.heading_rad[i] = gone.speed_mps, gone.heading_rad


@inner
def _changed(movers: Movers, cloud: Cloud, i: int, was: Point, at: Point) -> None:
    """Turn a particle whose balloon has burst, or that has come down, into what it is now."""
    d, hangs = cloud.draw[i], cloud.story[i] in (CARRIED, FLOATING)
    burst_s = movers.floats.burst_s[d] if cloud.story[i] == FLOATING else movers.burst_s[d]
    if hangs and was.t_s < burst_s <= at.t_s:
        cloud.story[i], cloud.speed_mps[i] = TANGLED, 0.0
    ground_m = _ground_m(movers, at)
    if at.amsl_m > ground_m:
        return
    cloud.was[i], cloud.story[i] = cloud.story[i], GROUND
    lost_m = was.amsl_m - at.amsl_m
    share = min(max((was.amsl_m - ground_m) / lost_m, 0.0), 1.0) if lost_m > 0.0 else 1.0
    down = between(was, at, share)
    cloud.down_s[i], cloud.amsl_m[i] = down.t_s, ground_m
    cloud.north_rad[i], cloud.east_rad[i] = down.north_rad, down.east_rad
    cloud.heading_rad[i] = np.nan
    for j in range(3):
        cloud.off_mps[i, j] = 0.0
        cloud.spread[i, 1, j] = 0.0
    cloud.spread[i, 0, 1] = cloud.spread[i, 0, 2] = 0.0


@inner
def _begin_anew(movers: Movers, cloud: Cloud, i: int, level_mps: float) -> None:
    """Forget what a particle's speed was off where another law begins; `level_mps`: its airspeed.

    A heading kept wrongly to one field says nothing of that to another, or of circles over it.
    """
    noise, story, spread = movers.noise, cloud.story[i], cloud.spread[i]
    level = np.hypot(noise.level_mps[story], noise.level_ratio[story] * level_mps)
    for j in range(3):
        cloud.off_mps[i, j] = 0.0
    spread[0, 1] = spread[1, 1] = 0.0
    spread[0, 2], spread[1, 2] = level * level, (_UNEVEN_RATIO * noise.up_mps[story]) ** 2


@inner
def _stride_s(cloud: Cloud, i: int, left_s: float) -> float:
    """Return how long a particle goes on by one law: a step, or to the next turn of its drop."""
    step_s, drop_s = min(left_s, _STEP_S), cloud.drop_s[i]
    if drop_s <= 0.0:
        return step_s
    if hangs_still(cloud, i):
        return min(step_s, drop_s - cloud.drop[i, 0] - cloud.drop[i, 2])
    return min(step_s, _DROP_STEP_S, drop_s)


@inner
def _dropped_on(movers: Movers, cloud: Cloud, i: int, gone: Gone, seconds: float) -> None:
    """Bring a drop on; at its end forget what its speed was off: from there it makes its way."""
    if cloud.drop_s[i] <= 0.0:
        return
    cloud.drop_s[i] -= seconds
    if cloud.drop_s[i] > 1e-9 or cloud.story[i] == GROUND:
        return
    cloud.drop_s[i] = 0.0
    _begin_anew(movers, cloud, i, gone.level_mps)


@inner
def _take_field(movers: Movers, cloud: Cloud, i: int, at: Point) -> None:
    """Let a glider that comes over another field than its own stay there, if it goes down fast."""
    if cloud.story[i] != GLIDING or cloud.down_way[i] == CIRCLES or cloud.over[i] == 1:
        return
    for f in range(len(movers.goals.north_rad)):
        if cloud.goal[i] != f and is_over(movers.scene, at, goal_of(movers, f)):
            cloud.goal[i] = f
            _begin_anew(movers, cloud, i, 0.0)


@compiled
def _move_all(movers: Movers, cloud: Cloud, from_s: float, seconds: float) -> None:
    """Move all particles on."""
    for i in range(len(cloud.story)):
        left_s, t_s = seconds, from_s
        while left_s > 1e-9 and cloud.story[i] != GROUND:
            step_s = _stride_s(cloud, i, left_s)
            was = Point(t_s, cloud.amsl_m[i], cloud.north_rad[i], cloud.east_rad[i])
            _take_field(movers, cloud, i, was)
            gone = gone_by_law(movers, cloud, i, was, step_s)
            if gone.over != cloud.over[i]:
                cloud.over[i] = gone.over
                _begin_anew(movers, cloud, i, 0.0)
            at = _put_off(movers, cloud, i, gone, step_s)
            _put(cloud, i, at, gone)
            _changed(movers, cloud, i, was, at)
            _dropped_on(movers, cloud, i, gone, step_s)
            left_s, t_s = left_s - step_s, t_s + step_s


def moved(movers: Movers, cloud: Cloud, from_s: float, seconds: float) -> Cloud:
    """Return particles after a time, from a moment after the launch.

    Each goes by the law of its story: carried as its draw climbs, afloat at its height or sinking
    from it, gliding to its field, falling, or lying on the ground; a balloon bursts where its
    draw's does, one that floats by a law of its own. To that
    comes the error of its speed, Gaussian and hanging together, as mean and variance: so what is
    not known of a particle's own way is carried exactly, and nothing is drawn.
    Valid: a day at most. Raises InputError. Source: mean and covariance of an integrated
    Ornstein-Uhlenbeck process, Gillespie, Phys. Rev. E 54 (1996) 2084, from memory.
    """
    if not 0.0 <= seconds <= 86_400.0:
        remedy = "Give observations in the order of their times."
        raise InputError("seconds", f"{seconds:g} s", "0 to 86 400 s", remedy)
    found = Cloud._make(one.copy() for one in cloud)
    _move_all(movers, found, float(from_s), float(seconds))
    return found
