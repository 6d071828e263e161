"""Needed heights: from which heights over a place each field is open to a glider on its way."""

from typing import Final

import numpy as np

from farglide.arrays import BoolArray, FloatArray, IntArray
from farglide.chances.case import Case
from farglide.chances.ensemble import Ensemble
from farglide.chances.offsets import offset_rad
from farglide.earth.state import Place
from farglide.outlook.barriers import Needed
from farglide.sim.core.states import GLIDING, States
from farglide.sim.reach.doors import REACHED, doors, floors_of

STEP_M: Final = 25.0
_EVERY: Final = 4
"""Steps asked first; between two of them that answer differently all are asked."""
_LEAST_GAP_M: Final = 200.0


def needed_heights(case: Case, place: Place) -> tuple[Needed, ...]:
    """Return for each field the least height over a place from which it is open, to 25 m."""
    heights = _heights_m(case.drawn)
    offset = offset_rad(case.sortie.launch, (place.lat_deg, place.lon_deg))
    likely, without = (_open_at(one, heights, offset) for one in (case.drawn, case.plain))
    found = []
    for is_open, plainly in zip(likely.T, without.T, strict=True):
        least_m = float(heights[np.argmax(plainly)]) if plainly.any() else float("nan")
        found.append(Needed(open_amsl_m=_stretches_m(heights, is_open), error_free_amsl_m=least_m))
    return tuple(found)


def _open_at(ensemble: Ensemble, heights: FloatArray, offset: tuple[float, float]) -> BoolArray:
    """Tell at which heights over a place each field is open, (n_heights, n_fields).

    A stretch thinner than 100 m, open or shut, may be missed.
    """

    wanted = ensemble.sortie.wish.open_ratio

    def asked(rows: IntArray) -> BoolArray:
        north, east = (np.full(len(rows), one) for one in offset)
        found: BoolArray = reach_ratio(ensemble, (heights[rows], north, east)) >= wanted
        return found

    first = np.unique(np.append(np.arange(0, len(heights), _EVERY), len(heights) - 1))
    known = asked(first)
    is_open = known[np.searchsorted(first, np.arange(len(heights)), side="right") - 1]
    differs = np.flatnonzero((known[1:] != known[:-1]).any(axis=1))
    between = [np.arange(first[k] + 1, first[k + 1]) for k in differs]
    if between:
        rows = np.concatenate(between)
        is_open[rows] = asked(rows)
    return is_open


def reach_ratio(ensemble: Ensemble, at: tuple[FloatArray, FloatArray, FloatArray]) -> FloatArray:
    """Return the share of draws in which a level glider at points can come down on each field.

    `at`: heights above sea level and radians north and east of the launch, each (n_points,).
    Shape (n_points, n_fields); it is a matter of height alone, not of time.
    """
    n = len(ensemble.reach.haste.end_s)
    shape = (n, len(at[0]))
    # copies: a view that may not be written to is another type to the kernels, compiled anew
    amsl_m, north, east = (np.array(np.broadcast_to(one, shape), order="C") for one in at)
    still = np.zeros(shape)
    gliding = np.full(shape, GLIDING, np.uint8)
    states = States(gliding, still, amsl_m, north, east, still)
    # An end before the begin: the doors then ask no table of times.
    spent = ensemble.reach.haste._replace(end_s=np.full(n, -1.0))
    ways, workers = ensemble.reach.ways, ensemble.workers
    floors = floors_of(ways, ensemble.goals, workers)
    releases = ensemble.released._replace(haste=spent)
    found = doors(ensemble.air.scene, releases, states, ways, floors, workers)
    share: FloatArray = ((found.state & REACHED) > 0).mean(axis=0)
    return share


def _heights_m(ensemble: Ensemble) -> FloatArray:
    """Return the heights asked, from the lowest arrival to where no speed fits any more."""
    layers = ensemble.air.column.layers
    top_m = layers.base_amsl_m + layers.step_m * len(layers.rho_kgpm3)
    lowest_m = float(ensemble.goals.arrival_amsl_m.min())
    return np.arange(lowest_m, min(top_m, ensemble.craft.ceiling_amsl_m), STEP_M)


def _stretches_m(heights: FloatArray, is_open: BoolArray) -> tuple[tuple[float, float], ...]:
    """Return the open stretches, each from the first height that is to the first that is not."""
    edges = np.flatnonzero(np.diff(np.concatenate(([0], is_open.astype(np.int64), [0]))))
    ends = np.append(heights, np.inf)
    found: list[tuple[float, float]] = []
    for first, past in edges.reshape(-1, 2).tolist():
        low, high = float(ends[first]), float(ends[past])
        if found and low - found[-1][1] < _LEAST_GAP_M:
            low = found.pop()[0]
        found.append((low, high))
    return tuple(found)
