"""Flight: whole flights to the ground from any state, under one crew's orders, draw by draw."""

from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import BoolArray, FloatArray, IntArray
from farglide.constants import SEA_LEVEL_DENSITY_KGPM3, STANDARD_GRAVITY_MPS2
from farglide.errors import InputError
from farglide.fall import THIN_EXPONENT, Sink, _fall_speed_mps
from farglide.glider.release import Dropped, Start, _pull_out
from farglide.kernel import compiled, inner
from farglide.sim.core.losses import Fleet, _dropped
from farglide.sim.core.march import drifted, is_above
from farglide.sim.core.scene import (
    Balloon,
    Scene,
    Swarm,
    _errors_home,
    _errors_out,
    check_in_air,
    own_balloon,
)
from farglide.sim.core.states import CLIMBING, FALLING, GLIDING
from farglide.sim.core.step import Errors
from farglide.sim.core.tracks import Point, between, is_nowhere, point_of, put_point
from farglide.sim.core.workers import Stretch, Workers, in_one_go
from farglide.sim.fly.climb import (
    Aloft,
    burst_between,
    is_aloft,
    is_brisk,
    layer_up,
    rising_from,
    step_up,
)
from farglide.sim.fly.descend import Falling, Sinking, fall_for
from farglide.sim.fly.homing import Goal, Homer, home_layer, is_over
from farglide.sim.fly.over import hold_layer
from farglide.sim.reach.speeds import Speeds, price_row

_MOST_ROWS: Final = 20_000
_LONGEST_S: Final = 86_400.0
"""A balloon that floats on for a day without an order has no end that could be told."""


class Orders(NamedTuple):
    """What the crew does, the same in every draw."""

    release_s: float  # after the launch; a burst before sends the release at once
    goal: Goal
    best_eas_mps: float  # at which the glide begins
    remains_area_m2: float  # C_d A near the ground of balloon remains and glider, tied together
    release_amsl_m: float = np.inf  # or at this height, whichever comes first


class Gear(NamedTuple):
    """What flies, the speeds flown on the way home, and how soon each crew lets go of remains."""

    balloon: Balloon
    fleet: Fleet
    speeds: Speeds
    reaction_s: FloatArray  # (n_draws,)


class Begins(NamedTuple):
    """Where each draw's flight goes on from, first axis the draw."""

    phase: IntArray  # CLIMBING, FALLING with the remains, or GLIDING
    states: FloatArray  # (n_draws, 4): time, height and offsets; NaN for none
    gas_kg: FloatArray  # left in a climbing balloon
    fall_mps: FloatArray  # of what is tied on and falls


class Ends(NamedTuple):
    """How each flight went, shape (n_draws,)."""

    burst: BoolArray  # before the release
    release_s: FloatArray  # NaN where nothing was released
    release_amsl_m: FloatArray
    level_amsl_m: FloatArray
    peak_mach: FloatArray
    over_field_amsl_m: FloatArray  # where it came to stay; NaN where it is not over the field
    over_field_s: FloatArray
    landed_s: FloatArray
    north_rad: FloatArray
    east_rad: FloatArray


class Log(NamedTuple):
    """Where one flight was at the end of each march; without room it keeps nothing."""

    rows: FloatArray  # (n, 5): time, height, offsets, phase
    n: IntArray  # (1,): how many are filled


class _Flight(NamedTuple):
    """One draw's gear, air on both ways and orders."""

    out: Errors
    home: Errors
    balloon: Balloon
    craft: Dropped
    homer: Homer
    reaction_s: float
    orders: Orders


class _Begin(NamedTuple):
    """Where one draw's flight goes on from."""

    phase: np.int64
    at: Point
    gas_kg: float
    fall_mps: float


class _Homed(NamedTuple):
    """Where a glider is down, and when and how high it came over its field; NaN if it did not."""

    at: Point
    over_amsl_m: float
    over_s: float


class _Lifted(NamedTuple):
    """Where a climb ends, and how: by a burst, or on the ground with all still tied on."""

    at: Point
    burst: bool
    down: bool


def climbing(aloft: Aloft) -> Begins:
    """Return the begins of flights whose balloons climb."""
    n = len(aloft.gas_kg)
    return Begins(np.full(n, CLIMBING), aloft.states, aloft.gas_kg, np.zeros(n))


def gliding(states: FloatArray) -> Begins:
    """Return the begins of flights whose gliders are level."""
    n = len(states)
    return Begins(np.full(n, GLIDING), states, np.zeros(n), np.zeros(n))


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
def _lifted(scene: Scene, flight: _Flight, at: Point, gas_kg: float, log: Log) -> _Lifted:
    """Return where a balloon bursts or lets go; one that leaves the column upward has burst."""
    errors, orders, balloon = flight.out, flight.orders, flight.balloon
    rising = rising_from(scene, balloon, at, gas_kg)
    order = _ordered(orders, at, at)
    while is_aloft(scene, rising) and rising.at.t_s < at.t_s + _LONGEST_S:
        if rising.seen.t_s >= order.t_s:
            return _Lifted(order, False, False)
        now = layer_up(scene, errors, balloon, rising)
        if not is_brisk(balloon, rising, now):
            until_s = orders.release_s if np.isnan(order.t_s) else np.inf
            now = step_up(scene, errors, balloon, rising, until_s)
        if np.isnan(order.t_s):
            order = _ordered(orders, rising.at, now.at)
        burst = burst_between(balloon, rising, now)
        if not np.isnan(burst.t_s) and not burst.t_s > order.t_s:
            return _Lifted(burst, True, False)
        rising = now
        if np.isnan(order.t_s):
            _tell(log, now.at, CLIMBING)
    if not np.isnan(order.t_s):
        return _Lifted(order, False, False)
    if is_aloft(scene, rising):
        return _Lifted(Point(np.nan, np.nan, np.nan, np.nan), False, True)
    sunk = rising.at.amsl_m <= scene.layers.base_amsl_m or rising.gas_kg <= 0.0
    return _Lifted(rising.at, not sunk, sunk)


