"""Members: forecasts of an ensemble in place of drawn deep errors, at least as wide as these."""

from typing import Final

import numpy as np

from farglide.air.column import AirColumn
from farglide.air.windgrid import WindGrid
from farglide.arrays import FloatArray
from farglide.errors import InputError
from farglide.rig.around import cube_of
from farglide.rig.homeline import climb_lines, home_lines
from farglide.sim.core.airerrors import AirDoubts, DeepErrors
from farglide.sim.core.cube import Cube, Lines, apart_along
from farglide.sim.core.tracks import Tracks
from farglide.sortie.spec import Sortie

LEAST_MEMBERS: Final = 5
"""Of fewer the spread is a guess."""
_DEPTH_M: Final = 3000.0
"""Over so much height a spread is told: as deep as the errors that it stands for."""
_ALIKE_RATIO: Final = 0.05
"""Of the law: spread out twenty times, rounding would pass for weather."""
_LONGEST_S: Final = 6.0 * 3600.0


def with_members(
    doubts: AirDoubts, grid: WindGrid, sortie: Sortie, column: AirColumn, climb: Tracks
) -> AirDoubts:
    """Return the doubts with the members of a forecast in place of drawn deep errors.

    Each member's difference from the mean of all stands for an error, along the one climb without
    errors and the way home from it; what the two share, the members know. Where they lie closer
    together than the law of age and lead time says, they are spread out to it, layer by layer.
    Members that are all but alike tell nothing: the law stays.
    `climb`: of one draw. Raises InputError for fewer than five members.
    Source: that ensembles are too narrow and are inflated about their mean is common practice:
    Wilks, Statistical Methods in the Atmospheric Sciences (2011), 7.7, from memory.
    """
    n = len(grid.members)
    if n < LEAST_MEMBERS:
        raise InputError("members", n, f"{LEAST_MEMBERS} or more", "Leave them out, or fetch more.")
    cube = cube_of(grid, sortie.launch, column.edges_amsl_m, _LONGEST_S)
    laws, lines = _law_mps(doubts), (climb_lines(column, climb), home_lines(sortie, column, climb))
    apart = [_apart(cube, line) for line in lines]
    if any(_rms(one) < _ALIKE_RATIO * _rms(law) for one, law in zip(apart, laws, strict=True)):
        return doubts
    ways = (_widened(one, law, doubts.step_m) for one, law in zip(apart, laws, strict=True))
    return doubts._replace(members=DeepErrors(*ways))


def _rms(values: FloatArray) -> float:
    return float(np.sqrt(np.square(values).mean()))


def _law_mps(doubts: AirDoubts) -> tuple[FloatArray, FloatArray]:
    """Return how large one component of the deep error is by its law, up and home, (n_layers,)."""
    deep2 = 0.5 * (doubts.deep_mps**2 + doubts.deep_along_mps**2)
    grown2 = 0.5 * (doubts.grown_mps**2 + doubts.grown_along_mps**2)
    return np.sqrt(deep2), np.sqrt(doubts.deep_kept_ratio**2 * deep2 + grown2)


def _apart(cube: Cube, line: Lines) -> FloatArray:
    """Return how each member differs from the mean along a line, (2, n_members, n_layers)."""
    n = len(cube.apart_mps)
    lines = Lines(*(np.repeat(one, n, axis=0) for one in line))
    told = apart_along(cube, np.arange(n), lines).astype(np.float64)
    return np.asarray(told - told.mean(axis=1, keepdims=True))


def _widened(apart_mps: FloatArray, law_mps: FloatArray, step_m: float) -> FloatArray:
    """Return differences spread out to the law where they are narrower.

    Both are told over `_DEPTH_M` round each layer.
    """
    n_members, n_layers = apart_mps.shape[1:]
    found2 = np.square(apart_mps).sum(axis=(0, 1)) / (2.0 * (n_members - 1))
    half = round(0.5 * _DEPTH_M / step_m)
    edges = np.clip(np.arange(n_layers)[:, None] + [-half, half + 1], 0, n_layers)
    sums = [np.concatenate([[0.0], np.cumsum(one)]) for one in (found2, law_mps**2)]
    found, law = (np.sqrt(one[edges[:, 1]] - one[edges[:, 0]]) for one in sums)
    return np.asarray(apart_mps * np.maximum(law / np.maximum(found, 1e-9), 1.0))
