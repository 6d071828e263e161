"""Glides: error-free flights from a moment of the climb to a field, and the tools to find them."""

from typing import Final, NamedTuple

import numpy as np

from farglide.chances.ensemble import Ensemble
from farglide.earth.geodesy import EastNorth
from farglide.sim.core.release import begin_glide, field_offset
from farglide.sim.core.step import Offset, apart_m
from farglide.sim.core.tracks import Point
from farglide.sim.fly.glide import Craft, Way
from farglide.sim.fly.passage import Passage, aim, fly_way, quickest_way
from farglide.sim.reach.reach import Descent, Prices, sum_reach

_NEAR_M: Final = 1000.0


class Begun(NamedTuple):
    """An error-free flight level and on its way, and what it aims at."""

    state: Point
    descent: Descent  # to the arrival height
    ground_amsl_m: float
    away: EastNorth  # to the field
    goal: Offset


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
    if state.amsl_m <= descent.to_amsl_m or aim(free, descent, away).margin_m < 0.0:
        return None
    return Begun(state, descent, float(goals.ground_amsl_m[field]), away, goal)


def is_held(ensemble: Ensemble, flight: Begun) -> bool:
    """Tell whether a flight that comes over its field can stay there, down to the ground."""
    down = Descent(flight.descent.to_amsl_m, flight.ground_amsl_m)
    return aim(ensemble.reach.reaches.free, down, EastNorth(0.0, 0.0)).margin_m >= 0.0


def levelled_at(ensemble: Ensemble, at: Point) -> Point:
    """Return when and where a glider without errors, released there, flies level."""
    return begin_glide(ensemble.air.scene, ensemble.released, 0, at)


def tabled_way(ensemble: Ensemble, flight: Begun) -> tuple[float, Way]:
    """Return the least flight time and its way at one of the prices of the tables."""
    return quickest_way(ensemble.reach.reaches, flight.descent, flight.away)


def quickest(ensemble: Ensemble, flight: Begun) -> tuple[float, Way]:
    """Return the least flight time and its way, the price found between those of the tables."""
    ways, scene, support = ensemble.reach.reaches, ensemble.air.scene, ensemble.reach.support
    prices = ways.price_mps
    best_s, best = tabled_way(ensemble, flight)
    row = int(np.argmin(np.abs(prices - best.price_mps)))
    low = float(np.log(prices[max(row - 1, 0)]))
    high = float(np.log(prices[min(row + 1, len(prices) - 1)]))
    for _ in range(14):
        thirds = [low + (high - low) * share for share in (0.382, 0.618)]
        found = []
        for log_price in thirds:
            price = np.array([np.exp(log_price)])
            reach = sum_reach(scene, support, ensemble.draws, Prices(price, 1))
            at_price = ways._replace(priced=reach, price_mps=price)
            found.append(quickest_way(at_price, flight.descent, flight.away))
        if found[0][0] > found[1][0]:
            high = thirds[1]
        else:
            low = thirds[0]
        best_s, best = max((best_s, best), *found, key=lambda pair: pair[0])
    return best_s, best


def own_craft(ensemble: Ensemble) -> Craft:
    """Return the glider without errors as the kernels take it."""
    factor = float(ensemble.draws.glide_factor[0])
    return Craft(ensemble.craft.polar, ensemble.craft.limits, factor)


def fitted(ensemble: Ensemble, way: Way, begin: Point, to_amsl_m: float, goal: Offset) -> Passage:
    """Return a way's glide with its heading bent, or part of it circled off, to end at the goal.

    A way ends on the edge of the reach. Where the goal lies inside, as for a dive on a near field,
    only a share of the airspeed is wanted along the heading; the rest goes round in circles.
    """
    frame = ensemble.air.scene.frame
    craft = own_craft(ensemble)
    flown = best = fly_way(ensemble.air.scene, craft, way, begin, to_amsl_m)
    least_m = np.inf
    for _ in range(8):
        end = Offset(float(flown.north_rad[-1]), float(flown.east_rad[-1]))
        miss = apart_m(frame, end, goal)
        if np.hypot(*miss) < least_m:
            least_m, best = float(np.hypot(*miss)), flown
        if least_m < _NEAR_M:
            break
        still = way._replace(east=0.0, north=0.0)
        drift = fly_way(ensemble.air.scene, craft, still, begin, to_amsl_m)
        drifted = Offset(float(drift.north_rad[-1]), float(drift.east_rad[-1]))
        through_air = apart_m(frame, drifted, end)
        share = max(float(np.hypot(way.east, way.north)), 1e-3)
        reach_m = max(float(np.hypot(*through_air)) / share, 1.0)
        east, north = way.east + miss.east_m / reach_m, way.north + miss.north_m / reach_m
        over = max(float(np.hypot(east, north)), 1.0)
        way = way._replace(east=east / over, north=north / over)
        flown = fly_way(ensemble.air.scene, craft, way, begin, to_amsl_m)
    return best
