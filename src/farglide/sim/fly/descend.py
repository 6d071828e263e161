"""Descend: what nobody steers, down through the wind of its own draw, settled or from rest."""

from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import FloatArray
from farglide.fall import Sink, _gathered, _settled_mps
from farglide.kernel import compiled, inlined, inner, merged
from farglide.sim.core.march import (
    Velocity,
    carried,
    cell_below,
    is_above,
    lowered,
)
from farglide.sim.core.scene import Scene, Swarm, _errors_home, check_in_air
from farglide.sim.core.step import Errors
from farglide.sim.core.tracks import Point, Trails, between, is_nowhere, point_of, put_point
from farglide.sim.core.wind import cell_at, wind_at
from farglide.sim.core.workers import Stretch, Workers, in_one_go

_FALL_STEP_S: Final = 2.0


class Sinks(NamedTuple):
    """How fast each draw settles, (n_draws,); see `farglide.fall.Sink`."""

    eas_mps: FloatArray  # at sea-level air density
    thin_exponent: FloatArray
    thin_from_ratio: float  # the same for all


class Falls(NamedTuple):
    """From where every draw comes down, how fast, and to which height."""

    starts: FloatArray  # (n_draws, 4): time, height and offsets in radians; NaN for none
    sinks: Sinks
    to_amsl_m: float


class Sinking(NamedTuple):
    """How fast a thing settles, and the height at which it is down."""

    sink: Sink
    to_amsl_m: float


class Falling(NamedTuple):
    """One thing that gathers speed."""

    at: Point
    speed_mps: float


def one_eas(sink_eas_mps: FloatArray) -> Sinks:
    """Return sinks that keep their equivalent airspeed at every height, (n_draws,)."""
    return Sinks(sink_eas_mps, np.zeros_like(sink_eas_mps), 1.0)


@inlined
def _sink_of(sinks: Sinks, i: int) -> Sink:
    return Sink(sinks.eas_mps[i], sinks.thin_exponent[i], sinks.thin_from_ratio)


@merged
def layer_down(scene: Scene, errors: Errors, sink: Sink, at: Point, to_amsl_m: float) -> Point:
    """Return where a settled fall leaves its layer, or comes to a height."""
    cell = cell_below(scene, at)
    wind = wind_at(scene, errors, cell)
    sink_mps = _settled_mps(sink, scene.layers.tas_per_eas[cell.layer]) - wind.up_mps
    return lowered(scene, cell, at, Velocity(wind.u_mps, wind.v_mps, sink_mps), to_amsl_m)


@inner
def fall_on(scene: Scene, errors: Errors, sink: Sink, falling: Falling, step_s: float) -> Falling:
    """Return a fall after a step in time, on its way to the settled speed; it drifts with the wind.

    Valid: steps of some seconds, in which the air's density changes little.
    """
    cell = cell_at(scene, falling.at)
    wind = wind_at(scene, errors, cell)
    settled_mps = _settled_mps(sink, scene.layers.tas_per_eas[cell.layer])
    speed_mps, lost_m = _gathered(falling.speed_mps, settled_mps, step_s)
    sink_mps = lost_m / step_s - wind.up_mps
    velocity = Velocity(wind.u_mps, wind.v_mps, sink_mps)
    return Falling(carried(scene, cell, falling.at, velocity, step_s), speed_mps)


@inner
def fall_for(
    scene: Scene, errors: Errors, sinking: Sinking, falling: Falling, seconds: float
) -> Falling:
    """Return a fall after a time, or when it is down, in steps of 2 s and a shorter last one."""
    left_s, low_m, was = seconds, sinking.to_amsl_m, falling
    while left_s > 1e-9 and is_above(falling.at, low_m):
        step_s = min(left_s, _FALL_STEP_S)
        was, left_s = falling, left_s - step_s
        falling = fall_on(scene, errors, sinking.sink, was, step_s)
    if falling.at.amsl_m >= low_m or not is_above(was.at, low_m):
        return falling
    share = (was.at.amsl_m - low_m) / (was.at.amsl_m - falling.at.amsl_m)
    return Falling(between(was.at, falling.at, share), falling.speed_mps)


