"""Dives: how each draw comes down over a field from above all wind that is faster than it.

Who comes over a field up there ends as every other flight of the same draw does: it is flown once.
"""

from typing import NamedTuple

import numpy as np

from farglide.arrays import BoolArray, FloatArray, SingleArray
from farglide.kernel import compiled, inner
from farglide.sim.core.march import is_above
from farglide.sim.core.release import Goals, Releases, field_offset
from farglide.sim.core.scene import Scene, _errors_home
from farglide.sim.core.step import Errors, layer_index
from farglide.sim.core.tracks import Point
from farglide.sim.core.workers import Stretch, Workers, in_one_go
from farglide.sim.fly.homing import Goal, Homer, is_over
from farglide.sim.fly.strides import dive_stride, home_stride
from farglide.sim.reach.bearings import N_BEARING
from farglide.sim.reach.doors import Floors
from farglide.sim.reach.holding import Holder, is_outrun
from farglide.sim.reach.reaches import Reaches, fill_level


class Arrival(NamedTuple):
    """Whether a flight comes down to the arrival height over its field, and when at the soonest."""

    over: bool
    t_s: float


class Dives(NamedTuple):
    """Dives of every draw, (n_draws, n_levels), and what the tables say where they begin."""

    top_amsl_m: FloatArray
    over: BoolArray  # at the end
    takes_s: FloatArray  # from the top to the arrival height
    free: SingleArray  # (n_draws, n_levels, N_BEARING) at the top
    priced: SingleArray  # (n_prices, n_draws, n_levels, N_BEARING)


@inner
def led_down(
    scene: Scene, errors: Errors, homer: Homer, goal: Goal, at: Point, to_amsl_m: float, over: bool
) -> tuple[Point, bool]:
    """Return where a flight straight to the field comes to a height, and whether over the field.

    Over it, it comes down as fast as it may; blown off by a wind faster than it is, it flies back.
    """
    while is_above(at, to_amsl_m):
        if over:
            at = dive_stride(scene, errors, homer, at, to_amsl_m)
            over = is_over(scene, at, goal)
        else:
            at, over = home_stride(scene, errors, homer, goal, at)
    return at, over


@inner
def arrival_of(
    scene: Scene, errors: Errors, homer: Homer, goal: Goal, at: Point, arrival_m: float, over: bool
) -> Arrival:
    """Return how a flight straight to the field, or `over` it already, arrives."""
    at, over = led_down(scene, errors, homer, goal, at, arrival_m, over)
    return Arrival(over and at.amsl_m >= arrival_m - 1e-3, at.t_s)


@inner
def _top_m(scene: Scene, errors: Errors, holder: Holder, low_m: float) -> float:
    """Return the upper edge of the highest layer whose wind is faster than the glider."""
    layers = scene.layers
    for k in range(len(layers.rho_kgpm3) - 1, layer_index(layers, low_m), -1):
        if is_outrun(scene, errors, holder, k):
            return layers.base_amsl_m + (k + 1) * layers.step_m
    return low_m


@compiled
def _dive_some(
    scene: Scene, releases: Releases, reaches: Reaches, floors: Floors, some: Stretch, out: Dives
) -> None:
    """Fly one dive of draws `some` for each of the fields; `floors`: one field a level."""
    goals, haste = floors.goals, releases.haste
    for i in range(some.first, some.last):
        errors = _errors_home(releases.swarm, i)
        homer = Homer(reaches.craft.polar, haste.glide_factor[i], reaches.speeds, 0)
        holder = Holder(reaches.craft, reaches.speeds, haste.glide_factor[i])
        for f in range(len(goals.north_rad)):
            level, arrival_m = floors.level[f], goals.arrival_amsl_m[f]
            there = field_offset(goals, f)
            goal = Goal(there.north_rad, there.east_rad, goals.ground_amsl_m[f], 1.0, 0.0, 0.0)
            top_m = _top_m(scene, errors, holder, arrival_m)
            at = Point(0.0, top_m, there.north_rad, there.east_rad)
            end = arrival_of(scene, errors, homer, goal, at, arrival_m, True)
            out.top_amsl_m[i, level] = top_m
            out.over[i, level], out.takes_s[i, level] = end.over, end.t_s
            fill_level(reaches, i, level, top_m, out.free, out.priced)


def dives_of(
    scene: Scene, releases: Releases, reaches: Reaches, floors: Floors, workers: Workers = in_one_go
) -> Dives:
    """Return the dives of all draws, one for each level of the fields."""
    n, n_levels = floors.free.shape[:2]
    first = np.unique(floors.level, return_index=True)[1]
    goals = Goals(*(one[first] for one in floors.goals))
    each = floors._replace(goals=goals, level=floors.level[first])
    out = Dives(
        np.zeros((n, n_levels)),
        np.zeros((n, n_levels), np.bool_),
        np.zeros((n, n_levels)),
        np.empty((n, n_levels, N_BEARING), np.float32),
        np.empty((len(reaches.price_mps), n, n_levels, N_BEARING), np.float32),
    )
    workers(lambda a, b: _dive_some(scene, releases, reaches, each, Stretch(a, b), out), n)
    return out
