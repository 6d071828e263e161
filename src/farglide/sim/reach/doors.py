"""Doors: for every draw, moment and field, whether a glider released then can come down there."""

from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import BoolArray, ByteArray, FloatArray, SingleArray
from farglide.errors import InputError
from farglide.kernel import inner, laned, roomy
from farglide.sim.core.losses import Losses
from farglide.sim.core.release import Goals, Haste, begun_from
from farglide.sim.core.scene import Scene, Swarm
from farglide.sim.core.states import States
from farglide.sim.core.step import apart_m
from farglide.sim.core.workers import Workers, in_one_go
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


class Ways(NamedTuple):
    """Reach tables at price 0 and at rising prices of time, all draws."""

    free: Reach
    priced: Reach  # row j * n_draws + i: price j, draw i
    price_mps: FloatArray


class Floors(NamedTuple):
    """What the reach tables say at the fields themselves: the same for every question."""

    free: SingleArray  # (n_draws, n_fields, 72) at the arrival height
    priced: SingleArray  # (n_prices, n_draws, n_fields, 40)
    free_coarse: SingleArray  # (n_draws, n_fields, 40) at the arrival height
    ground_coarse: SingleArray  # and at the ground
    held: BoolArray  # (n_draws, n_fields) holdable from the arrival height to the ground


@roomy
def _floors_some(
    ways: tuple[Ways, Rose, Rose], goals: Goals, some: tuple[int, int], out: Floors
) -> None:
    (free, priced, _), fine, coarse = ways
    n_directions = len(fine.east)
    ground, still = np.empty(n_directions, np.float32), np.empty(n_directions, np.float32)
    _along(fine, 0.0, 0.0, still)
    lanes = np.empty(LANES, np.float32)
    n_draws = out.free.shape[0]
    for i in range(some[0], some[1]):
        for f in range(len(goals.north_rad)):
            arrival_m = goals.arrival_amsl_m[f]
            _support_at(free, i, arrival_m, fine, out.free[i, f])
            _support_at(free, i, goals.ground_amsl_m[f], fine, ground)
            out.held[i, f] = _margin(out.free[i, f], ground, still, lanes) >= 0.0
            _support_at(free, i, arrival_m, coarse, out.free_coarse[i, f])
            _support_at(free, i, goals.ground_amsl_m[f], coarse, out.ground_coarse[i, f])
            for q in range(out.priced.shape[0]):
                _support_at(priced, q * n_draws + i, arrival_m, coarse, out.priced[q, i, f])


def floors_of(ways: Ways, goals: Goals, workers: Workers = in_one_go) -> Floors:
    """Return the floors of all draws at these fields."""
    n, n_fields = ways.free.series.shape[0], len(goals.north_rad)
    out = Floors(
        np.empty((n, n_fields, len(FINE.east)), np.float32),
        np.empty((len(ways.price_mps), n, n_fields, len(COARSE.east)), np.float32),
        np.empty((n, n_fields, len(COARSE.east)), np.float32),
        np.empty((n, n_fields, len(COARSE.east)), np.float32),
        np.zeros((n, n_fields), np.bool_),
    )
    roses = (ways, FINE, COARSE)
    workers(lambda a, b: _floors_some(roses, goals, (a, b), out), n)
    return out


@inner
def _fill_priced(
    ways: tuple[Ways, Rose],
    draw_at: tuple[int, float, float],
    out: tuple[SingleArray, SingleArray, SingleArray, SingleArray],
) -> int:
    """Fill the supports at rising prices; return how many of them have to be asked.

    `draw_at`: draw, height and the seconds left. What is left over, H(n) - n.d + price x seconds,
    is convex in the price: once it rises in every direction, the dearer ones have nothing to add.
    """
    (_, priced, prices), rose = ways
    i, amsl_m, left_s = draw_at
    terms, high, still, lanes = out
    n_prices = len(prices)
    n_draws = priced.series.shape[0] // n_prices
    for q in range(n_prices):
        _terms_at(priced, q * n_draws + i, amsl_m, terms[q])
    _evaluate(terms[0], rose, high[0])
    for q in range(1, n_prices):
        _evaluate(terms[q], rose, high[q])
        step_m = (prices[q] - prices[q - 1]) * left_s
        if _least(high[q], high[q - 1], still, lanes) + step_m >= 0.0:
            return q
    return n_prices


