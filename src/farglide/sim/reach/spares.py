"""Spares: the height that a glider released now could still have over each field.

Where a jet is faster than the glider, the field may be in reach again from above the jet: then one
of the heights comes back from which it just is, not always the greatest.
"""

from typing import Final

import numpy as np

from farglide.arrays import FloatArray, SingleArray
from farglide.kernel import inner, laned
from farglide.sim.core.release import Releases, begun_from, field_offset
from farglide.sim.core.scene import Scene, _errors_home
from farglide.sim.core.states import States
from farglide.sim.core.step import Offset, apart_m
from farglide.sim.core.workers import Stretch, Workers, in_one_go
from farglide.sim.reach.bearings import N_BEARING, Line, line_to
from farglide.sim.reach.doors import Floors, _inside_m
from farglide.sim.reach.holding import Holder, held_up_to
from farglide.sim.reach.reach import Descent
from farglide.sim.reach.reaches import Reaches
from farglide.sim.reach.straight import Straight, fill_row, is_beaten

_WITHIN_M: Final = 20.0


@inner
def _highest_m(
    free: Straight, i: int, line: Line, high: SingleArray, between: Descent, low: SingleArray
) -> float:
    """Return a height between two over the end of a line from which it just is in reach.

    From the lower one it is. `high`: the row where the glide begins; `low`: room.
    """
    top_m, bottom_m = between
    fill_row(free, i, top_m, low)
    if _inside_m(line, high, low) >= 0.0:
        return top_m
    while top_m - bottom_m > _WITHIN_M:
        middle_m = 0.5 * (bottom_m + top_m)
        fill_row(free, i, middle_m, low)
        if _inside_m(line, high, low) >= 0.0:
            bottom_m = middle_m
        else:
            top_m = middle_m
    return bottom_m


@laned
def _spares_some(
    scene: Scene,
    releases: Releases,
    states: States,
    reaches: Reaches,
    floors: Floors,
    some: Stretch,
    out: FloatArray,
) -> None:
    """Fill the height over each field that draws `some` could still have."""
    goals, free = floors.goals, reaches.free
    high, low = np.empty(N_BEARING, np.float32), np.empty(N_BEARING, np.float32)
    for i in range(some.first, some.last):
        if np.isnan(states.amsl_m[i, 0]):
            continue
        at = begun_from(scene, releases, states, i, 0)
        here = Offset(at.north_rad, at.east_rad)
        fill_row(free, i, at.amsl_m, high)
        holder = Holder(reaches.craft, reaches.speeds, releases.haste.glide_factor[i])
        errors, down_m = _errors_home(releases.swarm, i), goals.ground_amsl_m.min()
        always = held_up_to(scene, errors, holder, Descent(at.amsl_m, down_m)) >= at.amsl_m
        for f in range(len(goals.north_rad)):
            level, arrival_m = floors.level[f], goals.arrival_amsl_m[f]
            away = apart_m(scene.frame, here, field_offset(goals, f))
            line, down = line_to(away.east_m, away.north_m), Descent(at.amsl_m, arrival_m)
            if not (at.amsl_m > arrival_m and floors.held[i, level]):
                continue
            if _inside_m(line, high, floors.free[i, level]) < 0.0 or is_beaten(free, i, line, down):
                continue
            top_m, held = at.amsl_m, Descent(at.amsl_m, goals.ground_amsl_m[f])
            if not always:
                top_m = held_up_to(scene, errors, holder, held)
            spare_m = _highest_m(free, i, line, high, Descent(top_m, arrival_m), low)
            out[i, f] = spare_m - goals.ground_amsl_m[f]


def spares(
    scene: Scene,
    releases: Releases,
    states: States,
    reaches: Reaches,
    floors: Floors,
    workers: Workers = in_one_go,
) -> FloatArray:
    """Return the spare height over each field from one state of each draw, NaN where out of reach.

    `states`: of one moment; `floors`: of the fields. Shape (n_draws, n_fields), to 20 m. NaN too
    where a cross wind sets a draw aside: what it has left is known when it is flown.
    """
    n = len(releases.haste.end_s)
    out = np.full((n, len(floors.goals.north_rad)), np.nan)
    workers(
        lambda a, b: _spares_some(scene, releases, states, reaches, floors, Stretch(a, b), out), n
    )
    return out
