"""Spares: the height that a glider released now could still have over each field.

Where a jet is faster than the glider, the field may be in reach again from above the jet: then one
of the heights comes back from which it just is, not always the greatest.
"""

from typing import NamedTuple

import numpy as np

from farglide.arrays import BoolArray, FloatArray, SingleArray
from farglide.kernel import laned, merged, roomy
from farglide.sim.core.release import Releases, begun_from, field_offset
from farglide.sim.core.scene import Scene
from farglide.sim.core.states import States
from farglide.sim.core.step import Offset, apart_m
from farglide.sim.core.workers import Stretch, Workers, in_one_go
from farglide.sim.reach.doors import Floors
from farglide.sim.reach.reach import N_TERM, Descent, Reach
from farglide.sim.reach.rose import (
    LANES,
    Rose,
    _along,
    _evaluate,
    _margin,
    _support_at,
    _terms_at,
)

_HELD_WITHIN_M = 50.0
_MOST_STEPS = 30
_LAST_STEP_M = 100.0
_LAST_GROUND_M = 50.0
"""A step as short as this, from a place as near the edge as this, is taken without asking again:
the secant is straight enough there, also in a jet against which a metre of height buys a metre."""


class _Probe(NamedTuple):
    """A height asked, and how far inside the reach the field lies from there."""

    amsl_m: float
    margin_m: float


class _Search(NamedTuple):
    """One draw's search over each field: heights, and metres inside the reach there.

    The ends are shape (n_fields, 2): what is still inside and what is already outside.
    """

    end_amsl_m: FloatArray
    end_margin_m: FloatArray
    last_amsl_m: FloatArray  # (n_fields, 2) the two heights asked last, the newest first
    last_margin_m: FloatArray
    amsl_m: FloatArray  # (n_fields,) asked next, in the end the answer
    active: BoolArray  # (n_fields,) to be searched on
    low: SingleArray  # (n_fields, n_directions) the support at the height asked last
    along: SingleArray  # (n_fields, n_directions) the field's offset


@roomy
def _held_below(
    reach: Reach, i: int, rose: Rose, descent: Descent, ground: SingleArray, still: SingleArray
) -> float:
    """Return the greatest height in a descent from which the field can be held.

    From its top it cannot. `ground`: the support at the field's ground; `still`: zero.
    """
    low, lanes = np.empty(len(rose.east), np.float32), np.empty(LANES, np.float32)
    top, bottom = descent
    while top - bottom > _HELD_WITHIN_M:
        middle = 0.5 * (bottom + top)
        _support_at(reach, i, middle, rose, low)
        if _margin(low, ground, still, lanes) >= 0.0:
            bottom = middle
        else:
            top = middle
    return bottom


@merged
def _begin_search(search: _Search, f: int, inside: _Probe, outside: _Probe) -> None:
    """Set up the search for field `f` between two heights."""
    end, margin, last, last_margin, _, _, _, _ = search
    end[f, 0], margin[f, 0] = inside
    end[f, 1], margin[f, 1] = outside
    near = 0 if inside.margin_m < -outside.margin_m else 1
    for j in range(2):
        last[f, j], last_margin[f, j] = end[f, near - j], margin[f, near - j]


@merged
def _next_m(
    end: FloatArray, margin: FloatArray, last: FloatArray, last_margin: FloatArray, f: int
) -> float:
    """Return where to ask next: by the secant, or, outside the ends, by false position."""
    rise = last_margin[f, 0] - last_margin[f, 1]
    to = last[f, 0] - last_margin[f, 0] * (last[f, 0] - last[f, 1]) / rise
    share = margin[f, 0] / (margin[f, 0] - margin[f, 1])
    by_ends = end[f, 0] + share * (end[f, 1] - end[f, 0])
    return to if end[f, 0] < to < end[f, 1] else by_ends


