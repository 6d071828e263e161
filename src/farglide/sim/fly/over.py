"""Over: down over a field in wind: circles and legs into it, or straight into a faster one.

Circles go with the wind. A glider that stays over a place gives the share wind / level speed of its
time to legs straight into the wind, at the speed that sinks as its turn does: then it comes down
as fast as in still air. A wind that is faster than these legs is faced all the time, as fast as it
blows, which sinks faster than the turn. What even the fastest level speed does not hold against
sets the glider back.
"""

from typing import Final, NamedTuple

import numpy as np

from farglide.constants import SEA_LEVEL_DENSITY_KGPM3
from farglide.glider.polar import GlideAir, Steady, _slowest_eas, _steady
from farglide.glider.wing import Polar
from farglide.kernel import inner, merged
from farglide.sim.core.march import Velocity, cell_below, lowered
from farglide.sim.core.scene import Scene
from farglide.sim.core.step import Errors
from farglide.sim.core.tracks import Point
from farglide.sim.core.wind import AirCell, wind_at
from farglide.sim.fly.homing import Goal, Homer
from farglide.sim.reach.drawnglider import glide_air
from farglide.sim.reach.straight import LEAST_SINK_RATIO

_JUST_RATIO: Final = 1e-3
"""A level speed this near to the wind is the wind's."""
_FIRST_RATIO: Final = 1.02
"""Of the airspeed, this much more than the wind is the first try: a path 11 degrees steep."""
_STEEP_RATIO: Final = 0.5
"""Paths of 30 degrees, or a level speed that grows half as fast as the airspeed."""
_N_HALVINGS: Final = 24


class Turn(NamedTuple):
    """How height is flown off over one place."""

    eas_mps: float = 0.0  # 0: the flattest glide of each layer
    load: float = 1.0  # in the turn; 1: so wide that the bank costs nothing
    sink_eas_mps: float = 0.0  # as timed, at sea-level density; 0: by the polar at this speed


class LayerGlider(NamedTuple):
    """One glider in the air of one layer."""

    polar: Polar
    air: GlideAir
    glide_factor: float


class Circle(NamedTuple):
    """A turn in one layer, and the slowest straight glide beside it."""

    eas_mps: float
    level_mps: float
    sink_mps: float


class Held(NamedTuple):
    """How a glider that stays over a place comes down."""

    sink_mps: float
    set_back_mps: float  # 0 where it holds


@merged
def circle_of(glider: LayerGlider, turn: Turn) -> Circle:
    """Return a turn in one layer; one that is timed and not flown at a known speed, by its sink."""
    polar, air, factor = glider
    if turn.sink_eas_mps > 0.0:
        slowest = _slowest_eas(polar)
        level, _ = _steady(polar, slowest, air, factor, 1.0)
        return Circle(slowest, level, turn.sink_eas_mps * air.tas_per_eas)
    level, sink = _steady(polar, turn.eas_mps, air, factor, turn.load)
    return Circle(turn.eas_mps, level, sink)


@inner
def _straight(glider: LayerGlider, eas_mps: float) -> Steady:
    return Steady(*_steady(glider.polar, eas_mps, glider.air, glider.glide_factor, 1.0))


@merged
def _surely_outsinks(glider: LayerGlider, eas_mps: float, sink_mps: float) -> bool:
    """Tell whether a straight glide sinks faster than that by its least drag alone: no power."""
    polar, air, factor = glider
    q_area = 0.5 * SEA_LEVEL_DENSITY_KGPM3 * eas_mps * eas_mps * polar.area_m2
    held_n = polar.weight_n * air.gravity_ratio * factor
    held_n *= 1.0 + air.slowing_s2pm2 * eas_mps * eas_mps
    sine = min(q_area * polar.zero_lift_drag / held_n, 1.0)
    return eas_mps * air.tas_per_eas * sine > sink_mps


@inner
def _facing(glider: LayerGlider, circle: Circle, wind_mps: float, top_mps: float) -> Steady:
    """Return the slowest straight glide that holds against a wind, or the fastest if none does.

    By the slope of the level speed, 1 - 2 tan^2 of the path in its own measure where drag goes as
    the square of the speed; from steep paths on, between two speeds.
    """
    eas = max(_FIRST_RATIO * wind_mps / glider.air.tas_per_eas, circle.eas_mps)
    for _ in range(3):
        if eas > top_mps:
            break
        steady = _straight(glider, eas)
        short = wind_mps / max(steady.level_mps, 1e-9) - 1.0
        if abs(short) <= _JUST_RATIO:
            return steady
        steep = steady.sink_mps / max(steady.level_mps, 1e-9)
        slope = 1.0 - 2.0 * steep * steep
        if slope < _STEEP_RATIO:
            break
        eas *= 1.0 + short / slope
    return _facing_steeply(glider, circle, wind_mps, top_mps)


