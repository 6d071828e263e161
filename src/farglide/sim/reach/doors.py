"""Doors: for every draw, moment and field, whether a glider released then can come down there."""

from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import BoolArray, ByteArray, FloatArray, IntArray, SingleArray
from farglide.errors import InputError
from farglide.kernel import inner, laned
from farglide.sim.core.release import Goals, Releases, begun_from, field_offset
from farglide.sim.core.scene import Scene, _errors_home
from farglide.sim.core.states import States
from farglide.sim.core.step import Offset, apart_m
from farglide.sim.core.workers import Stretch, Workers, in_one_go
from farglide.sim.reach.bearings import N_BEARING, Line, ahead_on, line_to, turned
from farglide.sim.reach.holding import Holder, held_up_to
from farglide.sim.reach.reach import Descent
from farglide.sim.reach.reaches import Reaches, fill_level, fill_priced
from farglide.sim.reach.straight import fill_row, is_beaten

REACHED: Final = 1
"""In reach by height, and the field can be held down to the ground."""
IN_TIME: Final = 2
"""In reach before packs and light end."""
SET_ASIDE: Final = 4
"""A cross wind on the way beats every speed allowed: such a flight has to be flown."""
_HOPE_RATIO: Final = 1.3
_HOPE_M: Final = 20_000.0
_ASIDE_RATIO: Final = 2.0
_SHORT_M: Final = 10_000.0
"""Flights set aside end off their track: none farther off than this, and none that falls short of
its field by more than twice the way it is set aside and 10 km, makes it (see the tests)."""


class Floors(NamedTuple):
    """What the tables say at the fields themselves: the same for every question.

    Fields of one height share a level.
    """

    goals: Goals
    level: IntArray  # (n_fields,)
    free: SingleArray  # (n_draws, n_levels, N_BEARING) at the arrival height
    priced: SingleArray  # (n_prices, n_draws, n_levels, N_BEARING)
    held: BoolArray  # (n_draws, n_levels) holdable from the arrival height to the ground


class Doors(NamedTuple):
    """Answers of shape (n_draws, n_moments, n_fields)."""

    state: ByteArray  # 0, REACHED, REACHED | IN_TIME, or SET_ASIDE
    margin_m: FloatArray  # how far inside (or, negative, outside) the reach the field lies


class Room(NamedTuple):
    """Room for one state's rows of the tables."""

    free: SingleArray  # (N_BEARING,)
    priced: SingleArray  # (n_prices, N_BEARING)


@laned
def _floors_some(
    scene: Scene, releases: Releases, reaches: Reaches, some: Stretch, out: Floors
) -> None:
    goals = out.goals
    for i in range(some.first, some.last):
        errors = _errors_home(releases.swarm, i)
        holder = Holder(reaches.craft, reaches.speeds, releases.haste.glide_factor[i])
        for f in range(len(goals.north_rad)):
            level, arrival_m = out.level[f], goals.arrival_amsl_m[f]
            fill_level(reaches, i, level, arrival_m, out.free, out.priced)
            down = Descent(arrival_m, goals.ground_amsl_m[f])
            out.held[i, level] = held_up_to(scene, errors, holder, down) >= arrival_m


def floors_of(
    scene: Scene, releases: Releases, reaches: Reaches, goals: Goals, workers: Workers = in_one_go
) -> Floors:
    """Return the floors of all draws at these fields. Raises InputError without tables."""
    _check_tables(releases, reaches)
    n, n_prices = len(releases.haste.end_s), len(reaches.price_mps)
    heights = np.stack([goals.ground_amsl_m, goals.arrival_amsl_m])
    distinct, level = np.unique(heights, axis=1, return_inverse=True)
    n_levels = distinct.shape[1]
    out = Floors(
        goals,
        np.ascontiguousarray(level, dtype=np.int64).reshape(-1),
        np.empty((n, n_levels, N_BEARING), np.float32),
        np.empty((n_prices, n, n_levels, N_BEARING), np.float32),
        np.zeros((n, n_levels), np.bool_),
    )
    workers(lambda a, b: _floors_some(scene, releases, reaches, Stretch(a, b), out), n)
    return out


@inner
def _inside_m(line: Line, high: SingleArray, low: SingleArray) -> float:
    """Return how far inside a straight track's reach the end of a line lies.

    Not farther than the best speeds get, and not nearer than the wind carries it at the best speeds
    the other way: flown backwards on a bearing is flown forwards on the opposite one.
    """
    ahead_m = ahead_on(line, high, low) - line.away_m
    back_m = ahead_on(turned(line), high, low) + line.away_m
    return min(ahead_m, back_m)


