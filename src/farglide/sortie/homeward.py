"""Homeward: the error-free flight from the release to a field, quickest and flattest."""

from dataclasses import dataclass, replace
from typing import Final, NamedTuple

import numpy as np

from farglide.air.column import Sounding
from farglide.fall import Story, StoryKind
from farglide.glider.polar import Polar
from farglide.sim.descend import descend
from farglide.sim.doors import _begin
from farglide.sim.passage import (
    Passage,
    Turn,
    Way,
    aim,
    descent_s,
    fly_way,
    quickest_way,
    spare_way,
)
from farglide.sim.reach import sum_reach
from farglide.sim.rose import support_between
from farglide.sim.step import _apart
from farglide.sim.support import Limits
from farglide.sortie.outlook import Contour, SpeedRow
from farglide.sortie.stage import Stage, set_stage

_NEAR_M: Final = 1000.0
_SPEED_STEP_M: Final = 2000.0
_FINE_PRICES: Final = (
    0.5, 1.0, 2.0, 3.0, 4.0, 5.0, 6.5, 8.0, 10.0, 12.0, 14.0, 17.0, 20.0, 24.0, 28.0, 34.0,
    42.0, 60.0, 90.0, 150.0, 400.0, 30_000.0,
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Homeward:
    """Both flights to one field from one moment of the climb; times are after the launch."""

    spare_m: float
    over_field_s: float  # quickest arrival at the arrival height
    flattest_over_s: float  # arrival with most height over the field
    flattest_down_s: float  # and circling down from there at best glide
    spiral_down_s: float | None  # or in the firm spiral the crew has timed
    quickest: Passage
    flattest: Passage


def middle_stage(stage: Stage, sounding: Sounding) -> Stage:
    """Return the stage of one draw without errors, with fine prices of time."""
    asked = replace(stage.asked, n_draws=1, seed=-1, prices_mps=_FINE_PRICES, slab=1)
    return set_stage(stage.sortie, sounding, asked)


class _Begun(NamedTuple):
    """An error-free flight level and on its way: height, offsets, time, and what it aims at."""

    state: tuple[float, float, float, float]  # height, north, east, seconds after the launch
    heights: tuple[float, float]  # from, and the arrival height
    ground_amsl_m: float
    offset: tuple[float, float]  # metres east and north to the field
    goal: tuple[float, float]


def _begun(stage: Stage, moment: int, field: int) -> _Begun | None:
    """Return the start of a flight from a moment to a field; None when out of reach."""
    tracks, goals = stage.tracks, stage.goals
    released = (
        0,
        tracks.amsl_m[0, moment],
        tracks.north_rad[0, moment],
        tracks.east_rad[0, moment],
    )
    if np.isnan(released[1]):
        return None
    z, north, east, seconds = _begin(
        stage.scene, stage.drawn.swarm, stage.losses, stage.haste, released
    )
    goal = (float(goals.north_rad[field]), float(goals.east_rad[field]))
    offset = _apart(stage.scene.frame, (north, east), goal)
    heights = (float(z), float(goals.arrival_amsl_m[field]))
    if z <= heights[1] or aim(stage.ways.free, heights, offset)[0] < 0.0:
        return None
    state = (float(z), float(north), float(east), float(moment * tracks.step_s + seconds))
    return _Begun(state, heights, float(goals.ground_amsl_m[field]), offset, goal)


def spare_m(stage: Stage, moment: int, field: int) -> float:
    """Return the spare height over a field for an error-free release, NaN out of reach."""
    begun = _begun(stage, moment, field)
    if begun is None:
        return float("nan")
    ground_m = begun.ground_amsl_m
    return spare_way(stage.ways.free, ground_m, begun.heights, begun.offset)[0] - ground_m


def homeward(stage: Stage, moment: int, field: int) -> Homeward | None:
    """Return an error-free stage's flights from a moment to a field; None when out of reach."""
    begun = _begun(stage, moment, field)
    if begun is None:
        return None
    ground_m = begun.ground_amsl_m
    spare_amsl_m, flat_way = spare_way(stage.ways.free, ground_m, begun.heights, begun.offset)
    quick_s, quick_way = _quickest(stage, begun)
    craft = (stage.polar, stage.limits, float(stage.drawn.glide_factor[0]))
    quickest = _fitted(stage, craft, quick_way, (begun.state, begun.heights[1]), begun.goal)
    flattest = _fitted(stage, craft, flat_way, (begun.state, spare_amsl_m), begun.goal)
    circling_s = descent_s(stage.scene, craft, (spare_amsl_m, ground_m), Turn())
    return Homeward(
        spare_m=spare_amsl_m - ground_m,
        over_field_s=begun.state[3] + quick_s,
        flattest_over_s=float(flattest.after_s[-1]),
        flattest_down_s=float(flattest.after_s[-1]) + circling_s,
        spiral_down_s=_spiral_down_s(stage, flattest, spare_amsl_m, ground_m),
        quickest=quickest,
        flattest=flattest,
    )


def _quickest(stage: Stage, begun: _Begun) -> tuple[float, Way]:
    """Return the least flight time and its way, the price found between those of the tables."""
    prices = stage.ways.price_mps
    best_s, best = quickest_way((prices, stage.ways.priced), begun.heights, begun.offset)
    row = int(np.argmin(np.abs(prices - best.price_mps)))
    low = float(np.log(prices[max(row - 1, 0)]))
    high = float(np.log(prices[min(row + 1, len(prices) - 1)]))
    swarm = (stage.drawn.swarm, stage.drawn.glide_factor)
    for _ in range(14):
        thirds = [low + (high - low) * share for share in (0.382, 0.618)]
        found = []
        for log_price in thirds:
            price = np.array([np.exp(log_price)])
            reach = sum_reach(stage.scene, stage.support, swarm, (price, 1))
            found.append(quickest_way((price, reach), begun.heights, begun.offset))
        if found[0][0] > found[1][0]:
            high = thirds[1]
        else:
            low = thirds[0]
        best_s, best = max((best_s, best), *found, key=lambda pair: pair[0])
    return best_s, best


def speed_rows(stage: Stage, flight: Homeward) -> tuple[SpeedRow, ...]:
    """Return what to fly every two kilometres on the quickest and the flattest way."""
    top, bottom = float(flight.quickest.amsl_m[0]), float(flight.quickest.amsl_m[-1])
    heights = np.arange(np.floor(top / _SPEED_STEP_M) * _SPEED_STEP_M, bottom, -_SPEED_STEP_M)
    rows = []
    for amsl_m in heights:
        quick = _speeds_at(stage, flight.quickest, float(amsl_m))
        flat = _speeds_at(stage, flight.flattest, float(amsl_m))
        if quick is not None:
            rows.append(_speed_row(float(amsl_m), quick, flat))
    return tuple(rows)


def _speed_row(
    amsl_m: float,
    quick: tuple[float, float, float],
    flat: tuple[float, float, float] | None,
) -> SpeedRow:
    return SpeedRow(
        amsl_m=amsl_m,
        quick_eas_mps=quick[0],
        quick_ground_mps=quick[1],
        quick_sink_mps=quick[2],
        flat_eas_mps=flat[0] if flat else None,
        flat_ground_mps=flat[1] if flat else None,
        flat_sink_mps=flat[2] if flat else None,
    )


def _speeds_at(stage: Stage, path: Passage, amsl_m: float) -> tuple[float, float, float] | None:
    """Return EAS, ground speed and sink of a path at a height; None outside it."""
    if not path.amsl_m[-1] < amsl_m <= path.amsl_m[0]:
        return None
    j = min(int(np.searchsorted(-path.amsl_m, -amsl_m, side="right")) - 1, len(path.amsl_m) - 2)
    here = (float(path.north_rad[j]), float(path.east_rad[j]))
    there = (float(path.north_rad[j + 1]), float(path.east_rad[j + 1]))
    dt = float(path.after_s[j + 1] - path.after_s[j])
    ground_m = float(np.hypot(*_apart(stage.scene.frame, here, there)))
    sink_mps = float(path.amsl_m[j] - path.amsl_m[j + 1]) / dt
    return float(path.eas_mps[j]), ground_m / dt, sink_mps


def _fitted(
    stage: Stage,
    craft: tuple[Polar, Limits, float],
    way: Way,
    flight: tuple[tuple[float, float, float, float], float],
    goal: tuple[float, float],
) -> Passage:
    """Return a way's glide with its heading bent, or part of it circled off, to end at the goal.

    A way ends on the edge of the reach. Where the goal lies inside, as for a dive on a near field,
    only a share of the airspeed is wanted along the heading; the rest goes round in circles.
    """
    begin, to_amsl_m = flight
    frame = stage.scene.frame
    flown = best = fly_way(stage.scene, craft, way, begin, to_amsl_m)
    least_m = np.inf
    for _ in range(8):
        end = (float(flown.north_rad[-1]), float(flown.east_rad[-1]))
        miss = _apart(frame, end, goal)
        if np.hypot(*miss) < least_m:
            least_m, best = float(np.hypot(*miss)), flown
        if least_m < _NEAR_M:
            break
        drift = fly_way(stage.scene, craft, way._replace(east=0.0, north=0.0), begin, to_amsl_m)
        through_air = _apart(frame, (float(drift.north_rad[-1]), float(drift.east_rad[-1])), end)
        share = max(float(np.hypot(way.east, way.north)), 1e-3)
        reach_m = max(float(np.hypot(*through_air)) / share, 1.0)
        east, north = way.east + miss[0] / reach_m, way.north + miss[1] / reach_m
        over = max(float(np.hypot(east, north)), 1.0)
        way = way._replace(east=east / over, north=north / over)
        flown = fly_way(stage.scene, craft, way, begin, to_amsl_m)
    return best


def _spiral_down_s(
    stage: Stage, flattest: Passage, from_amsl_m: float, ground_m: float
) -> float | None:
    known = stage.sortie.glider.spiral_sink_eas_mps
    if known is None:
        return None
    story = Story(kind=StoryKind.SPIRAL, sink_eas_mps=known.value)
    start = np.array([[float(flattest.after_s[-1]), from_amsl_m, 0.0, 0.0]])
    return float(descend(stage.scene, stage.drawn.swarm, (story, ground_m), start)[0, 0])


def contour(stage: Stage, field: int, amsl_m: float) -> Contour | None:
    """Return the line on the ground inside which a balloon at this height has the field in reach.

    The boundary of a convex set with support H(angle) is H n + H' n', n' being n turned by a
    quarter; from the field it is walked backwards.
    """
    reach, goals = stage.ways.free, stage.goals
    launch_losses = _begin(
        stage.scene, stage.drawn.swarm, stage.losses, stage.haste, (0, amsl_m, 0.0, 0.0)
    )
    z, d_north, d_east, _ = launch_losses
    if z <= goals.arrival_amsl_m[field]:
        return None
    support = support_between(reach, (float(z), float(goals.arrival_amsl_m[field])))
    angle = 2.0 * np.pi * np.arange(len(support)) / len(support)
    slope = (np.roll(support, -1) - np.roll(support, 1)) / (angle[2] - angle[0])
    if not (support + np.roll(support, len(support) // 2) > 0.0).all():
        return None
    field_east, field_north = _apart(
        stage.scene.frame, (d_north, d_east), (goals.north_rad[field], goals.east_rad[field])
    )
    east = field_east - (support * np.cos(angle) - slope * np.sin(angle))
    north = field_north - (support * np.sin(angle) + slope * np.cos(angle))
    return Contour(
        field=stage.sortie.fields[field].name,
        amsl_m=amsl_m,
        points=tuple((float(e), float(n)) for e, n in zip(east, north, strict=True)),
    )
