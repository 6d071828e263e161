"""Ways: where a particle goes in some seconds, by the law of its story."""

from typing import Final, NamedTuple

import numpy as np

from farglide.fall import Sink
from farglide.kernel import inner
from farglide.sim.core.march import Velocity, carried, drifted, is_above
from farglide.sim.core.scene import _errors_home, _errors_out
from farglide.sim.core.step import Errors, Offset, apart_m
from farglide.sim.core.tracks import Point, between
from farglide.sim.core.wind import cell_at, wind_at
from farglide.sim.fly.descend import Falling, Sinking, fall_for
from farglide.sim.fly.homing import Goal, Homer, dive_layer, home_layer, is_over
from farglide.sim.fly.particles import CARRIED, FLOATING, GLIDING, HANDS_OFF, Cloud, Movers

_DEEP_M: Final = 500.0
"""Ground elsewhere may lie so much lower than the field."""


class Gone(NamedTuple):
    """Where a particle has gone by its law, how fast it falls, through the air, and whither."""

    at: Point
    speed_mps: float
    level_mps: float
    heading_rad: float


@inner
def _hung(movers: Movers, d: int, at: Point, seconds: float, rises: bool) -> Gone:
    """Return where a balloon of draw `d` has carried its load: by its climb, or at its height."""
    errors, tracks = _errors_out(movers.swarm, d), movers.tracks
    end = drifted(movers.scene, errors, at, seconds)
    if rises:
        last = tracks.amsl_m.shape[1] - 3
        j = min(max(int(at.t_s / tracks.step_s), 0), last)
        if np.isnan(tracks.amsl_m[d, j]):
            j += 1  # a climb that goes on from amid two moments
        share = seconds / tracks.step_s
        rise_m = share * (tracks.amsl_m[d, j + 1] - tracks.amsl_m[d, j])
        if not np.isnan(rise_m):
            north = share * (tracks.north_rad[d, j + 1] - tracks.north_rad[d, j])
            east = share * (tracks.east_rad[d, j + 1] - tracks.east_rad[d, j])
            end = Point(end.t_s, at.amsl_m + rise_m, at.north_rad + north, at.east_rad + east)
    return Gone(end, 0.0, 0.0, np.nan)


@inner
def _fallen(movers: Movers, cloud: Cloud, i: int, at: Point, seconds: float) -> Gone:
    """Return where what nobody steers has fallen, gathering speed where it still can."""
    d, kind = cloud.draw[i], cloud.story[i] - HANDS_OFF
    eas_mps = movers.sink_eas_mps[kind, d] * cloud.factor[i]
    sinking = Sinking(Sink(eas_mps, movers.thin_exponent[kind, d], 1.0), -1e9)
    falling = Falling(at, cloud.speed_mps[i])
    end = fall_for(movers.scene, _errors_home(movers.swarm, d), sinking, falling, seconds)
    return Gone(end.at, end.speed_mps, 0.0, np.nan)


@inner
def _dropped(movers: Movers, cloud: Cloud, i: int, at: Point, seconds: float) -> Gone:
    """Return where a glider has fallen that was let go and does not fly home yet."""
    scene, errors = movers.scene, _errors_home(movers.swarm, cloud.draw[i])
    cell = cell_at(scene, at)
    wind = wind_at(scene, errors, cell)
    velocity = Velocity(wind.u_mps, wind.v_mps, cloud.drop_mps[i])
    return Gone(carried(scene, cell, at, velocity, seconds), 0.0, 0.0, np.nan)


@inner
def _glided(movers: Movers, cloud: Cloud, i: int, at: Point, seconds: float) -> Gone:
    """Return where a glider on its way to a field is after a time, as the plan has it flown."""
    scene, d, f = movers.scene, cloud.draw[i], cloud.goal[i]
    errors, goals = _errors_home(movers.swarm, d), movers.goals
    factor = movers.glide_factor[d] / cloud.factor[i]
    homer = Homer(movers.polar, factor, movers.speeds, 0)
    low_m = goals.ground_amsl_m[f] - _DEEP_M
    goal = Goal(goals.north_rad[f], goals.east_rad[f], low_m, 1.0, 0.0, 0.0)
    begin, until_s = at, at.t_s + seconds
    at = _led_down(movers, errors, homer, goal, begin, until_s)
    if is_over(scene, begin, goal):
        return Gone(at, 0.0, 0.0, np.nan)
    return _nosed(movers, errors, begin, at)


@inner
def _led_down(
    movers: Movers, errors: Errors, homer: Homer, goal: Goal, at: Point, until_s: float
) -> Point:
    """Return where a glider is at a moment, on its way or over the field, in parts of layers."""
    scene, low_m = movers.scene, goal.ground_amsl_m
    while at.t_s < until_s - 1e-9 and is_above(at, low_m):
        if is_over(scene, at, goal):
            end = dive_layer(scene, errors, homer, at, low_m)
        else:
            end, _ = home_layer(scene, errors, homer, goal, at)
        if end.t_s <= at.t_s:
            break
        at = between(at, end, min((until_s - at.t_s) / (end.t_s - at.t_s), 1.0))
    return Point(until_s, at.amsl_m, at.north_rad, at.east_rad)


@inner
def _nosed(movers: Movers, errors: Errors, begin: Point, end: Point) -> Gone:
    """Return a glider with its airspeed and heading, by its way over the ground and the wind."""
    scene, cell = movers.scene, cell_at(movers.scene, begin)
    wind, frame = wind_at(scene, errors, cell), scene.frame
    here, there = Offset(begin.north_rad, begin.east_rad), Offset(end.north_rad, end.east_rad)
    east_m, north_m = apart_m(frame, here, there)
    over = 1.0 / ((end.t_s - begin.t_s) * scene.layers.shortening_ratio[cell.layer])
    east_mps, north_mps = east_m * over - wind.u_mps, north_m * over - wind.v_mps
    level_mps = np.sqrt(east_mps * east_mps + north_mps * north_mps)
    return Gone(end, 0.0, level_mps, np.arctan2(east_mps, north_mps))


@inner
def gone_by_law(movers: Movers, cloud: Cloud, i: int, at: Point, seconds: float) -> Gone:
    """Return where a particle has gone by the law of its story."""
    story = cloud.story[i]
    if story in (CARRIED, FLOATING):
        return _hung(movers, cloud.draw[i], at, seconds, story == CARRIED)
    if story != GLIDING:
        return _fallen(movers, cloud, i, at, seconds)
    if cloud.drop_s[i] > 0.0:
        return _dropped(movers, cloud, i, at, seconds)
    return _glided(movers, cloud, i, at, seconds)
