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
    middles_m, (ground_m, *goal) = column.middles_amsl_m, _goal(sortie)
    up = climb_lines(column, tracks)
    top_m = np.fmax.reduce(tracks.amsl_m, axis=1, initial=-np.inf)
    turn_m = np.minimum(sortie.wish.wanted_amsl_m, top_m)[:, None]
    left = np.clip((middles_m - ground_m) / np.maximum(turn_m - ground_m, 1.0), 0.0, 1.0)
    above = middles_m > turn_m
    north, east = (
        np.where(above, row, to + left * (_at(turn_m, middles_m, row) - to))
        for row, to in zip(up[1:], goal, strict=True)
    )
    return Lines(up.t_s + between_passages_s(sortie, column), north, east)


def _at(height_m: FloatArray, middles_m: FloatArray, rows: FloatArray) -> FloatArray:
    """Return the values of rows, one a draw, at a height of each, (n_draws, 1)."""
    found = [np.interp(z, middles_m, row) for z, row in zip(height_m, rows, strict=True)]
    return np.array(found).reshape(-1, 1)


def climb_lines(column: AirColumn, tracks: Tracks) -> Lines:
    """Return where and when each draw passes each layer on its way up, and its top above it."""
    middles_m = column.middles_amsl_m
    shape = len(tracks.amsl_m), len(middles_m)
    lines = Lines(*(np.full(shape, np.nan) for _ in Lines._fields))
    clock_s = tracks.step_s * np.arange(tracks.amsl_m.shape[1])
    for i, amsl_m in enumerate(tracks.amsl_m):
        known = np.flatnonzero(np.isfinite(amsl_m))
        if not len(known):
            continue
        rising_m = np.maximum.accumulate(amsl_m[known])
        rows = clock_s[known], tracks.north_rad[i, known], tracks.east_rad[i, known]
        for out, row in zip(lines, rows, strict=True):
            out[i] = np.interp(middles_m, rising_m, row)
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
