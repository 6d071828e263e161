"""Ways: where a particle goes in some seconds, by the law of its story."""

from typing import Final, NamedTuple

import numpy as np

from farglide.fall import Sink
from farglide.glider.polar import _slowest_eas
from farglide.kernel import inner
from farglide.sim.core.march import Velocity, carried, cell_below, drifted, is_above
from farglide.sim.core.scene import Scene, _errors_home, _errors_out
from farglide.sim.core.step import Errors, Offset, apart_m
from farglide.sim.core.tracks import Point, between
from farglide.sim.core.wind import cell_at, wind_at
from farglide.sim.fly.descend import Falling, Sinking, fall_for
from farglide.sim.fly.drops import PULLS_RATIO, fallen_m
from farglide.sim.fly.homing import Goal, Homer, dive_layer, home_layer, is_over
from farglide.sim.fly.over import Turn, held_on
from farglide.sim.fly.particles import (
    CARRIED,
    DIVES,
    FLOATING,
    GLIDING,
    HANDS_OFF,
    SPIRALS,
    Cloud,
    Movers,
)

_AWAY, _OVER = np.int64(0), np.int64(1)
_DEEP_M: Final = 500.0
"""Ground elsewhere may lie so much lower than the field."""
_SPIRAL_LOAD: Final = 2.5
_SPIRAL_RATIO: Final = 0.8
"""A steep spiral is flown at this load and share of the top speed; common practice, no source."""
_FORWARD_RATIO: Final = 1.5
"""So many times its mean fall a glider that was pulled out flies at: 2.0 at its fastest, 1.1 once
it is steady, by `glider.release` from 5 to 30 km."""


class Gone(NamedTuple):
    """Where a particle has gone by its law, how fast it falls, through the air, and whither.

    `over`: 1 for a glider that stays over its field, else 0.
    """

    at: Point
    speed_mps: float
    level_mps: float
    heading_rad: float
    over: np.int64


@inner
def _hung(movers: Movers, d: int, at: Point, seconds: float) -> Gone:
    """Return where a balloon of draw `d` has carried its load by its climb, as far as that goes."""
    errors, tracks = _errors_out(movers.swarm, d), movers.tracks
    end = drifted(movers.scene, errors, at, seconds)
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
    return Gone(end, 0.0, 0.0, np.nan, _AWAY)


@inner
def _floated(movers: Movers, cloud: Cloud, i: int, at: Point, seconds: float) -> Gone:
    """Return where a balloon has drifted that climbs no more, lower by what it leaks."""
    d, was_mps = cloud.draw[i], cloud.speed_mps[i]
    end = drifted(movers.scene, _errors_out(movers.swarm, d), at, seconds)
    sink_mps = np.sqrt(was_mps * was_mps + movers.floats.leak_m2ps3[d] * seconds)
    lost_m = 0.5 * (was_mps + sink_mps) * seconds
    lower = Point(end.t_s, end.amsl_m - lost_m, end.north_rad, end.east_rad)
    return Gone(lower, sink_mps, 0.0, np.nan, _AWAY)


@inner
def _fallen(movers: Movers, cloud: Cloud, i: int, at: Point, seconds: float) -> Gone:
    """Return where what nobody steers has fallen, gathering speed where it still can."""
    d, kind = cloud.draw[i], cloud.story[i] - HANDS_OFF
    eas_mps = movers.sink_eas_mps[kind, d] * cloud.factor[i]
    sinking = Sinking(Sink(eas_mps, movers.thin_exponent[kind, d], 1.0), -1e9)
    falling = Falling(at, cloud.speed_mps[i])
    end = fall_for(movers.scene, _errors_home(movers.swarm, d), sinking, falling, seconds)
    return Gone(end.at, end.speed_mps, 0.0, np.nan, _AWAY)


