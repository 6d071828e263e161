"""Glides: error-free flights on a straight track from a moment of the climb to a field."""

from collections.abc import Callable
from typing import Final, NamedTuple

import numpy as np

from farglide.chances.ensemble import Ensemble
from farglide.earth.geodesy import EastNorth
from farglide.sim.core.release import begin_glide, field_offset
from farglide.sim.core.step import Offset, apart_m
from farglide.sim.core.tracks import Point
from farglide.sim.fly.glide import Way
from farglide.sim.fly.passage import (
    Passage,
    Soonest,
    fly_way,
    held_amsl_m,
    quickest_way,
    spare_amsl_m,
)
from farglide.sim.reach.drawnglider import DrawnGlider
from farglide.sim.reach.reach import Descent
from farglide.sim.reach.straight import made_good

_NEAR_M: Final = 100.0
_MOST_TRIES: Final = 24
_LEAST_PRICE_MPS: Final = 0.01


class Begun(NamedTuple):
    """An error-free flight level and on its way, and what it aims at."""

    state: Point
    descent: Descent  # to the arrival height
    ground_amsl_m: float
    away: EastNorth  # to the field
    goal: Offset

    def way(self, price_mps: float) -> Way:
        """Return the straight way to the field at a price of a second."""
        return Way(*self.goal, price_mps)


def begun(ensemble: Ensemble, moment: int, field: int) -> Begun | None:
    """Return the start of a flight from a moment to a field; None when out of reach."""
    tracks = ensemble.climbs.tracks
    z, north, east = (float(one[0, moment]) for one in tracks.places)
    if np.isnan(z):
        return None
    released = Point(moment * tracks.step_s, z, north, east)
    return on_the_way(ensemble, levelled_at(ensemble, released), field)


def on_the_way(ensemble: Ensemble, state: Point, field: int) -> Begun | None:
    """Return a level flight that aims at a field; None when it is out of reach by height."""
    goals, free = ensemble.goals, ensemble.reach.reaches.free
    here, goal = Offset(state.north_rad, state.east_rad), field_offset(goals, field)
    away = apart_m(ensemble.air.scene.frame, here, goal)
    descent = Descent(state.amsl_m, float(goals.arrival_amsl_m[field]))
    if state.amsl_m <= descent.to_amsl_m:
        return None
    flight = Begun(state, descent, float(goals.ground_amsl_m[field]), away, goal)
    made = made_good(free, descent, away)
    comes = _passes_m(ensemble, flight) is not None if made.beaten else made.inside_m >= 0.0
    return flight if comes else None


def _passes_m(ensemble: Ensemble, flight: Begun) -> float | None:
    """Return the height at which a flight at best speeds comes over its field; None if never.

    For what a cross wind sets aside: no table tells how far that gets.
    """
    flown = _flown(ensemble, flight.way(0.0), flight.state, flight.descent.to_amsl_m)
    past = np.flatnonzero(flown.short_m <= 0.0)
    if not len(past):
        return None
    j = max(int(past[0]), 1)
    share = flown.short_m[j - 1] / max(flown.short_m[j - 1] - flown.short_m[j], 1e-9)
    return float(flown.amsl_m[j - 1] + share * (flown.amsl_m[j] - flown.amsl_m[j - 1]))


def spare_over_m(ensemble: Ensemble, flight: Begun) -> float:
    """Return the greatest height over its field at which a flight can come and stay."""
    reaches, (top_m, arrival_m) = ensemble.reach.reaches, flight.descent
    held_m = _held_m(ensemble, Descent(top_m, flight.ground_amsl_m))
    if made_good(reaches.free, flight.descent, flight.away).beaten:
        passes_m = _passes_m(ensemble, flight)
        return arrival_m if passes_m is None else max(min(passes_m, held_m), arrival_m)
    return spare_amsl_m(reaches, flight.descent, held_m, flight.away)


def is_held(ensemble: Ensemble, flight: Begun) -> bool:
    """Tell whether a flight that comes over its field can stay there, down to the ground."""
    arrival_m = flight.descent.to_amsl_m
    return _held_m(ensemble, Descent(arrival_m, flight.ground_amsl_m)) >= arrival_m