@roomy
def _narrow(reach: Reach, i: int, rose: Rose, high: SingleArray, search: _Search) -> None:
    """Search every active field's greatest height still inside the reach.

    The fields take their steps together, so that the waits for their rows of the table overlap.
    """
    end, end_margin, last, last_margin, at, active, low, along = search
    terms, lanes = np.empty((len(at), N_TERM), np.float32), np.empty(LANES, np.float32)
    for step in range(_MOST_STEPS):
        n_active = 0
        for f in range(len(at)):
            if not active[f]:
                continue
            at[f] = _next_m(end, end_margin, last, last_margin, f)
            far = abs(at[f] - last[f, 0]) > _LAST_STEP_M
            active[f] = step == 0 or far or abs(last_margin[f, 0]) > _LAST_GROUND_M
            if active[f]:
                n_active += 1
                _terms_at(reach, i, at[f], terms[f])
        if n_active == 0:
            return
        for f in range(len(at)):
            if not active[f]:
                continue
            _evaluate(terms[f], rose, low[f])
            margin = _margin(high, low[f], along[f], lanes)
            last[f, 1], last_margin[f, 1] = last[f, 0], last_margin[f, 0]
            last[f, 0], last_margin[f, 0] = at[f], margin
            side = 0 if margin >= 0.0 else 1
            end[f, side], end_margin[f, side] = at[f], margin


@laned
def _spares_some(
    scene: Scene,
    releases: Releases,
    states: States,
    free: Reach,
    floors: Floors,
    some: Stretch,
    out: FloatArray,
) -> None:
    """Fill the height over each field that draws `some` could still have."""
    goals, rose = floors.goals, floors.coarse
    n_fields, n_directions = len(goals.north_rad), len(rose.east)
    high, still = np.empty(n_directions, np.float32), np.empty(n_directions, np.float32)
    _along(rose, 0.0, 0.0, still)
    lanes = np.empty(LANES, np.float32)
    found = np.empty(n_fields, np.bool_)
    search = _Search(
        np.empty((n_fields, 2)),
        np.empty((n_fields, 2)),
        np.empty((n_fields, 2)),
        np.empty((n_fields, 2)),
        np.empty(n_fields),
        np.empty(n_fields, np.bool_),
        np.empty((n_fields, n_directions), np.float32),
        np.empty((n_fields, n_directions), np.float32),
    )
    for i in range(some.first, some.last):
        if np.isnan(states.amsl_m[i, 0]):
            continue
        at = begun_from(scene, releases, states, i, 0)
        here = Offset(at.north_rad, at.east_rad)
        _support_at(free, i, at.amsl_m, rose, high)
        for f in range(n_fields):
            east_m, north_m = apart_m(scene.frame, here, field_offset(goals, f))
            _along(rose, east_m, north_m, search.along[f])
            floor, arrival_m = floors.free_coarse[i, f], goals.arrival_amsl_m[f]
            inside_m = _margin(high, floor, search.along[f], lanes)
            found[f] = at.amsl_m > arrival_m and inside_m >= 0.0 and floors.held[i, f]
            search.active[f] = found[f]
            outside_m = -np.sqrt(east_m * east_m + north_m * north_m)
            inside, outside = _Probe(arrival_m, inside_m), _Probe(at.amsl_m, outside_m)
            _begin_search(search, f, inside, outside)
        _narrow(free, i, rose, high, search)
        for f in range(n_fields):
            if not found[f]:
                continue
            spare_m, ground = search.amsl_m[f], floors.ground_coarse[i, f]
            if _margin(search.low[f], ground, still, lanes) < 0.0:
                descent = Descent(spare_m, goals.arrival_amsl_m[f])
                spare_m = _held_below(free, i, rose, descent, ground, still)
            out[i, f] = spare_m - goals.ground_amsl_m[f]


def spares(
    scene: Scene,
    releases: Releases,
    states: States,
    free: Reach,
    floors: Floors,
    workers: Workers = in_one_go,
) -> FloatArray:
    """Return the spare height over each field from one state of each draw, NaN where out of reach.

    `states`: of one moment; `floors`: of the fields. Shape (n_draws, n_fields), to 50 m.
    """
    n = len(releases.haste.end_s)
    out = np.full((n, len(floors.goals.north_rad)), np.nan)
    workers(lambda a, b: _spares_some(scene, releases, states, free, floors, Stretch(a, b), out), n)
    return out