@inner
def _dropped(movers: Movers, cloud: Cloud, i: int, at: Point, seconds: float) -> Gone:
    """Return where a glider has fallen that was let go and does not make way yet.

    Whither it is pulled out nobody knows: its airspeed is told for the doubt of its place.
    """
    scene, drop = movers.scene, cloud.drop[i]
    errors = _errors_home(movers.swarm, cloud.draw[i])
    gone_s = drop[0] + drop[2] - cloud.drop_s[i]
    cell = cell_at(scene, at)
    wind = wind_at(scene, errors, cell)
    sink_mps = (fallen_m(drop, gone_s + seconds) - fallen_m(drop, gone_s)) / seconds
    end = carried(scene, cell, at, Velocity(wind.u_mps, wind.v_mps, sink_mps), seconds)
    level_mps = 0.0
    if gone_s + 0.5 * seconds > PULLS_RATIO * drop[0]:
        level_mps = _FORWARD_RATIO * drop[1] / drop[0]
    return Gone(end, cloud.speed_mps[i], level_mps, np.nan, _AWAY)


@inner
def goal_of(movers: Movers, f: int) -> Goal:
    """Return a field to fly to, its ground lower than anything around."""
    goals = movers.goals
    low_m = goals.ground_amsl_m[f] - _DEEP_M
    return Goal(goals.north_rad[f], goals.east_rad[f], low_m, 1.0, 0.0, 0.0)


@inner
def _glided(movers: Movers, cloud: Cloud, i: int, at: Point, seconds: float) -> Gone:
    """Return where a glider on its way to a field is after a time, as the plan has it flown."""
    d, goal = cloud.draw[i], goal_of(movers, cloud.goal[i])
    errors = _errors_home(movers.swarm, d)
    factor = movers.glide_factor[d] / cloud.factor[i]
    homer = Homer(movers.polar, factor, movers.speeds, 0)
    begin, until_s, over = at, at.t_s + seconds, cloud.over[i] == _OVER
    while at.t_s < until_s - 1e-9 and is_above(at, goal.ground_amsl_m):
        was_over = over
        if over:
            end = _down_over(movers.scene, errors, homer, cloud.down_way[i], at, goal.ground_amsl_m)
            over = is_over(movers.scene, end, goal)
        else:
            end, over = home_layer(movers.scene, errors, homer, goal, at)
            over = over and end.t_s <= until_s
        if end.t_s > at.t_s:
            at = between(at, end, min((until_s - at.t_s) / (end.t_s - at.t_s), 1.0))
        elif over == was_over:
            break
    at = Point(until_s, at.amsl_m, at.north_rad, at.east_rad)
    if over:
        return Gone(at, 0.0, 0.0, np.nan, _OVER)
    return _nosed(movers, errors, begin, at)


@inner
def _down_over(
    scene: Scene, errors: Errors, homer: Homer, down_way: np.int64, at: Point, low_m: float
) -> Point:
    """Return where a glider over its field leaves its layer, in its way of flying off height."""
    if down_way == DIVES:
        return dive_layer(scene, errors, homer, at, low_m)
    fastest_mps = homer.speeds.fastest_mps[cell_below(scene, at).layer]
    turn = Turn(_slowest_eas(homer.polar), 1.0, 0.0)
    if down_way == SPIRALS:
        turn = Turn(_SPIRAL_RATIO * fastest_mps, _SPIRAL_LOAD, 0.0)
    return held_on(scene, errors, homer, turn, at, low_m)


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
    return Gone(end, 0.0, level_mps, np.arctan2(east_mps, north_mps), _AWAY)


@inner
def hangs_still(cloud: Cloud, i: int) -> bool:
    """Tell whether a particle that will be let go still hangs on its line."""
    return bool(cloud.drop_s[i] - cloud.drop[i, 0] - cloud.drop[i, 2] > 1e-9)


@inner
def gone_by_law(movers: Movers, cloud: Cloud, i: int, at: Point, seconds: float) -> Gone:
    """Return where a particle has gone by the law of its story."""
    story = cloud.story[i]
    if story == FLOATING:
        return _floated(movers, cloud, i, at, seconds)
    if story == CARRIED or hangs_still(cloud, i):
        return _hung(movers, cloud.draw[i], at, seconds)
    if cloud.drop_s[i] > 0.0:
        return _dropped(movers, cloud, i, at, seconds)
    if story == GLIDING:
        return _glided(movers, cloud, i, at, seconds)
    return _fallen(movers, cloud, i, at, seconds)