@inner
def in_time(
    reaches: Reaches, priced: SingleArray, i: int, level: int, line: Line, left_s: float, room: Room
) -> bool:
    """Tell whether a field in reach by height is so within a time, at every price of a second.

    What is left over, H(b, q) - d + price x seconds, is convex in the price: once it rises both
    ways, the dearer ones have nothing to add.
    """
    ahead_was = back_was = np.inf
    back = turned(line)
    for q in range(len(reaches.price_mps)):
        low, gained_m = priced[q, i, level], reaches.price_mps[q] * left_s
        ahead_m = ahead_on(line, room.priced[q], low) - line.away_m + gained_m
        back_m = ahead_on(back, room.priced[q], low) + line.away_m + gained_m
        if ahead_m < 0.0 or back_m < 0.0:
            return False
        if ahead_m >= ahead_was and back_m >= back_was:
            return True
        ahead_was, back_was = ahead_m, back_m
    return True


@inner
def _hopes(line: Line, high: SingleArray, low: SingleArray, aside_m: SingleArray) -> bool:
    """Tell whether a flight that is set aside on its way may come home at all."""
    aside = max(aside_m[line.first], aside_m[(line.first + 1) % N_BEARING])
    if _inside_m(line, high, low) < -_ASIDE_RATIO * aside - _SHORT_M:
        return False
    return line.away_m < _HOPE_RATIO * max(ahead_on(line, high, low), 0.0) + _HOPE_M


@laned
def _doors_some(
    scene: Scene,
    releases: Releases,
    states: States,
    reaches: Reaches,
    floors: Floors,
    some: Stretch,
    out: Doors,
) -> None:
    """Fill the doors of draws `some` in their states."""
    goals, n_prices = floors.goals, len(reaches.price_mps)
    room = Room(np.empty(N_BEARING, np.float32), np.empty((n_prices, N_BEARING), np.float32))
    for i in range(some.first, some.last):
        for j in range(states.amsl_m.shape[1]):
            if np.isnan(states.amsl_m[i, j]):
                continue
            at = begun_from(scene, releases, states, i, j)
            here = Offset(at.north_rad, at.east_rad)
            fill_row(reaches.free, i, at.amsl_m, room.free)
            left_s = releases.haste.end_s[i] - at.t_s
            filled = False
            for f in range(len(goals.north_rad)):
                level, arrival_m = floors.level[f], goals.arrival_amsl_m[f]
                if not at.amsl_m >= arrival_m:
                    out.margin_m[i, j, f] = -np.inf
                    continue
                away = apart_m(scene.frame, here, field_offset(goals, f))
                line, low = line_to(away.east_m, away.north_m), floors.free[i, level]
                margin_m = _inside_m(line, room.free, low)
                out.margin_m[i, j, f] = margin_m
                if not floors.held[i, level]:
                    continue
                if is_beaten(reaches.free, i, line, Descent(at.amsl_m, arrival_m)):
                    if _hopes(line, room.free, low, reaches.free.aside_m[i]):
                        out.state[i, j, f] = SET_ASIDE
                    continue
                if margin_m < 0.0:
                    continue
                out.state[i, j, f] = REACHED
                if left_s <= 0.0:
                    continue
                if not filled:
                    fill_priced(reaches, i, at.amsl_m, room.priced)
                    filled = True
                if in_time(reaches, floors.priced, i, level, line, left_s, room):
                    out.state[i, j, f] = REACHED | IN_TIME


def doors(
    scene: Scene,
    releases: Releases,
    states: States,
    reaches: Reaches,
    floors: Floors,
    workers: Workers = in_one_go,
) -> Doors:
    """Return for each draw, moment and field whether a flight from there can still end on it.

    What still hangs on a balloon, or falls with its remains, is released at that moment; what
    glides goes on. `floors`: of the fields. What is set aside is left to `fly.aside`.
    """
    _check_tables(releases, reaches)
    n, n_fields = len(releases.haste.end_s), len(floors.goals.north_rad)
    shape = (n, states.amsl_m.shape[1], n_fields)
    out = Doors(np.zeros(shape, np.uint8), np.full(shape, np.nan))
    workers(
        lambda a, b: _doors_some(scene, releases, states, reaches, floors, Stretch(a, b), out), n
    )
    return out


def _check_tables(releases: Releases, reaches: Reaches) -> None:
    """Refuse tables that are not one for each draw: a kernel would read beyond them."""
    n, n_prices = len(releases.haste.end_s), len(reaches.price_mps)
    told = {"free": (reaches.free, n), "priced": (reaches.priced, n_prices * n)}
    for name, (straight, wanted) in told.items():
        n_tables = len(straight.made_m)
        if n_tables != wanted:
            allowed, remedy = f"{wanted}, one for each draw", "Ask before they are let go."
            raise InputError(f"reaches.{name}", f"{n_tables} tables", allowed, remedy)