def _held_m(ensemble: Ensemble, down: Descent) -> float:
    factor = float(ensemble.draws.glide_factor[0])
    return held_amsl_m(ensemble.air.scene, ensemble.reach.reaches, factor, down)


def levelled_at(ensemble: Ensemble, at: Point) -> Point:
    """Return when and where a glider without errors, released there, flies level."""
    return begin_glide(ensemble.air.scene, ensemble.released, 0, at)


def tabled_way(ensemble: Ensemble, flight: Begun) -> Soonest:
    """Return the least flight time at one of the prices of the tables."""
    return quickest_way(ensemble.reach.reaches, flight.descent, flight.away)


def quickest(ensemble: Ensemble, flight: Begun) -> Passage:
    """Return the soonest flight over the field at the arrival height, flown.

    Its price is the one at which it just arrives; where the dearest still comes too far, part of it
    is circled off.
    """
    prices = ensemble.reach.reaches.price_mps
    row = tabled_way(ensemble, flight).row
    low = float(prices[row - 1]) if row else _LEAST_PRICE_MPS
    high = float(prices[min(row + 1, len(prices) - 1)])
    beaten = made_good(ensemble.reach.reaches.free, flight.descent, flight.away).beaten
    between = (float(np.log(_LEAST_PRICE_MPS if beaten else low)), float(np.log(high)))

    def at_price(log_price: float) -> Passage:
        way = flight.way(float(np.exp(log_price)))
        return _flown(ensemble, way, flight.state, flight.descent.to_amsl_m)

    log_price, _ = _arriving(at_price, *between)
    way = flight.way(float(np.exp(log_price)))
    return fitted(ensemble, way, flight.state, flight.descent.to_amsl_m)


def own_craft(ensemble: Ensemble) -> DrawnGlider:
    """Return the glider without errors as the kernels take it."""
    factor = float(ensemble.draws.glide_factor[0])
    return ensemble.reach.reaches.craft._replace(glide_factor=factor)


def _flown(ensemble: Ensemble, way: Way, begin: Point, to_amsl_m: float) -> Passage:
    return fly_way(ensemble.air.scene, own_craft(ensemble), way, begin, to_amsl_m)


def fitted(ensemble: Ensemble, way: Way, begin: Point, to_amsl_m: float) -> Passage:
    """Return a way's glide with part of it circled off, so that it ends over its place.

    Where the place is nearer than the glide gets, as for a dive on a near field, only a share of
    the airspeed is wanted along the track; the rest goes round in circles.
    """

    def at_share(share: float) -> Passage:
        return _flown(ensemble, way._replace(share_ratio=share), begin, to_amsl_m)

    whole = at_share(1.0)
    if whole.short_m[-1] > -_NEAR_M:
        return whole
    return _arriving(at_share, 1.0, -1.0)[1]


def _arriving(
    flown: Callable[[float], Passage], too_far: float, too_short: float
) -> tuple[float, Passage]:
    """Return between which and what a flight just arrives, by false position (Illinois).

    At `too_far` it comes too far, at `too_short` too short; else the end that comes nearer.
    """
    ends = [too_far, too_short]
    tried = [flown(one) for one in ends]
    short_m = [float(one.short_m[-1]) for one in tried]
    if short_m[0] >= 0.0 or short_m[1] <= 0.0:
        side = 0 if short_m[0] >= 0.0 else 1
        return ends[side], tried[side]
    at, found, last = ends[0], tried[0], -1
    for _ in range(_MOST_TRIES):
        at = ends[0] + (ends[1] - ends[0]) * short_m[0] / (short_m[0] - short_m[1])
        found = flown(at)
        missed_m = float(found.short_m[-1])
        if abs(missed_m) < 0.5 * _NEAR_M:
            break
        side = 0 if missed_m < 0.0 else 1
        ends[side], short_m[side] = at, missed_m
        if side == last:
            short_m[1 - side] *= 0.5
        last = side
    return at, found
