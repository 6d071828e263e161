"""Steer: how to fly to a field from here, in what the crew can read of the picture."""

from dataclasses import replace
from typing import Final, NamedTuple

import numpy as np

from farglide.chances.ensemble import Ensemble
from farglide.outlook.after import SteerNow, Way
from farglide.outlook.ascent import Spread
from farglide.plan.home.glides import on_the_way, own_craft
from farglide.plan.home.homeward import flights_home, must_end_by
from farglide.sim.core.release import field_offset
from farglide.sim.core.step import Offset, apart_m
from farglide.sim.core.tracks import Point
from farglide.sim.fly import glide
from farglide.sim.fly.passage import Passage, fly_way

_ALIKE_RATIO: Final = 0.25
"""Ground speed and sink within so much of the first serve on; common practice, no source."""
_MOST_M: Final = 2000.0
IN_HAND_S: Final = 300.0
"""Before packs or light end, for what does not go as told; common practice, no source."""


class HomeWay(NamedTuple):
    """The way to a field as advised, and when it ends over it and on the ground."""

    way: Way
    passage: Passage
    over_s: float
    down_s: float
    in_reach: bool


def home_way(plain: Ensemble, at: Point, field: int) -> HomeWay | None:
    """Return the way with most height over a field that ends in time, from a level flight.

    In time with some minutes in hand, if there is such a way. Out of reach it is the flattest one,
    as far as that goes; None below the ground of the field.
    """
    haste = plain.reach.haste
    earlier = haste._replace(end_s=haste.end_s - IN_HAND_S)
    found = _way(replace(plain, reach=replace(plain.reach, haste=earlier)), at, field)
    return found if found is None or found.way != "quickest" else _way(plain, at, field)


def _way(plain: Ensemble, at: Point, field: int) -> HomeWay | None:
    flight = on_the_way(plain, at, field)
    if flight is None:
        ground_m = float(plain.goals.ground_amsl_m[field])
        if at.amsl_m <= ground_m:
            return None
        goal = field_offset(plain.goals, field)
        way = glide.Way(*goal, 0.0)
        passage = fly_way(plain.air.scene, own_craft(plain), way, at, ground_m)
        end_s = float(passage.after_s[-1])
        return HomeWay("flattest", passage, end_s, end_s, False)
    home, end_s = flights_home(plain, flight), float(plain.reach.haste.end_s[0])
    if home.timely is not None:
        told = home.timely.told
        over_s, down_s = told.over_field_after_launch_s, told.down_after_launch_s
        return HomeWay("in time", home.timely.passage, over_s, down_s, True)
    over_s, down_s = float(home.flattest.after_s[-1]), home.flattest_down_s
    if down_s > end_s and home.spiral_down_s is not None:
        down_s = home.spiral_down_s
    if down_s <= end_s:
        return HomeWay("flattest", home.flattest, over_s, down_s, True)
    over_s = float(home.quickest.after_s[-1])
    return HomeWay("quickest", home.quickest, over_s, over_s, True)


def steer_now(
    plain: Ensemble, home: HomeWay, field: int, chance_ratio: float, arrival: Spread | None
) -> SteerNow:
    """Return what to fly now on a way home. `arrival`: of the draws, the height over the field."""
    path, frame = home.passage, plain.air.scene.frame
    last = serves_to(plain, path)
    here = Offset(float(path.north_rad[0]), float(path.east_rad[0]))
    there = Offset(float(path.north_rad[last]), float(path.east_rad[last]))
    east_m, north_m = apart_m(frame, here, there)
    seconds = float(path.after_s[last] - path.after_s[0])
    away_m = float(np.hypot(*apart_m(frame, here, field_offset(plain.goals, field))))
    return SteerNow(
        field=plain.sortie.fields[field].name,
        chance_ratio=chance_ratio,
        away_m=away_m,
        track_deg=float(np.degrees(np.arctan2(east_m, north_m)) % 360.0),
        way=home.way,
        ground_mps=float(np.hypot(east_m, north_m)) / seconds,
        sink_mps=float(path.amsl_m[0] - path.amsl_m[last]) / seconds,
        eas_mps=float(path.eas_mps[0]),
        until_amsl_m=float(path.amsl_m[last]),
        arrival_agl_m=arrival if home.in_reach else None,
        over_after_launch_s=home.over_s,
        down_after_launch_s=home.down_s,
        must_end_after_launch_s=float(plain.reach.haste.end_s[0]),
        must_end_by=must_end_by(plain),
    )


def serves_to(plain: Ensemble, path: Passage) -> int:
    """Return the row of a path down to which ground speed and sink are about those at its top."""
    frame, n = plain.air.scene.frame, len(path.amsl_m)
    east_m, north_m = np.empty(n - 1), np.empty(n - 1)
    for k in range(n - 1):
        here = Offset(float(path.north_rad[k]), float(path.east_rad[k]))
        there = Offset(float(path.north_rad[k + 1]), float(path.east_rad[k + 1]))
        east_m[k], north_m[k] = apart_m(frame, here, there)
    seconds = np.maximum(np.diff(path.after_s), 1e-6)
    ground = np.hypot(east_m, north_m) / seconds
    sink = -np.diff(path.amsl_m) / seconds
    alike = (np.abs(ground - ground[0]) <= _ALIKE_RATIO * max(ground[0], 4.0)) & (
        np.abs(sink - sink[0]) <= _ALIKE_RATIO * sink[0]
    )
    alike &= path.amsl_m[:-1] > path.amsl_m[0] - _MOST_M
    return n - 1 if alike.all() else max(int(np.argmin(alike)), 1)
