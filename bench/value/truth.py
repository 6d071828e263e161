"""The truth of one sortie: one balloon and glider, in winds nobody knew, flown to the ground."""

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from bench.value.places import Pair
from farglide.air.sounding import Sounding
from farglide.arrays import FloatArray
from farglide.chances.making import air_of
from farglide.chances.parts import Air
from farglide.rig.doubts import doubts_of
from farglide.rig.gear import (
    advised_limits,
    balloon_of,
    best_glide_eas_mps,
    craft_of,
    goals_of,
    launch_amsl_m,
    launch_fill,
)
from farglide.sim.core.draws import Drawn, redrawn, undisturbed
from farglide.sim.core.losses import Fleet
from farglide.sim.core.states import GLIDING
from farglide.sim.core.step import Offset
from farglide.sim.fly.climb import from_hand
from farglide.sim.fly.flight import flown_track, fly
from farglide.sim.fly.homing import Goal
from farglide.sim.fly.orders import Begins, Ends, Gear, Orders, climbing
from farglide.sim.reach.drawnglider import DrawnGlider
from farglide.sim.reach.speeds import Speeds, speeds_of
from farglide.sortie.grain import Grain
from farglide.sortie.spec import Sortie

PRICES_MPS = (0.0, 8.0, 30.0)
"""What a second is worth to a crew that watches the clock of its packs: as little as will do."""
_CIRCLE_LOAD = 1.155
_REMAINS_M2 = 0.2
_N_AROUND = 20


class Said(NamedTuple):
    """What a plan tells its crew of an order."""

    chance_ratio: float
    above_wanted: bool  # a release from the wished height


class Likes(NamedTuple):
    """Where draws of the plan are let go, and which fields are open to them."""

    at: Offset  # arrays, (n_draws,)
    open_ratio: FloatArray  # (n_draws, n_fields)


class Order(NamedTuple):
    """What a rule orders: let go at a height or a time, and fly to one of the fields."""

    release_amsl_m: float
    release_s: float
    field: int | None  # None: chosen where the glider is let go
    said: Said | None = None  # None: a simple rule tells no chance
    likes: Likes | None = None  # by whom the field is chosen; None: the nearest is


class Outcome(NamedTuple):
    """How a sortie ended."""

    arrived: bool  # over its field at the arrival height or more, before the packs end
    high: bool  # let go above the wanted height, the balloon whole


@dataclass(frozen=True, slots=True, kw_only=True)
class Truth:
    """One sortie as it will be: what its crew will meet, and the speeds it flies by forecast."""

    sortie: Sortie
    air: Air
    drawn: Drawn
    gear: Gear
    best_eas_mps: float
    comes_free: bool  # of the remains, if the balloon bursts before the release


def truth_of(sortie: Sortie, pair: Pair, seed: int) -> Truth:
    """Return one sortie in the true air, with one balloon, glider and pack drawn by the seed."""
    grain = Grain()
    air = air_of(sortie, pair.truth, grain)
    doubts = doubts_of(sortie, air.column, grain)
    n_layers = len(air.column.layers.p_pa)
    drawn = redrawn(undisturbed(doubts, n_layers), doubts, seed)
    polar, limits, drop = craft_of(sortie, grain)
    free = np.random.default_rng(seed).random() < sortie.release.free_after_burst_ratio
    return Truth(
        sortie=sortie,
        air=air,
        drawn=drawn,
        gear=Gear(
            balloon_of(sortie, launch_fill(sortie, air.column)),
            Fleet(polar, drop, drawn.glide_factor, drawn.drop_drag),
            _known_speeds(
                sortie,
                pair.forecast,
                DrawnGlider(polar, advised_limits(sortie, limits), doubts.glide_factor.mean),
            ),
            drawn.reaction_s,
        ),
        best_eas_mps=best_glide_eas_mps(polar, limits),
        comes_free=bool(free),
    )


def _known_speeds(sortie: Sortie, forecast: Sounding, craft: DrawnGlider) -> Speeds:
    """Return the speeds that the crew takes along: those for the winds it knows."""
    known = air_of(sortie, forecast, Grain())
    return speeds_of(known.scene, craft, np.array(PRICES_MPS))


def fly_order(truth: Truth, order: Order) -> Outcome:
    """Return how a sortie ends that is flown to an order, as far as it goes or quicker."""
    field = chosen_field(truth, order) if order.field is None else order.field
    for price_mps in PRICES_MPS:
        goal = _goal(truth, field)._replace(price_mps=price_mps)
        ends = fly(truth.air.scene, truth.drawn.swarm, truth.gear, *_orders(truth, order, goal))
        outcome = _outcome(truth, goal, ends)
        if outcome.arrived:
            break
    return outcome


def let_go_at(truth: Truth, order: Order) -> Offset:
    """Return where a glider is let go by an order."""
    told = _orders(truth, order, _goal(truth, order.field or 0))
    rows = flown_track(truth.air.scene, truth.drawn.swarm, truth.gear, *told, 0)
    climbed = rows[rows[:, 4] != GLIDING]
    return Offset(float(climbed[-1, 2]), float(climbed[-1, 3]))


def chosen_field(truth: Truth, order: Order) -> int:
    """Return the field for who chooses at the release, by where the glider is then.

    With a plan the one that is open to most of the draws let go nearest to there, else the nearest.
    """
    at, likes = let_go_at(truth, order), order.likes
    if likes is None:
        return nearest_field(truth, at)
    north, east = likes.at.north_rad - at.north_rad, likes.at.east_rad - at.east_rad
    away = np.hypot(north, east * truth.air.scene.frame.cosine)
    around = np.argsort(np.nan_to_num(away, nan=np.inf))[:_N_AROUND]
    return int(np.argmax(likes.open_ratio[around].mean(axis=0)))


def nearest_field(truth: Truth, at: Offset) -> int:
    """Return which field is nearest to a place."""
    goals, cosine = goals_of(truth.sortie, truth.sortie.fields), truth.air.scene.frame.cosine
    north, east = goals.north_rad - at.north_rad, goals.east_rad - at.east_rad
    return int(np.argmin(np.hypot(north, east * cosine)))


def _goal(truth: Truth, field: int) -> Goal:
    sortie = truth.sortie
    goals = goals_of(sortie, sortie.fields)
    return Goal(
        north_rad=float(goals.north_rad[field]),
        east_rad=float(goals.east_rad[field]),
        ground_amsl_m=float(goals.ground_amsl_m[field]),
        circle_load=_CIRCLE_LOAD,
        circle_eas_mps=truth.best_eas_mps,
    )


def _orders(truth: Truth, order: Order, goal: Goal) -> tuple[Orders, Begins]:
    eas_mps, swarm = truth.best_eas_mps, truth.drawn.swarm
    begins = climbing(from_hand(swarm, launch_amsl_m(truth.sortie, truth.air.column)))
    return Orders(order.release_s, goal, eas_mps, _REMAINS_M2, order.release_amsl_m), begins


def _outcome(truth: Truth, goal: Goal, ends: Ends) -> Outcome:
    wish = truth.sortie.wish
    high = bool(ends.release_amsl_m[0] >= wish.wanted_amsl_m and not ends.burst[0])
    if ends.burst[0] and not truth.comes_free:
        return Outcome(False, high)
    in_time = ends.over_field_s[0] <= truth.drawn.pack_end_s[0]  # not in time where it is NaN
    over = ends.over_field_amsl_m[0] >= goal.ground_amsl_m + wish.arrival_agl_m
    return Outcome(bool(in_time and over), high)
