"""Home line: which air each draw meets on its way home, where winds differ from place to place."""

from typing import NamedTuple

import numpy as np

from farglide.air.column import AirColumn
from farglide.arrays import FloatArray
from farglide.rig.airdoubts import between_passages_s
from farglide.rig.gear import goals_of
from farglide.sim.core.cube import Lines, apart_along
from farglide.sim.core.scene import Scene, Swarm
from farglide.sim.core.tracks import Tracks
from farglide.sortie.spec import Sortie


def with_home_line(scene: Scene, swarm: Swarm, lines: Lines) -> Swarm:
    """Return the draws with what winds differ by along their lines among their errors on the way
    home: for tables of reach, which are summed over layers and know no place.
    """
    east, north = apart_along(scene.cube, swarm.number, lines)
    return swarm._replace(
        home_east_mps=swarm.home_east_mps + east, home_north_mps=swarm.home_north_mps + north
    )


def home_lines(sortie: Sortie, column: AirColumn, tracks: Tracks) -> Lines:
    """Return where and when each draw passes each layer on its way home.

    On a straight line in space from where it is let go, at the height from which releases count or
    as high as it comes, to the ground at the first field, or the launch if there is none: whoever
    just gets there flies it so. Above that height it is where it was on the way up. The time
    between the two passages of a layer is that of the flight without errors.
    """
    middles_m, between_s = column.middles_amsl_m, between_passages_s(sortie, column)
    ground_m, north_rad, east_rad = _goal(sortie)
    shape = len(tracks.amsl_m), len(middles_m)
    lines = Lines(*(np.zeros(shape) for _ in Lines._fields))
    clock_s = tracks.step_s * np.arange(tracks.amsl_m.shape[1])
    for i, amsl_m in enumerate(tracks.amsl_m):
        known = np.flatnonzero(np.isfinite(amsl_m))
        if not len(known):
            lines.t_s[i] = np.nan
            continue
        rising_m = np.maximum.accumulate(amsl_m[known])
        turn_m = min(sortie.wish.wanted_amsl_m, float(rising_m[-1]))
        left = np.clip((middles_m - ground_m) / max(turn_m - ground_m, 1.0), 0.0, 1.0)
        up = np.maximum(middles_m, turn_m)
        lines.t_s[i] = np.interp(middles_m, rising_m, clock_s[known]) + between_s
        for out, goal, offsets in ((lines.north_rad, north_rad, tracks.north_rad),
                                   (lines.east_rad, east_rad, tracks.east_rad)):  # fmt: skip
            out[i] = goal + left * (np.interp(up, rising_m, offsets[i, known]) - goal)
    return lines


def middle_tracks(tracks: Tracks) -> Tracks:
    """Return the one climb in the middle of all draws."""
    rows: list[FloatArray] = [_middle(one) for one in tracks[1:]]
    return Tracks(tracks.step_s, *rows)


def _middle(rows: FloatArray) -> FloatArray:
    known = np.isfinite(rows).any(axis=0)
    found = np.full((1, rows.shape[1]), np.nan)
    found[0, known] = np.nanmedian(rows[:, known], axis=0)
    return found


class _Goal(NamedTuple):
    ground_m: float
    north_rad: float
    east_rad: float


def _goal(sortie: Sortie) -> _Goal:
    """Return the first field, or the launch."""
    if not sortie.fields:
        return _Goal(sortie.launch.amsl_m, 0.0, 0.0)
    goals = goals_of(sortie, sortie.fields[:1])
    places = goals.ground_amsl_m, goals.north_rad, goals.east_rad
    return _Goal(*(float(one[0]) for one in places))
