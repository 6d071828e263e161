"""Doors: for every draw, moment and field, whether a glider released then can come down there."""

from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import BoolArray, ByteArray, FloatArray, SingleArray
from farglide.errors import InputError
from farglide.kernel import inner, laned, roomy
from farglide.sim.core.release import Goals, Releases, begun_from, field_offset
from farglide.sim.core.scene import Scene
from farglide.sim.core.states import States
from farglide.sim.core.step import Offset, apart_m
from farglide.sim.core.workers import Stretch, Workers, in_one_go
from farglide.sim.reach.reach import N_TERM, Reach
from farglide.sim.reach.rose import (
    COARSE,
    FINE,
    LANES,
    Rose,
    _along,
    _evaluate,
    _least,
    _margin,
    _support_at,
    _terms_at,
)

REACHED: Final = 1
"""In reach by height, and the field can be held down to the ground."""
IN_TIME: Final = 2
"""In reach before packs and light end."""


class Reaches(NamedTuple):
    """Reach tables at price 0 and at rising prices of time, all draws."""

    free: Reach
    priced: Reach  # row j * n_draws + i: price j, draw i
    price_mps: FloatArray


class Floors(NamedTuple):
    """What the reach tables say at the fields themselves: the same for every question.

    Free reach is asked in the directions of the fine rose, priced reach in those of the coarse one.
    """

    goals: Goals
    fine: Rose
    coarse: Rose
    free: SingleArray  # (n_draws, n_fields, 72) at the arrival height
    priced: SingleArray  # (n_prices, n_draws, n_fields, 40)
    free_coarse: SingleArray  # (n_draws, n_fields, 40) at the arrival height
    ground_coarse: SingleArray  # and at the ground
    held: BoolArray  # (n_draws, n_fields) holdable from the arrival height to the ground


class Doors(NamedTuple):
    """Answers of shape (n_draws, n_moments, n_fields)."""

    state: ByteArray  # 0, REACHED, or REACHED | IN_TIME
    margin_m: FloatArray  # how far inside (or, negative, outside) the reach the field lies


class _Room(NamedTuple):
    """Room for the work on one draw's priced reach, and the still zero."""

    terms: SingleArray  # (n_prices, N_TERM)
    high: SingleArray  # (n_prices, n_directions)
    still: SingleArray
    lanes: SingleArray


@roomy
def _floors_some(reaches: Reaches, some: Stretch, out: Floors) -> None:
    free, goals, fine, coarse = reaches.free, out.goals, out.fine, out.coarse
    n_directions = len(fine.east)
    ground, still = np.empty(n_directions, np.float32), np.empty(n_directions, np.float32)
    _along(fine, 0.0, 0.0, still)
    lanes = np.empty(LANES, np.float32)
    n_draws = out.free.shape[0]
    for i in range(some.first, some.last):
        for f in range(len(goals.north_rad)):
            arrival_m = goals.arrival_amsl_m[f]
            _support_at(free, i, arrival_m, fine, out.free[i, f])
            _support_at(free, i, goals.ground_amsl_m[f], fine, ground)
            out.held[i, f] = _margin(out.free[i, f], ground, still, lanes) >= 0.0
            _support_at(free, i, arrival_m, coarse, out.free_coarse[i, f])
            _support_at(free, i, goals.ground_amsl_m[f], coarse, out.ground_coarse[i, f])
            for q in range(out.priced.shape[0]):
                _support_at(reaches.priced, q * n_draws + i, arrival_m, coarse, out.priced[q, i, f])


def floors_of(reaches: Reaches, goals: Goals, workers: Workers = in_one_go) -> Floors:
    """Return the floors of all draws at these fields."""
    n, n_fields = reaches.free.series.shape[0], len(goals.north_rad)
    out = Floors(
        goals,
        FINE,
        COARSE,
        np.empty((n, n_fields, len(FINE.east)), np.float32),
        np.empty((len(reaches.price_mps), n, n_fields, len(COARSE.east)), np.float32),
        np.empty((n, n_fields, len(COARSE.east)), np.float32),
        np.empty((n, n_fields, len(COARSE.east)), np.float32),
        np.zeros((n, n_fields), np.bool_),
    )
    workers(lambda a, b: _floors_some(reaches, Stretch(a, b), out), n)
    return out


