"""Flight: whole flights to the ground from any state, under one crew's orders, draw by draw."""

from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import FloatArray
from farglide.errors import InputError
from farglide.kernel import compiled, inner
from farglide.sim.core.losses import _dropped
from farglide.sim.core.march import is_above
from farglide.sim.core.scene import (
    Scene,
    Swarm,
    _errors_home,
    _errors_out,
    check_in_air,
    own_balloon,
)
from farglide.sim.core.states import CLIMBING, FALLING, GLIDING
from farglide.sim.core.tracks import Point, is_nowhere, point_of
from farglide.sim.core.workers import Stretch, Workers, in_one_go
from farglide.sim.fly.descend import Falling
from farglide.sim.fly.homing import Homer
from farglide.sim.fly.orders import Begins, Ends, Gear, Log, Orders
from farglide.sim.fly.stages import Homed, OneFlight, _home, _levelled, _lifted, _tell, _tied_on
from farglide.sim.reach.speeds import price_row

_MOST_ROWS: Final = 20_000


class _Begin(NamedTuple):
    """Where one draw's flight goes on from."""

    phase: np.int64
    at: Point
    gas_kg: float
    fall_mps: float


@inner
def _fly_one(scene: Scene, flight: OneFlight, begin: _Begin, ends: Ends, i: int, log: Log) -> None:
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
    at, homed = falling.at, Homed(falling.at, np.nan, np.nan)
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
        flight = OneFlight(out, home, own, craft, homer, gear.reaction_s[i], orders)
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