@inner
def _facing_steeply(glider: LayerGlider, circle: Circle, wind_mps: float, top_mps: float) -> Steady:
    """Return what just holds by false position: the level speed grows less and less, then falls."""
    fast = _straight(glider, top_mps)
    high, steady = top_mps, fast
    tas_per_eas = glider.air.tas_per_eas
    while (
        steady.level_mps < wind_mps
        and steady.sink_mps > _STEEP_RATIO * high * tas_per_eas
        and high > circle.eas_mps
    ):
        high *= 0.95
        steady = _straight(glider, high)
    if steady.level_mps < wind_mps:
        return fast
    low, low_level = circle.eas_mps, circle.level_mps
    for _ in range(8):
        if steady.level_mps <= (1.0 + _JUST_RATIO) * wind_mps:
            break
        eas = low + (high - low) * (wind_mps - low_level) / (steady.level_mps - low_level)
        tried = _straight(glider, eas)
        if tried.level_mps >= wind_mps:
            high, steady = eas, tried
        else:
            low, low_level = eas, tried.level_mps
    return steady


@merged
def held_in(glider: LayerGlider, circle: Circle, wind_mps: float, fastest_mps: float) -> Held:
    """Return how a glider comes down that stays over a place in a wind.

    Where no straight glide sinks as the turn does, legs are flown at the fastest EAS.
    """
    top = max(fastest_mps, circle.eas_mps)
    circles = wind_mps <= circle.level_mps
    if not _surely_outsinks(glider, top, circle.sink_mps):
        fast = _straight(glider, top)
        if fast.sink_mps <= circle.sink_mps:
            share = min(wind_mps / max(fast.level_mps, 1e-9), 1.0)
            mixed_mps = circle.sink_mps + share * (fast.sink_mps - circle.sink_mps)
            return Held(mixed_mps, max(wind_mps - fast.level_mps, 0.0))
    if circles:
        return Held(circle.sink_mps, 0.0)
    faced = _facing(glider, circle, wind_mps, top)
    over_mps = wind_mps - faced.level_mps
    back_mps = over_mps if over_mps > _JUST_RATIO * faced.level_mps else 0.0
    return Held(max(faced.sink_mps, circle.sink_mps), back_mps)


@inner
def leg_ratio(glider: LayerGlider, circle: Circle, wind_mps: float, fastest_mps: float) -> float:
    """Return the share of the time that goes into legs into the wind; 1 where nothing circles."""
    low, high = circle.eas_mps, max(fastest_mps, circle.eas_mps)
    if _straight(glider, high).sink_mps <= circle.sink_mps:
        low = high
    for _ in range(_N_HALVINGS):
        middle = 0.5 * (low + high)
        if _straight(glider, middle).sink_mps <= circle.sink_mps:
            low = middle
        else:
            high = middle
    return min(wind_mps / max(_straight(glider, low).level_mps, 1e-9), 1.0)


@merged
def held_on(
    scene: Scene, errors: Errors, homer: Homer, turn: Turn, at: Point, to_amsl_m: float
) -> Point:
    """Return where a glider that stays over a place leaves its layer, or comes to a height."""
    cell: AirCell = cell_below(scene, at)
    wind = wind_at(scene, errors, cell)
    glider = LayerGlider(homer.polar, glide_air(scene.layers, cell.layer), homer.glide_factor)
    wind_mps = np.sqrt(wind.u_mps * wind.u_mps + wind.v_mps * wind.v_mps)
    fastest_mps = homer.speeds.fastest_mps[cell.layer]
    held = held_in(glider, circle_of(glider, turn), wind_mps, fastest_mps)
    slip = held.set_back_mps / max(wind_mps, 1e-9)
    sink = max(held.sink_mps - wind.up_mps, LEAST_SINK_RATIO * held.sink_mps)
    velocity = Velocity(wind.u_mps * slip, wind.v_mps * slip, sink)
    return lowered(scene, cell, at, velocity, to_amsl_m)


@merged
def hold_layer(scene: Scene, errors: Errors, homer: Homer, goal: Goal, at: Point) -> Point:
    """Return where a glider that stays over its field leaves its layer, or is down."""
    turn = Turn(goal.circle_eas_mps, goal.circle_load, 0.0)
    return held_on(scene, errors, homer, turn, at, goal.ground_amsl_m)
