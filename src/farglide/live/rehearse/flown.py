"""Flown: a rehearsal's flight from the release to the ground, or on to another field."""

from typing import Final

import numpy as np

from farglide.live.rehearse.ended import Flown, How, Release, apart_from_m, ended, last_above_s
from farglide.live.rehearse.lifted import TiedOn, remains_area_m2
from farglide.live.rehearse.trace import Trace, trace_of
from farglide.live.rehearse.truth import PRICES_MPS, Truth
from farglide.rig.gear import goals_of
from farglide.sim.core.states import CLIMBING, FALLING, GLIDING
from farglide.sim.fly.flight import flown_track
from farglide.sim.fly.homing import Goal
from farglide.sim.fly.orders import Begins, Orders, gliding

_SPIRAL_LOAD: Final = 2.5
_SPIRAL_SHARE: Final = 0.8
"""Height over the field is flown off in a steep spiral at this share of the top speed."""
_N_HALVINGS: Final = 7
"""A 128th of the way down: some 200 m of height."""


def let_go(truth: Truth, lift: TiedOn, at_s: float | None, field: int) -> Flown:
    """Return the flight that is let go at a moment and flown to a field; None: nobody lets go.

    The crew flies as fast as brings it over the field in time, by the least price of a second that
    does; or hurried from the top and slower below, where all the way is short of the field at one
    price and late at the one before. If nothing brings it there in time, as far as it goes. A
    glider tied to what is left of a burst balloon comes free of it or not, as the truth has it.
    When the packs are empty it is left to itself.
    """
    if at_s is None or at_s >= lift.path.end_s:
        return _never(truth, lift, field)
    if lift.is_fallen(at_s) and not truth.comes_free:
        return _never(truth, lift, field)
    first = before = _home(truth, lift, at_s, field, PRICES_MPS[0])
    for price_mps in PRICES_MPS:
        found = _home(truth, lift, at_s, field, price_mps)
        if found.how is How.HOME:
            return found
        if found.how is How.SHORT:
            return _mixed(truth, lift, found, before, field) or first
        before = found
    return first


def turned(truth: Truth, flown: Flown, at_s: float, field: int) -> Flown:
    """Return a flight that makes for another field from a moment of its glide on.

    As `let_go` it comes there in time by the least price of a second that does.
    """
    first = None
    for price_mps in PRICES_MPS:
        state = np.array([[at_s, *flown.glide.at(at_s)]])
        orders = _orders(truth, flown.release_s, field, price_mps)
        below = _glide(truth, gliding(state), 0.0, orders)
        glide = flown.glide.until(at_s).then(below)
        release = Release(flown.release_s, flown.release_amsl_m)
        tied = flown.path.until(flown.release_s)
        found = ended(truth, tied, glide, release, orders.goal)
        first = found if first is None else first
        if found.how is How.HOME:
            return found
        if found.how is How.SHORT:
            break
    return flown if first is None else first


def _never(truth: Truth, lift: TiedOn, field: int) -> Flown:
    how = How.REMAINS if np.isfinite(lift.burst_s) else How.TIED_ON
    goal = _orders(truth, 0.0, field, 0.0).goal
    away_m = apart_from_m(truth, lift.path, lift.path.end_s, goal)
    none = float("nan")
    return Flown(
        path=lift.path,
        glide=lift.path,
        how=how,
        release_s=none,
        release_amsl_m=none,
        low_s=none,
        away_m=away_m,
        price_mps=0.0,
    )


def _home(truth: Truth, lift: TiedOn, at_s: float, field: int, price_mps: float) -> Flown:
    """Return the flight from the release on at one price of a second."""
    begins, wait_s = _begins(truth, lift, at_s)
    glide = _glide(truth, begins, wait_s, _orders(truth, at_s, field, price_mps))
    return _ended(truth, lift, glide, at_s, _orders(truth, at_s, field, price_mps).goal)


def _mixed(truth: Truth, lift: TiedOn, dear: Flown, cheap: Flown, field: int) -> Flown | None:
    """Return a flight at a dear price from the top and at a cheap one below, None if none is home.

    All dear it is short of the field, all cheap it is late: halved for the height between.
    """
    if cheap.how is not How.LATE:
        return None
    orders = _orders(truth, dear.release_s, field, cheap.price_mps)
    first = dear.glide
    high_m, low_m = float(first.amsl_m[0]), orders.goal.ground_amsl_m
    for _ in range(_N_HALVINGS):
        middle_m = 0.5 * (high_m + low_m)
        at_s = last_above_s(first, middle_m)
        state = np.array([[at_s, *first.at(at_s)]])
        below = _glide(truth, gliding(state), 0.0, orders)
        found = _ended(truth, lift, first.until(at_s).then(below), dear.release_s, orders.goal)
        if found.how is How.HOME:
            return found
        if found.how is How.SHORT:
            low_m = middle_m
        else:
            high_m = middle_m
    return None


def _orders(truth: Truth, at_s: float, field: int, price_mps: float) -> Orders:
    goals = goals_of(truth.sortie, truth.sortie.fields)
    goal = Goal(
        north_rad=float(goals.north_rad[field]),
        east_rad=float(goals.east_rad[field]),
        ground_amsl_m=float(goals.ground_amsl_m[field]),
        circle_load=_SPIRAL_LOAD,
        circle_eas_mps=_SPIRAL_SHARE * truth.sortie.glider.top_eas_mps,
        price_mps=price_mps,
    )
    return Orders(at_s, goal, truth.best_eas_mps, remains_area_m2(truth))


def _glide(truth: Truth, begins: Begins, wait_s: float, orders: Orders) -> Trace:
    """Return the way of the glider from where it is level to the ground."""
    gear = truth.gear._replace(reaction_s=np.array([wait_s]))
    rows = flown_track(truth.air.scene, truth.drawn.swarm, gear, orders, begins, 0)
    return trace_of(rows[rows[:, 4] == GLIDING])


def _ended(truth: Truth, lift: TiedOn, glide: Trace, at_s: float, goal: Goal) -> Flown:
    """Return a flight by its glide, and how it ends."""
    tied = lift.path.until(at_s)
    return ended(truth, tied, glide, Release(at_s, lift.path.at(at_s).amsl_m), goal)


def _begins(truth: Truth, lift: TiedOn, at_s: float) -> tuple[Begins, float]:
    """Return where the kernels begin: climbing at the release, or falling from the burst.

    And how long after that beginning a falling one is let go.
    """
    fallen = lift.is_fallen(at_s)
    from_s = lift.burst_s if fallen else at_s
    state = np.array([[from_s, *lift.path.at(from_s)]])
    phase = np.array([FALLING if fallen else CLIMBING])
    begins = Begins(phase, state, truth.drawn.swarm.gas_kg, np.zeros(1))
    return begins, at_s - from_s
