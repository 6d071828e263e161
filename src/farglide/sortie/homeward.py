"""Homeward: the error-free flight from the release to a field, quickest and flattest."""

from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from farglide.air.column import Sounding
from farglide.fall import Story, StoryKind
from farglide.sim.descend import descend
from farglide.sim.doors import _begin
from farglide.sim.passage import (
    Passage,
    Turn,
    aim,
    descent_s,
    fly_way,
    quickest_way,
    spare_way,
)
from farglide.sim.rose import support_between
from farglide.sim.step import _apart
from farglide.sortie.outlook import Contour
from farglide.sortie.stage import Stage, set_stage

_FINE_PRICES: Final = (
    0.5, 1.0, 2.0, 3.0, 4.0, 5.0, 6.5, 8.0, 10.0, 12.0, 14.0, 17.0, 20.0, 24.0, 28.0, 34.0,
    42.0, 60.0, 90.0, 150.0, 400.0, 1000.0,
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


def homeward(stage: Stage, moment: int, field: int) -> Homeward | None:
    """Return an error-free stage's flights from a moment to a field; None when out of reach."""
    tracks, goals = stage.tracks, stage.goals
    state = (
        0,
        tracks.amsl_m[0, moment],
        tracks.north_rad[0, moment],
        tracks.east_rad[0, moment],
    )
    if np.isnan(state[1]):
        return None
    z, north, east, seconds = _begin(
        stage.scene, stage.drawn.swarm, stage.losses, stage.haste, state
    )
    start_s = moment * tracks.step_s + seconds
    offset = _apart(
        stage.scene.frame, (north, east), (goals.north_rad[field], goals.east_rad[field])
    )
    heights = (float(z), float(goals.arrival_amsl_m[field]))
    if z <= heights[1] or aim(stage.ways.free, heights, offset)[0] < 0.0:
        return None
    ground_m = float(goals.ground_amsl_m[field])
    spare_amsl_m, flat_way = spare_way(stage.ways.free, ground_m, heights, offset)
    priced = (stage.ways.price_mps, stage.ways.priced)
    quick_s, quick_way = quickest_way(priced, heights, offset)
    begin = (float(z), float(north), float(east), float(start_s))
    factor = float(stage.drawn.glide_factor[0])
    craft = (stage.polar, stage.limits, factor)
    flattest = fly_way(stage.scene, craft, flat_way, begin, spare_amsl_m)
    circling_s = descent_s(stage.scene, craft, (spare_amsl_m, ground_m), Turn())
    return Homeward(
        spare_m=spare_amsl_m - ground_m,
        over_field_s=start_s + quick_s,
        flattest_over_s=float(flattest.after_s[-1]),
        flattest_down_s=float(flattest.after_s[-1]) + circling_s,
        spiral_down_s=_spiral_down_s(stage, flattest, spare_amsl_m, ground_m),
        quickest=fly_way(stage.scene, craft, quick_way, begin, heights[1]),
        flattest=flattest,
    )


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
