"""Crew: who flies home in the truth by what the forecast told, and down to the ground."""

from typing import Final, NamedTuple

import numpy as np

from bench.odds.gear import EARTH_M, WORKERS, cosine_of
from farglide.arrays import BoolArray, FloatArray
from farglide.chances.ensemble import Ensemble
from farglide.sim.core.losses import Fleet
from farglide.sim.core.scene import Swarm
from farglide.sim.fly.climb import from_hand
from farglide.sim.fly.flight import fly
from farglide.sim.fly.homing import Goal
from farglide.sim.fly.orders import Ends, Gear, Orders, climbing
from farglide.sim.reach.speeds import Speeds

_EVERY_PRICE: Final = 3
"""The crew tries every third price of a second: they rise by a fifth from one to the next."""
_SPIRAL_LOAD: Final = 2.5
_SPIRAL_SHARE: Final = 0.8
_REMAINS_M2: Final = 0.2
_LANDED_M: Final = 1000.0
_HEIGHT_M: Final = 1000.0
_TIME_S: Final = 600.0
"""So much height over the field and so many seconds are worth as much to the crew."""


class Flyers(NamedTuple):
    """The first draws of an ensemble, ready to be flown under any orders."""

    ensemble: Ensemble
    swarm: Swarm
    fleet: Fleet
    reaction_s: FloatArray
    end_s: FloatArray


class Way(NamedTuple):
    """Speeds to fly by what the forecast told, and what a second is worth."""

    speeds: Speeds
    price_mps: float


class Flown(NamedTuple):
    """How flights ended, shape (n,): home or not, and how much height and time was to spare."""

    home: BoolArray
    spare: FloatArray  # the lesser of both, in thousands of metres and tens of minutes


class Home(NamedTuple):
    """Which flights came home, (n_true, n_heights, n_fields)."""

    planned: BoolArray  # at the price of a second that the plan made look best
    judged: BoolArray  # at one of the prices: a crew that judges height and time on the way


def flyers(ensemble: Ensemble, n: int) -> Flyers:
    """Return the first `n` draws."""
    draws, craft = ensemble.draws, ensemble.craft
    fleet = Fleet(craft.polar, craft.drop, draws.glide_factor[:n], draws.drop_drag[:n])
    swarm = Swarm(*(one[:n] for one in draws.swarm))
    end_s = ensemble.reach.haste.end_s[:n]
    return Flyers(ensemble, swarm, fleet, draws.reaction_s[:n], end_s)


def came_home(forecast: Ensemble, truth: Ensemble, heights_m: FloatArray, n_true: int) -> Home:
    """Tell which flights came down on which field in time.

    As planned, the crew keeps the price at which the flight without errors comes home best.
    """
    few, one, ways = flyers(truth, n_true), flyers(forecast, 1), _ways(forecast)
    shape = n_true, len(heights_m), len(truth.goals.north_rad)
    found = Home(np.zeros(shape, np.bool_), np.zeros(shape, np.bool_))
    for f in range(shape[2]):
        for j, height_m in enumerate(heights_m):
            spares = [flown(one, way, f, float(height_m)).spare[0] for way in ways]
            best = int(np.argmax(np.nan_to_num(spares, nan=-np.inf)))
            home = np.array([flown(few, way, f, float(height_m)).home for way in ways])
            found.planned[:, j, f], found.judged[:, j, f] = home[best], home.any(axis=0)
    return found


def _ways(forecast: Ensemble) -> list[Way]:
    """Return the ways to fly home that the crew chooses from: the forecast's speeds, by price."""
    speeds = forecast.reach.reaches.speeds
    return [Way(speeds, float(price)) for price in speeds.price_mps[::_EVERY_PRICE]]


def flown(who: Flyers, way: Way, field: int, release_amsl_m: float) -> Flown:
    """Return how flights to one field ended, released at a height going up."""
    ensemble = who.ensemble
    gear = Gear(ensemble.climbs.balloon, who.fleet, way.speeds, who.reaction_s)
    begins = climbing(from_hand(who.swarm, ensemble.sortie.launch.amsl_m))
    best_mps = ensemble.craft.best_eas_mps
    goal = goal_of(ensemble, field)._replace(price_mps=way.price_mps)
    orders = Orders(np.inf, goal, best_mps, _REMAINS_M2, release_amsl_m)
    return _judged(who, fly(ensemble.air.scene, who.swarm, gear, orders, begins, WORKERS), field)


def goal_of(ensemble: Ensemble, field: int) -> Goal:
    """Return a field, and the steep spiral in which height is flown off over it."""
    goals, top = ensemble.goals, ensemble.craft.limits.top_eas_mps
    return Goal(
        north_rad=float(goals.north_rad[field]),
        east_rad=float(goals.east_rad[field]),
        ground_amsl_m=float(goals.ground_amsl_m[field]),
        circle_load=_SPIRAL_LOAD,
        circle_eas_mps=_SPIRAL_SHARE * top,
    )


def _judged(who: Flyers, ends: Ends, field: int) -> Flown:
    """Return who came over the field as high and as soon as open means, and landed on it."""
    ensemble, goals = who.ensemble, who.ensemble.goals
    off_m = EARTH_M * np.hypot(
        ends.north_rad - goals.north_rad[field],
        (ends.east_rad - goals.east_rad[field]) * cosine_of(ensemble.sortie),
    )
    high_m = ends.over_field_amsl_m - goals.arrival_amsl_m[field]
    kept = (ends.peak_mach <= ensemble.craft.limits.top_mach) & (off_m < _LANDED_M)
    spare = np.minimum(high_m / _HEIGHT_M, (who.end_s - ends.over_field_s) / _TIME_S)
    return Flown(np.asarray(kept & (spare >= 0.0)), np.asarray(spare))