@inner
def _tied_on(scene: Scene, flight: _Flight, falling: Falling) -> Falling:
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
def _levelled(scene: Scene, flight: _Flight, falling: Falling, ends: Ends, i: int) -> Point:
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
def _home(scene: Scene, flight: _Flight, at: Point, log: Log) -> _Homed:
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
    return _Homed(at, over_m, over_s)


@inner
def _fly_one(scene: Scene, flight: _Flight, begin: _Begin, ends: Ends, i: int, log: Log) -> None:
    """Fly draw `i` to the ground."""
    phase, at, gas_kg, fall_mps = begin
    _tell(log, at, phase)
    falling, down = Falling(at, fall_mps), False
    if phase == CLIMBING:
        lifted = _lifted(scene, flight, at, gas_kg, log)
        falling, down = Falling(lifted.at, 0.0), lifted.down
        ends.burst[i] = lifted.burst
    if ends.burst[i] or phase == FALLING:
        _tell(log, falling.at, FALLING)
        falling = _tied_on(scene, flight, falling)
        down = not is_above(falling.at, flight.orders.goal.ground_amsl_m)
    at, homed = falling.at, _Homed(falling.at, np.nan, np.nan)
    if not down:
        if phase != GLIDING:
            _tell(log, at, FALLING if ends.burst[i] or phase == FALLING else CLIMBING)
            at = _levelled(scene, flight, falling, ends, i)
        homed = _home(scene, flight, at, log)
        at = homed.at
    _tell(log, at, GLIDING)
    ends.landed_s[i], ends.north_rad[i], ends.east_rad[i] = at.t_s, at.north_rad, at.east_rad
    ends.over_field_amsl_m[i], ends.over_field_s[i] = homed.over_amsl_m, homed.over_s


@compiled
def _fly_some(
    scene: Scene,
    swarm: Swarm,
    gear: Gear,
    orders: Orders,
    begins: Begins,
    some: Stretch,
    ends: Ends,
    log: Log,
) -> None:
    """Fly draws `some` to the ground."""
    balloon = gear.balloon
    for i in range(some.first, some.last):
        at = point_of(begins.states, i)
        if is_nowhere(at) or np.isnan(begins.gas_kg[i] + begins.fall_mps[i]):
            continue
        own = own_balloon(swarm, balloon, i)
        craft = _dropped(gear.fleet, i)
        row = price_row(gear.speeds, orders.goal.price_mps)
        homer = Homer(craft.polar, craft.glide_factor, gear.speeds, row)
        out, home = _errors_out(swarm, i), _errors_home(swarm, i)
        flight = _Flight(out, home, own, craft, homer, gear.reaction_s[i], orders)
        begin = _Begin(begins.phase[i], at, begins.gas_kg[i], begins.fall_mps[i])
        _fly_one(scene, flight, begin, ends, i, log)


def _check(scene: Scene, gear: Gear, orders: Orders) -> None:
    check_in_air(scene, "ground_amsl_m", orders.goal.ground_amsl_m)
    if not (np.isfinite(gear.reaction_s) & (gear.reaction_s >= 0.0)).all():
        raise InputError("reaction_s", f"{gear.reaction_s.max()} s", "0 s or more, finite")


def _ends(n: int) -> Ends:
    return Ends(np.zeros(n, np.bool_), *(np.full(n, np.nan) for _ in range(9)))


def fly(
    scene: Scene,
    swarm: Swarm,
    gear: Gear,
    orders: Orders,
    begins: Begins,
    workers: Workers = in_one_go,
) -> Ends:
    """Return how every draw's flight goes on under the same orders, down to the ground.

    A balloon that sinks out of the column with all still tied on has landed there; one that floats
    on for a day without an order never does: NaN.
    """
    _check(scene, gear, orders)
    n = len(begins.phase)
    ends, log = _ends(n), Log(np.empty((0, 5)), np.zeros(1, np.int64))
    workers(lambda a, b: _fly_some(scene, swarm, gear, orders, begins, Stretch(a, b), ends, log), n)
    return ends


def flown_track(
    scene: Scene, swarm: Swarm, gear: Gear, orders: Orders, begins: Begins, draw: int
) -> FloatArray:
    """Return one draw's flight, (n_moments, 5): time, height, offsets and phase.

    Between two rows all changes evenly, but for the drop and the pull-out.
    """
    _check(scene, gear, orders)
    log = Log(np.empty((_MOST_ROWS, 5)), np.zeros(1, np.int64))
    ends, alone = _ends(len(begins.phase)), Stretch(draw, draw + 1)
    _fly_some(scene, swarm, gear, orders, begins, alone, ends, log)
    return log.rows[: log.n[0]]
