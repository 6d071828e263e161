"""Aside: flights that a cross wind sets off their straight track: do they come home, when flown?"""

from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import BoolArray
from farglide.kernel import compiled, inner
from farglide.sim.core.march import is_above
from farglide.sim.core.release import Releases, begun_from, field_offset
from farglide.sim.core.scene import Scene, _errors_home
from farglide.sim.core.states import States
from farglide.sim.core.step import Errors
from farglide.sim.core.tracks import Point
from farglide.sim.core.workers import Stretch, Workers, in_one_go
from farglide.sim.fly.homing import Goal, Homer, dive_layer, home_layer, is_over
from farglide.sim.reach.doors import IN_TIME, REACHED, SET_ASIDE, Doors, Floors
from farglide.sim.reach.reaches import Reaches

_GOLDEN: Final = 0.6180339887498949


class Arrival(NamedTuple):
    """Whether a flight comes down to the arrival height over its field, and when at the soonest."""

    over: bool
    t_s: float


@inner
def arrival_of(
    scene: Scene, errors: Errors, homer: Homer, goal: Goal, at: Point, arrival_m: float
) -> Arrival:
    """Return how a flight straight to the field arrives; over it, it comes down as fast as it may.

    Blown off by a wind faster than the glider it flies back.
    """
    over = False
    while is_above(at, arrival_m):
        if over:
            at = dive_layer(scene, errors, homer, at, arrival_m)
            over = is_over(scene, at, goal)
        else:
            at, over = home_layer(scene, errors, homer, goal, at)
    return Arrival(over and at.amsl_m >= arrival_m - 1e-3, at.t_s)


@compiled
def _flown_some(
    scene: Scene,
    releases: Releases,
    states: States,
    reaches: Reaches,
    floors: Floors,
    every: int,
    some: Stretch,
    doors: Doors,
) -> None:
    """Fly what is set aside at every n-th moment of draws `some`."""
    goals, speeds, haste = floors.goals, reaches.speeds, releases.haste
    for i in range(some.first, some.last):
        errors = _errors_home(releases.swarm, i)
        for j in range(0, states.amsl_m.shape[1], every):
            for f in range(len(goals.north_rad)):
                if doors.state[i, j, f] != SET_ASIDE:
                    continue
                at = begun_from(scene, releases, states, i, j)
                ground_m, arrival_m = goals.ground_amsl_m[f], goals.arrival_amsl_m[f]
                there, state = field_offset(goals, f), 0
                goal = Goal(there.north_rad, there.east_rad, ground_m, 1.0, 0.0, 0.0)
                for row in range(len(speeds.price_mps)):
                    homer = Homer(reaches.craft.polar, haste.glide_factor[i], speeds, row)
                    arrival = arrival_of(scene, errors, homer, goal, at, arrival_m)
                    if not arrival.over:
                        break
                    state = REACHED
                    if arrival.t_s <= haste.end_s[i]:
                        state = REACHED | IN_TIME
                    if arrival.t_s <= haste.end_s[i] or at.t_s >= haste.end_s[i]:
                        break
                doors.state[i, j, f] = state


def with_flown(
    scene: Scene,
    releases: Releases,
    states: States,
    reaches: Reaches,
    floors: Floors,
    doors: Doors,
    workers: Workers = in_one_go,
    most: int = 60_000,
) -> Doors:
    """Return doors in which nothing is left open: what is set aside has been flown.

    Where more than `most` would have to be flown, it is every n-th moment: between two of them some
    draws take the answer of the one before and some of the one after, so many that shares change
    evenly.
    """
    aside = doors.state == SET_ASIDE
    n_aside = int(aside.sum())
    if not n_aside:
        return doors
    every = -(-n_aside // most)
    workers(
        lambda a, b: _flown_some(
            scene, releases, states, reaches, floors, every, Stretch(a, b), doors
        ),
        len(doors.state),
    )
    if every > 1:
        _fill_between(doors, aside, every)
    return doors


def _fill_between(doors: Doors, aside: BoolArray, every: int) -> None:
    """Fill moments between those flown with the answers of those around."""
    n_draws, n_moments, _ = doors.state.shape
    moments, turn = np.arange(n_moments), np.mod(_GOLDEN * np.arange(n_draws), 1.0)
    before, last = moments // every * every, (n_moments - 1) // every * every
    later = turn[:, None] < ((moments - before) / every)[None, :]
    taken = np.minimum(before[None, :] + every * later, last)
    answers = np.take_along_axis(doors.state, taken[:, :, None], axis=1)
    doors.state[aside] = answers[aside]
