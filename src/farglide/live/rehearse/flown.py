"""Flown: a rehearsal's flight from the release to the ground, and how it ended."""

from dataclasses import dataclass
from enum import StrEnum
from typing import Final, NamedTuple

import numpy as np

from farglide.glider.release import Dropped, Start, _pull_out
from farglide.live.rehearse.lifted import CLOCK_S, TiedOn, remains_area_m2
from farglide.live.rehearse.trace import Trace, trace_of
from farglide.live.rehearse.truth import PRICES_MPS, Truth
from farglide.rig.gear import goals_of
from farglide.sim.core.states import CLIMBING, FALLING, GLIDING
from farglide.sim.core.step import Offset, apart_m
from farglide.sim.fly.descend import Falls, one_eas, trails
from farglide.sim.fly.drops import fallen_m
from farglide.sim.fly.flight import flown_track
from farglide.sim.fly.homing import OVER_M, Goal
from farglide.sim.fly.orders import Begins, Orders, gliding

_SPIRAL_LOAD: Final = 2.5
_SPIRAL_SHARE: Final = 0.8
"""Height over the field is flown off in a steep spiral at this share of the top speed."""
_GENTLE_EAS_MPS: Final = 1.5
"""Sink of a glider left to itself, where nobody timed it: a guess."""
_N_HALVINGS: Final = 7
"""A 128th of the way down: some 200 m of height."""
_LONGEST_FALL_S: Final = 6.0 * 3600.0


class How(StrEnum):
    """How a flight ended."""

    HOME = "came down on its field in time"
    SHORT = "did not reach its field"
    LATE = "came over its field too late"
    TIED_ON = "came down with the balloon still tied on"
    REMAINS = "fell with the remains of the balloon"


@dataclass(frozen=True, slots=True, kw_only=True)
class Flown:
    """A whole flight, and how it ended; NaN for a release that never was."""

    path: Trace
    glide: Trace  # as steered to the ground, were there no end to the packs
    how: How
    release_s: float
    release_amsl_m: float
    low_s: float  # over its field at the arrival height
    away_m: float  # from its field, where it lies
    price_mps: float  # what a second was worth to the crew


class Release(NamedTuple):
    """When a flight was let go, after the launch, and how high."""

    t_s: float
    amsl_m: float


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
        found = _flown(truth, tied, glide, release, orders.goal)
        first = found if first is None else first
        if found.how is How.HOME:
            return found
        if found.how is How.SHORT:
            break
    return flown if first is None else first


def _never(truth: Truth, lift: TiedOn, field: int) -> Flown:
    how = How.REMAINS if np.isfinite(lift.burst_s) else How.TIED_ON
    goal = _orders(truth, 0.0, field, 0.0).goal
    away_m = _apart_m(truth, lift.path, lift.path.end_s, goal)
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
        at_s = _last_above_s(first, middle_m)
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
    return _flown(truth, tied, glide, Release(at_s, lift.path.at(at_s).amsl_m), goal)


def _dropped(truth: Truth, tied: Trace, glide: Trace) -> Trace:
    """Return the fall and the pull-out between the release and the glide, a row a second.

    By the height that the pull-out costs; over the ground it goes evenly.
    """
    begin, high_m, low_m = tied.end_s, float(tied.amsl_m[-1]), float(glide.amsl_m[0])
    craft = _craft_of(truth)
    pull = _pull_out(craft, truth.air.scene.layers, Start(high_m, 0.0), truth.best_eas_mps)
    seconds = float(glide.t_s[0]) - begin
    after_s = max(seconds - pull.level_s, 1e-3)
    after_mps = (high_m - low_m - pull.level_lost_m) / after_s
    drop = np.array([pull.level_s, pull.level_lost_m, after_s, after_mps])
    gone_s = np.arange(1.0, seconds) if seconds > 1.0 else np.empty(0)
    share = (gone_s / seconds)[:, None]
    ends = [np.array([one.north_rad[k], one.east_rad[k]]) for one, k in ((tied, -1), (glide, 0))]
    places = (1.0 - share) * ends[0] + share * ends[1]
    amsl_m = high_m - np.array([fallen_m(drop, float(one)) for one in gone_s]).reshape(-1)
    return trace_of(np.column_stack([begin + gone_s, amsl_m, places]))


def _craft_of(truth: Truth) -> Dropped:
    fleet = truth.gear.fleet
    own = fleet.drop._replace(drop_drag=float(fleet.drop_drag[0]))
    return Dropped(fleet.polar, own, float(fleet.glide_factor[0]))


def _flown(truth: Truth, tied: Trace, glide: Trace, release: Release, goal: Goal) -> Flown:
    """Return a flight by its way to the release and its glide; `release`: when, and how high."""
    low_s = _last_above_s(glide, goal.ground_amsl_m + truth.sortie.wish.arrival_agl_m)
    over = _apart_m(truth, glide, low_s, goal) < OVER_M
    how = How.SHORT if not over else How.HOME if low_s <= truth.end_s else How.LATE
    flown = glide
    if glide.t_s[0] < truth.dead_s < glide.end_s:
        flown = _left_to_itself(truth, glide, goal.ground_amsl_m)
    path = tied.then(_dropped(truth, tied, glide)).then(flown)
    return Flown(
        path=path,
        glide=glide,
        how=how,
        release_s=release.t_s,
        release_amsl_m=release.amsl_m,
        low_s=low_s if over else float("nan"),
        away_m=_apart_m(truth, path, path.end_s, goal),
        price_mps=goal.price_mps,
    )


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


def _last_above_s(path: Trace, low_m: float) -> float:
    """Return when a path comes down to a height for good."""
    above = np.flatnonzero(path.amsl_m > low_m)
    if not len(above) or above[-1] + 1 >= len(path.t_s):
        return float(path.t_s[0])
    k = int(above[-1])
    share = (path.amsl_m[k] - low_m) / (path.amsl_m[k] - path.amsl_m[k + 1])
    return float(path.t_s[k] + share * (path.t_s[k + 1] - path.t_s[k]))


def _left_to_itself(truth: Truth, glide: Trace, ground_m: float) -> Trace:
    """Return a glide that nobody steers from the end of the packs on."""
    known = truth.sortie.glider.hands_off_sink_eas_mps
    sink_mps = _GENTLE_EAS_MPS if known is None else known.value
    start = np.array([[truth.dead_s, *glide.at(truth.dead_s)]])
    falls = Falls(start, one_eas(np.array([sink_mps])), ground_m)
    clock_s = np.arange(truth.dead_s, truth.dead_s + _LONGEST_FALL_S, CLOCK_S)
    trail = trails(truth.air.scene, truth.drawn.swarm, falls, clock_s)
    rows = np.stack([clock_s, *(one[0] for one in trail)], axis=1)
    return glide.until(truth.dead_s).then(trace_of(rows[np.isfinite(rows[:, 1])]))


def _apart_m(truth: Truth, path: Trace, t_s: float, goal: Goal) -> float:
    """Return how far from its field it is at a moment."""
    at, there = path.at(t_s), Offset(goal.north_rad, goal.east_rad)
    here = Offset(at.north_rad, at.east_rad)
    return float(np.hypot(*apart_m(truth.air.scene.frame, here, there)))
