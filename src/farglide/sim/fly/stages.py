"""Stages: each part of a whole flight, from one turn of events to the next."""

from typing import Final, NamedTuple

import numpy as np

from farglide.constants import SEA_LEVEL_DENSITY_KGPM3, STANDARD_GRAVITY_MPS2
from farglide.fall import THIN_EXPONENT, Sink, _fall_speed_mps
from farglide.glider.release import Dropped, Start, _pull_out
from farglide.kernel import inner
from farglide.sim.core.march import drifted, is_above
from farglide.sim.core.scene import (
    Balloon,
    Scene,
)
from farglide.sim.core.states import CLIMBING, GLIDING
from farglide.sim.core.step import Errors
from farglide.sim.core.tracks import Point, between, put_point
from farglide.sim.fly.climb import (
    burst_between,
    is_aloft,
    is_brisk,
    layer_up,
    rising_from,
    step_up,
)
from farglide.sim.fly.descend import Falling, Sinking, fall_for
from farglide.sim.fly.homing import Homer, home_layer, is_over
from farglide.sim.fly.orders import Ends, Log, Orders
from farglide.sim.fly.over import hold_layer

_LONGEST_S: Final = 86_400.0
"""A balloon that floats on for a day without an order has no end that could be told."""


class OneFlight(NamedTuple):
    """One draw's gear, air on both ways and orders."""

    out: Errors
    home: Errors
    balloon: Balloon
    craft: Dropped
    homer: Homer
    reaction_s: float
    orders: Orders


class Homed(NamedTuple):
    """Where a glider is down, and when and how high it came over its field; NaN if it did not."""

    at: Point
    over_amsl_m: float
    over_s: float


class Lifted(NamedTuple):
    """Where a climb ends, and how: by a burst, or on the ground with all still tied on."""

    at: Point
    burst: bool
    down: bool


@inner
def _tell(log: Log, at: Point, phase: np.int64) -> None:
    j = log.n[0]
    if j < len(log.rows):
        put_point(log.rows, j, at)
        log.rows[j, 4] = phase
        log.n[0] = j + 1


@inner
def _ordered(orders: Orders, a: Point, b: Point) -> Point:
    """Return where on a march the order to release comes, NaN where it does not."""
    share = np.inf
    if orders.release_s <= b.t_s + 1e-9:
        share = (orders.release_s - a.t_s) / max(b.t_s - a.t_s, 1e-9)
    if b.amsl_m >= orders.release_amsl_m:
        by_height = (orders.release_amsl_m - a.amsl_m) / max(b.amsl_m - a.amsl_m, 1e-9)
        share = min(share, by_height)
    if share > 1.0 + 1e-6:
        return Point(np.nan, np.nan, np.nan, np.nan)
    return between(a, b, min(max(share, 0.0), 1.0))


@inner
def _lifted(scene: Scene, flight: OneFlight, at: Point, gas_kg: float, log: Log) -> Lifted:
    """Return where a balloon bursts or lets go; one that leaves the column upward has burst."""
    errors, orders, balloon = flight.out, flight.orders, flight.balloon
    rising = rising_from(scene, balloon, at, gas_kg)
    order = _ordered(orders, at, at)
    while is_aloft(scene, rising) and rising.at.t_s < at.t_s + _LONGEST_S:
        if rising.seen.t_s >= order.t_s:
            return Lifted(order, False, False)
        now = layer_up(scene, errors, balloon, rising)
        if not is_brisk(balloon, rising, now):
            until_s = orders.release_s if np.isnan(order.t_s) else np.inf
            now = step_up(scene, errors, balloon, rising, until_s)
        if np.isnan(order.t_s):
            order = _ordered(orders, rising.at, now.at)
        burst = burst_between(balloon, rising, now)
        if not np.isnan(burst.t_s) and not burst.t_s > order.t_s:
            return Lifted(burst, True, False)
        rising = now
        if np.isnan(order.t_s):
            _tell(log, now.at, CLIMBING)
    if not np.isnan(order.t_s):
        return Lifted(order, False, False)
    if is_aloft(scene, rising):
        return Lifted(Point(np.nan, np.nan, np.nan, np.nan), False, True)
    sunk = rising.at.amsl_m <= scene.layers.base_amsl_m or rising.gas_kg <= 0.0
    return Lifted(rising.at, not sunk, sunk)


@inner
def _tied_on(scene: Scene, flight: OneFlight, falling: Falling) -> Falling:
    """Return the fall with the remains when the release goes out."""
    balloon, orders = flight.balloon, flight.orders
    sink_eas_mps = _fall_speed_mps(
        balloon.envelope.balloon_kg + balloon.hanging_kg,
        orders.remains_area_m2,
        SEA_LEVEL_DENSITY_KGPM3,
        STANDARD_GRAVITY_MPS2,
    )
    sink = Sink(sink_eas_mps, THIN_EXPONENT, 1.0)
    sinking = Sinking(sink, orders.goal.ground_amsl_m)
    return fall_for(scene, flight.home, sinking, falling, flight.reaction_s)


@inner
def _levelled(scene: Scene, flight: OneFlight, falling: Falling, ends: Ends, i: int) -> Point:
    """Return where the glider that is let go flies steadily; NaN where it never comes level."""
    at = falling.at
    ends.release_s[i], ends.release_amsl_m[i] = at.t_s, at.amsl_m
    start = Start(at.amsl_m, 0.0)  # from rest, as the reach counts it: the two are compared
    pull = _pull_out(flight.craft, scene.layers, start, flight.orders.best_eas_mps)
    ends.peak_mach[i] = pull.peak_mach
    if np.isnan(pull.steady_s):
        return Point(np.nan, np.nan, at.north_rad, at.east_rad)
    lower = Point(at.t_s, at.amsl_m - pull.level_lost_m, at.north_rad, at.east_rad)
    end = drifted(scene, flight.home, lower, pull.steady_s)
    ends.level_amsl_m[i] = at.amsl_m - pull.steady_lost_m
    return Point(end.t_s, at.amsl_m - pull.steady_lost_m, end.north_rad, end.east_rad)


@inner
def _home(scene: Scene, flight: OneFlight, at: Point, log: Log) -> Homed:
    """Return where the glider lands, and when and how high it came over the field, if it did.

    Blown off it flies back: what counts is when it came to stay.
    """
    errors, homer, goal = flight.home, flight.homer, flight.orders.goal
    over_m, over_s = np.nan, np.nan
    while is_above(at, goal.ground_amsl_m):
        _tell(log, at, GLIDING)
        if np.isnan(over_m):
            at, there = home_layer(scene, errors, homer, goal, at)
            if there:
                over_m, over_s = at.amsl_m, at.t_s
        else:
            at = hold_layer(scene, errors, homer, goal, at)
            if not is_over(scene, at, goal):
                over_m, over_s = np.nan, np.nan
    return Homed(at, over_m, over_s)
