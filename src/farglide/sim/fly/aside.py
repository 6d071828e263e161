"""Aside: flights that a cross wind sets off their straight track: do they come home, when flown?"""

from typing import Final

import numpy as np

from farglide.arrays import BoolArray
from farglide.kernel import inner, roomy
from farglide.sim.core.release import Releases, begun_from, field_offset
from farglide.sim.core.scene import Scene, _errors_home
from farglide.sim.core.states import States
from farglide.sim.core.step import Errors, Offset, apart_m
from farglide.sim.core.tracks import Point
from farglide.sim.core.workers import Stretch, Workers, in_one_go
from farglide.sim.fly.dives import Dives, arrival_of, dives_of, led_down
from farglide.sim.fly.homing import Goal, Homer
from farglide.sim.reach.bearings import N_BEARING, Line, ahead_on, line_to
from farglide.sim.reach.doors import IN_TIME, REACHED, SET_ASIDE, Doors, Floors, Room, in_time
from farglide.sim.reach.reach import Descent
from farglide.sim.reach.reaches import Reaches, fill_priced
from farglide.sim.reach.straight import fill_row, is_beaten

_GOLDEN: Final = 0.6180339887498949
_N_HALVINGS: Final = 6
"""A 64th of the way down: some 300 m of height, a quarter of a minute."""


@inner
def _from_above(
    reaches: Reaches,
    dives: Dives,
    i: int,
    level: int,
    line: Line,
    at: Point,
    left_s: float,
    room: Room,
) -> int:
    """Return the state of a flight that comes over its field above all wind faster than it.

    SET_ASIDE where the tables do not say that it does, or not in time.
    """
    top_m, low = dives.top_amsl_m[i, level], dives.free[i, level]
    if at.amsl_m < top_m or ahead_on(line, room.free, low) < line.away_m:
        return SET_ASIDE
    if is_beaten(reaches.free, i, line, Descent(at.amsl_m, top_m)):
        return SET_ASIDE
    if not dives.over[i, level]:
        return 0
    left_s -= dives.takes_s[i, level]
    if in_time(reaches, dives.priced, i, level, line, left_s, room):
        return REACHED | IN_TIME
    return SET_ASIDE


@inner
def _mixed_in_time(
    scene: Scene,
    errors: Errors,
    dear: Homer,
    cheap: Homer,
    goal: Goal,
    at: Point,
    arrival_m: float,
    end_s: float,
) -> bool:
    """Tell whether some way home is in time that is flown dearly from the top, cheaply below.

    All dear it falls short of the field, all cheap it is late. Halved for the height between.
    """
    high_m, low_m = at.amsl_m, arrival_m
    for _ in range(_N_HALVINGS):
        middle_m = 0.5 * (high_m + low_m)
        there, over = led_down(scene, errors, dear, goal, at, middle_m, False)
        arrival = arrival_of(scene, errors, cheap, goal, there, arrival_m, over)
        if not arrival.over:
            low_m = middle_m
        elif arrival.t_s <= end_s:
            return True
        else:
            high_m = middle_m
    return False


@inner
def _flown_state(
    scene: Scene,
    errors: Errors,
    releases: Releases,
    reaches: Reaches,
    i: int,
    goal: Goal,
    at: Point,
    arrival_m: float,
) -> int:
    """Return the state of a flight that is flown: at rising prices of a second until in time."""
    haste, speeds, state = releases.haste, reaches.speeds, 0
    end_s = haste.end_s[i]
    cheap = Homer(reaches.craft.polar, haste.glide_factor[i], speeds, 0)
    for row in range(len(speeds.price_mps)):
        homer = Homer(reaches.craft.polar, haste.glide_factor[i], speeds, row)
        arrival = arrival_of(scene, errors, homer, goal, at, arrival_m, False)
        if arrival.over and arrival.t_s <= end_s:
            return REACHED | IN_TIME
        if not arrival.over:
            mixed = row > 0 and _mixed_in_time(
                scene, errors, homer, cheap, goal, at, arrival_m, end_s
            )
            return state | IN_TIME if mixed else state
        state = REACHED
        if at.t_s >= end_s:
            break
        cheap = homer
    return state


@roomy
def _flown_some(
    scene: Scene,
    releases: Releases,
    states: States,
    reaches: Reaches,
    floors: Floors,
    dives: Dives,
    every: int,
    some: Stretch,
    doors: Doors,
) -> None:
    """Fly what is set aside at every n-th moment of draws `some`."""
    goals, n_prices = floors.goals, len(reaches.price_mps)
    room = Room(np.empty(N_BEARING, np.float32), np.empty((n_prices, N_BEARING), np.float32))
    for i in range(some.first, some.last):
        errors = _errors_home(releases.swarm, i)
        for j in range(0, states.amsl_m.shape[1], every):
            filled = False
            for f in range(len(goals.north_rad)):
                if doors.state[i, j, f] != SET_ASIDE:
                    continue
                at = begun_from(scene, releases, states, i, j)
                if not filled:
                    fill_row(reaches.free, i, at.amsl_m, room.free)
                    fill_priced(reaches, i, at.amsl_m, room.priced)
                    filled = True
                there, level = field_offset(goals, f), floors.level[f]
                away = apart_m(scene.frame, Offset(at.north_rad, at.east_rad), there)
                line = line_to(away.east_m, away.north_m)
                left_s = releases.haste.end_s[i] - at.t_s
                state = _from_above(reaches, dives, i, level, line, at, left_s, room)
                if state == SET_ASIDE:
                    ground_m, arrival_m = goals.ground_amsl_m[f], goals.arrival_amsl_m[f]
                    goal = Goal(there.north_rad, there.east_rad, ground_m, 1.0, 0.0, 0.0)
                    state = _flown_state(scene, errors, releases, reaches, i, goal, at, arrival_m)
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
    dives = dives_of(scene, releases, reaches, floors, workers)
    workers(
        lambda a, b: _flown_some(
            scene, releases, states, reaches, floors, dives, every, Stretch(a, b), doors
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
