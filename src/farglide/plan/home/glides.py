"""Glides: error-free flights from a moment of the climb to a field, and the tools to find them."""

from typing import Final, NamedTuple

import numpy as np

from farglide.chances.ensemble import Ensemble
from farglide.sim.core.release import begin_glide
from farglide.sim.core.step import apart_m
from farglide.sim.core.tracks import Point
from farglide.sim.fly.glide import Craft, Way
from farglide.sim.fly.passage import Passage, aim, fly_way, quickest_way
from farglide.sim.reach.reach import sum_reach

_NEAR_M: Final = 1000.0


class Begun(NamedTuple):
    """An error-free flight level and on its way, and what it aims at."""

    state: Point
    heights: tuple[float, float]  # from, and over the field: the arrival height
    ground_amsl_m: float
    offset: tuple[float, float]  # metres east and north to the field
    goal: tuple[float, float]


def begun(ensemble: Ensemble, moment: int, field: int) -> Begun | None:
    """Return the start of a flight from a moment to a field; None when out of reach."""
    tracks = ensemble.climbs.tracks
    z, north, east = (float(one[0, moment]) for one in tracks.places)
    if np.isnan(z):
        return None
    z, north, east, seconds = levelled_at(ensemble, (z, north, east))
    return on_the_way(ensemble, Point(moment * tracks.step_s + seconds, z, north, east), field)


def on_the_way(ensemble: Ensemble, state: Point, field: int) -> Begun | None:
    """Return a level flight that aims at a field; None when it is out of reach by height."""
    goals = ensemble.goals
    goal = (float(goals.north_rad[field]), float(goals.east_rad[field]))
    offset = apart_m(ensemble.air.scene.frame, (state.north_rad, state.east_rad), goal)
    heights = (float(state.amsl_m), float(goals.arrival_amsl_m[field]))
    if heights[0] <= heights[1] or aim(ensemble.reach.ways.free, heights, offset)[0] < 0.0:
        return None
    return Begun(state, heights, float(goals.ground_amsl_m[field]), offset, goal)


def is_held(ensemble: Ensemble, flight: Begun) -> bool:
    """Tell whether a flight that comes over its field can stay there, down to the ground."""
    heights = (flight.heights[1], flight.ground_amsl_m)
    return aim(ensemble.reach.ways.free, heights, (0.0, 0.0))[0] >= 0.0


def levelled_at(
    ensemble: Ensemble, at: tuple[float, float, float]
) -> tuple[float, float, float, float]:
    """Return where a glider without errors, released there, flies level, and after how long.

    `at`: height above sea level, and radians north and east of the launch, as what comes back.
    """
    scene, swarm, reach = ensemble.air.scene, ensemble.draws.swarm, ensemble.reach
    return begin_glide(scene, swarm, reach.losses, reach.haste, (0, *at))


def tabled_way(ensemble: Ensemble, flight: Begun) -> tuple[float, Way]:
    """Return the least flight time and its way at one of the prices of the tables."""
    ways = ensemble.reach.ways
    return quickest_way((ways.price_mps, ways.priced), flight.heights, flight.offset)


def quickest(ensemble: Ensemble, flight: Begun) -> tuple[float, Way]:
    """Return the least flight time and its way, the price found between those of the tables."""
    prices = ensemble.reach.ways.price_mps
    best_s, best = tabled_way(ensemble, flight)
    row = int(np.argmin(np.abs(prices - best.price_mps)))
    low = float(np.log(prices[max(row - 1, 0)]))
    high = float(np.log(prices[min(row + 1, len(prices) - 1)]))
    swarm = (ensemble.draws.swarm, ensemble.draws.glide_factor)
    for _ in range(14):
        thirds = [low + (high - low) * share for share in (0.382, 0.618)]
        found = []
        for log_price in thirds:
            price = np.array([np.exp(log_price)])
            reach = sum_reach(ensemble.air.scene, ensemble.reach.support, swarm, (price, 1))
            found.append(quickest_way((price, reach), flight.heights, flight.offset))
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


def fitted(
    ensemble: Ensemble, way: Way, flight: tuple[Point, float], goal: tuple[float, float]
) -> Passage:
    """Return a way's glide with its heading bent, or part of it circled off, to end at the goal.

    A way ends on the edge of the reach. Where the goal lies inside, as for a dive on a near field,
    only a share of the airspeed is wanted along the heading; the rest goes round in circles.
    """
    begin, to_amsl_m = flight
    frame = ensemble.air.scene.frame
    craft = own_craft(ensemble)
    flown = best = fly_way(ensemble.air.scene, craft, way, begin, to_amsl_m)
    least_m = np.inf
    for _ in range(8):
        end = (float(flown.north_rad[-1]), float(flown.east_rad[-1]))
        miss = apart_m(frame, end, goal)
        if np.hypot(*miss) < least_m:
            least_m, best = float(np.hypot(*miss)), flown
        if least_m < _NEAR_M:
            break
        still = way._replace(east=0.0, north=0.0)
        drift = fly_way(ensemble.air.scene, craft, still, begin, to_amsl_m)
        through_air = apart_m(frame, (float(drift.north_rad[-1]), float(drift.east_rad[-1])), end)
        share = max(float(np.hypot(way.east, way.north)), 1e-3)
        reach_m = max(float(np.hypot(*through_air)) / share, 1.0)
        east, north = way.east + miss[0] / reach_m, way.north + miss[1] / reach_m
        over = max(float(np.hypot(east, north)), 1.0)
        way = way._replace(east=east / over, north=north / over)
        flown = fly_way(ensemble.air.scene, craft, way, begin, to_amsl_m)
    return best