@laned
def _doors_some(
    scene: Scene,
    drawn: tuple[Swarm, Losses, Haste],
    states: States,
    ways: tuple[Ways, Rose, Rose],
    goals: tuple[Goals, Floors],
    some: tuple[int, int],
    out: tuple[ByteArray, FloatArray],
) -> None:
    """Fill the doors of draws `some` in their states. Roses: for free and priced reach."""
    swarm, losses, haste = drawn
    (free, _, prices), fine, coarse = ways
    fields, floors = goals
    n_prices, n_fine, n_coarse = len(prices), len(fine.east), len(coarse.east)
    high, along = np.empty(n_fine, np.float32), np.empty(n_fine, np.float32)
    high_priced = np.empty((n_prices, n_coarse), np.float32)
    terms = np.empty((n_prices, N_TERM), np.float32)
    along_coarse, still = np.empty(n_coarse, np.float32), np.empty(n_coarse, np.float32)
    lanes = np.empty(LANES, np.float32)
    _along(coarse, 0.0, 0.0, still)
    room = (terms, high_priced, still, lanes)
    for i in range(some[0], some[1]):
        for j in range(states.amsl_m.shape[1]):
            if np.isnan(states.amsl_m[i, j]):
                continue
            z, north, east, seconds = begun_from(scene, swarm, losses, haste, (states, i, j))
            _support_at(free, i, z, fine, high)
            left_s = haste.end_s[i] - states.after_launch_s[i, j] - seconds
            filled, n_asked = False, 0
            for f in range(len(fields.north_rad)):
                d_east, d_north = apart_m(
                    scene.frame, (north, east), (fields.north_rad[f], fields.east_rad[f])
                )
                margin = -np.inf
                if z >= fields.arrival_amsl_m[f]:
                    _along(fine, d_east, d_north, along)
                    margin = _margin(high, floors.free[i, f], along, lanes)
                out[1][i, j, f] = margin
                if margin < 0.0 or not floors.held[i, f]:
                    continue
                out[0][i, j, f] = REACHED
                if left_s <= 0.0:
                    continue
                if not filled:
                    n_asked = _fill_priced((ways[0], coarse), (i, z, left_s), room)
                    filled = True
                _along(coarse, d_east, d_north, along_coarse)
                in_time = True
                for q in range(n_asked):
                    m = _margin(high_priced[q], floors.priced[q, i, f], along_coarse, lanes)
                    if m + prices[q] * left_s < 0.0:
                        in_time = False
                        break
                if in_time:
                    out[0][i, j, f] = REACHED | IN_TIME


class Doors(NamedTuple):
    """Answers of shape (n_draws, n_moments, n_fields)."""

    state: ByteArray  # 0, REACHED, or REACHED | IN_TIME
    margin_m: FloatArray  # how far inside (or, negative, outside) the reach the field lies


def doors(
    scene: Scene,
    drawn: tuple[Swarm, Losses, Haste],
    states: States,
    ways: Ways,
    goals: tuple[Goals, Floors],
    workers: Workers = in_one_go,
) -> Doors:
    """Return for each draw, moment and field whether a flight from there can still end on it.

    What still hangs on a balloon, or falls with its remains, is released at that moment; what
    glides goes on. `goals`: fields and floors.
    """
    n, n_fields = len(drawn[2].end_s), len(goals[0].north_rad)
    n_moments = states.amsl_m.shape[1]
    if ways.free.series.shape[0] != n:
        allowed, remedy = f"{n}, one for each draw", "Ask before they are let go."
        raise InputError("ways.free", f"{ways.free.series.shape[0]} tables", allowed, remedy)
    shape = (n, n_moments, n_fields)
    out = (np.zeros(shape, np.uint8), np.full(shape, np.nan))
    roses = (ways, FINE, COARSE)
    workers(lambda a, b: _doors_some(scene, drawn, states, roses, goals, (a, b), out), n)
    return Doors(*out)