@inner
def _fill_priced(
    reaches: Reaches, rose: Rose, i: int, amsl_m: float, left_s: float, room: _Room
) -> int:
    """Fill the supports at rising prices; return how many of them have to be asked.

    What is left over of the seconds left, H(n) - n.d + price x seconds, is convex in the price:
    once it rises in every direction, the dearer ones have nothing to add.
    """
    prices, terms, high = reaches.price_mps, room.terms, room.high
    n_prices = len(prices)
    n_draws = reaches.priced.series.shape[0] // n_prices
    for q in range(n_prices):
        _terms_at(reaches.priced, q * n_draws + i, amsl_m, terms[q])
    _evaluate(terms[0], rose, high[0])
    for q in range(1, n_prices):
        _evaluate(terms[q], rose, high[q])
        step_m = (prices[q] - prices[q - 1]) * left_s
        if _least(high[q], high[q - 1], room.still, room.lanes) + step_m >= 0.0:
            return q
    return n_prices


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
    prices, goals, fine, coarse = reaches.price_mps, floors.goals, floors.fine, floors.coarse
    n_prices, n_fine, n_coarse = len(prices), len(fine.east), len(coarse.east)
    high, along = np.empty(n_fine, np.float32), np.empty(n_fine, np.float32)
    high_priced = np.empty((n_prices, n_coarse), np.float32)
    terms = np.empty((n_prices, N_TERM), np.float32)
    along_coarse, still = np.empty(n_coarse, np.float32), np.empty(n_coarse, np.float32)
    lanes = np.empty(LANES, np.float32)
    _along(coarse, 0.0, 0.0, still)
    room = _Room(terms, high_priced, still, lanes)
    for i in range(some.first, some.last):
        for j in range(states.amsl_m.shape[1]):
            if np.isnan(states.amsl_m[i, j]):
                continue
            at = begun_from(scene, releases, states, i, j)
            here = Offset(at.north_rad, at.east_rad)
            _support_at(reaches.free, i, at.amsl_m, fine, high)
            left_s = releases.haste.end_s[i] - at.t_s
            filled, n_asked = False, 0
            for f in range(len(goals.north_rad)):
                away = apart_m(scene.frame, here, field_offset(goals, f))
                margin = -np.inf
                if at.amsl_m >= goals.arrival_amsl_m[f]:
                    _along(fine, away.east_m, away.north_m, along)
                    margin = _margin(high, floors.free[i, f], along, lanes)
                out.margin_m[i, j, f] = margin
                if margin < 0.0 or not floors.held[i, f]:
                    continue
                out.state[i, j, f] = REACHED
                if left_s <= 0.0:
                    continue
                if not filled:
                    n_asked = _fill_priced(reaches, coarse, i, at.amsl_m, left_s, room)
                    filled = True
                _along(coarse, away.east_m, away.north_m, along_coarse)
                in_time = True
                for q in range(n_asked):
                    m = _margin(high_priced[q], floors.priced[q, i, f], along_coarse, lanes)
                    if m + prices[q] * left_s < 0.0:
                        in_time = False
                        break
                if in_time:
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
    glides goes on. `floors`: of the fields.
    """
    n, n_fields = len(releases.haste.end_s), len(floors.goals.north_rad)
    n_moments = states.amsl_m.shape[1]
    if reaches.free.series.shape[0] != n:
        allowed, remedy = f"{n}, one for each draw", "Ask before they are let go."
        raise InputError("reaches.free", f"{reaches.free.series.shape[0]} tables", allowed, remedy)
    shape = (n, n_moments, n_fields)
    out = Doors(np.zeros(shape, np.uint8), np.full(shape, np.nan))
    workers(
        lambda a, b: _doors_some(scene, releases, states, reaches, floors, Stretch(a, b), out), n
    )
    return out