@merged
def _note(trails: Trails, i: int, j: int, at: Point) -> None:
    trails.amsl_m[i, j] = at.amsl_m
    trails.north_rad[i, j], trails.east_rad[i, j] = at.north_rad, at.east_rad


@compiled
def _descend_some(
    scene: Scene,
    swarm: Swarm,
    falls: Falls,
    clock_s: FloatArray,
    some: Stretch,
    trails: Trails,
    ends: FloatArray,
) -> None:
    """Bring draws `some` down."""
    n, to_m = len(clock_s), falls.to_amsl_m
    for i in range(some.first, some.last):
        at = point_of(falls.starts, i)
        if is_nowhere(at):
            continue
        errors, sink, j = _errors_home(swarm, i), _sink_of(falls.sinks, i), 0
        while j < n and clock_s[j] < at.t_s:
            j += 1
        while is_above(at, to_m):
            end = layer_down(scene, errors, sink, at, to_m)
            while j < n and clock_s[j] <= end.t_s:
                _note(trails, i, j, between(at, end, (clock_s[j] - at.t_s) / (end.t_s - at.t_s)))
                j += 1
            at = end
        put_point(ends, i, at)


@compiled
def _plunge_some(
    scene: Scene, swarm: Swarm, falls: Falls, after_s: FloatArray, some: Stretch, trails: Trails
) -> None:
    """Let draws `some` fall from rest, told as long after their starts as `after_s` says."""
    for i in range(some.first, some.last):
        falling = Falling(point_of(falls.starts, i), 0.0)
        if is_nowhere(falling.at):
            continue
        errors, gone_s = _errors_home(swarm, i), 0.0
        sinking = Sinking(_sink_of(falls.sinks, i), falls.to_amsl_m)
        for j in range(after_s.shape[1]):
            wait_s = after_s[i, j] - gone_s
            falling = fall_for(scene, errors, sinking, falling, wait_s)
            gone_s = after_s[i, j]
            if not is_above(falling.at, falls.to_amsl_m):
                break
            _note(trails, i, j, falling.at)


def _no_trails(n_draws: int, n_moments: int) -> Trails:
    return Trails(*(np.full((n_draws, n_moments), np.nan) for _ in range(3)))


def _brought_down(
    scene: Scene, swarm: Swarm, falls: Falls, clock_s: FloatArray, workers: Workers
) -> tuple[Trails, FloatArray]:
    """Return where the draws are on the clock, and where they come down."""
    check_in_air(scene, "to_amsl_m", falls.to_amsl_m)
    n, clock_s = len(falls.starts), np.ascontiguousarray(clock_s, dtype=np.float64)
    told, ends = _no_trails(n, len(clock_s)), np.full((n, 4), np.nan)
    workers(lambda a, b: _descend_some(scene, swarm, falls, clock_s, Stretch(a, b), told, ends), n)
    return told, ends


def descend(scene: Scene, swarm: Swarm, falls: Falls, workers: Workers = in_one_go) -> FloatArray:
    """Return when and where each draw comes down to a height, as its start: NaN for none.

    The sink is that of settled fall at every height. Valid: heights inside the column.
    """
    return _brought_down(scene, swarm, falls, np.empty(0), workers)[1]


def trails(
    scene: Scene, swarm: Swarm, falls: Falls, clock_s: FloatArray, workers: Workers = in_one_go
) -> Trails:
    """Return where each draw is at each moment, down to a height.

    `clock_s`: the rising moments asked for, (n_moments,). Moment for moment what `descend` ends
    with. Valid: heights inside the column.
    """
    return _brought_down(scene, swarm, falls, clock_s, workers)[0]


def plunges(
    scene: Scene, swarm: Swarm, falls: Falls, after_s: FloatArray, workers: Workers = in_one_go
) -> Trails:
    """Return where each draw is that falls from rest: remains and glider after a burst.

    `after_s`: the rising times after its start asked for, (n_moments,) of all draws alike, or
    (n_draws, n_moments). NaN from the height on.
    """
    n, asked = len(falls.starts), np.asarray(after_s, dtype=np.float64)
    after_s = np.ascontiguousarray(np.broadcast_to(asked, (n, asked.shape[-1])))
    out = _no_trails(n, after_s.shape[1])
    workers(lambda a, b: _plunge_some(scene, swarm, falls, after_s, Stretch(a, b), out), n)
    return out
