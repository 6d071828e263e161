"""The best path in the draws: what a pilot who knew all winds would reach, as small scripts ask it.

Figures computed elsewhere ask it, where the plan asks for a straight track at the speeds of the
forecast. To be put in the place of `reached` of farglide.chances.chances, for a comparison.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import NamedTuple
from unittest import mock

import numpy as np
from numpy.typing import NDArray

from farglide.chances import chances
from farglide.chances.ensemble import Ensemble
from farglide.sim.core.release import Goals
from farglide.sim.core.states import States
from farglide.sim.core.step import Frame
from farglide.sim.fly.level import levelled
from farglide.sim.reach.doors import Floors
from farglide.sim.reach.reach import FREE, Prices, sum_reach
from farglide.sim.reach.rose import FINE, directions
from farglide.sim.reach.support import FactorRange, tabulate

FloatArray = NDArray[np.float64]
Bools = NDArray[np.bool_]


@contextmanager
def on_best_paths() -> Iterator[None]:
    """Count chances on the best path of each draw through its own winds."""
    with mock.patch.object(chances, "reached", reached):
        yield


class Sums(NamedTuple):
    """Support functions of all draws from the lowest edge up, (n_draws, n_edges, 72), metres."""

    base_amsl_m: float
    step_m: float
    support_m: NDArray[np.float32]

    def at(self, amsl_m: FloatArray) -> FloatArray:
        """Return them at one height for each draw, (n_draws, 72)."""
        x = (amsl_m - self.base_amsl_m) / self.step_m
        x = np.clip(x, 0.0, self.support_m.shape[1] - 1.000001)
        k, draw = x.astype(np.int64), np.arange(len(x))
        low, high = self.support_m[draw, k], self.support_m[draw, k + 1]
        return np.asarray(low + (x - k)[:, None] * (high - low), dtype=np.float64)


def reached(
    ensemble: Ensemble, states: States, goals: Goals, _: Floors | None = None
) -> tuple[Bools, Bools]:
    """Tell what each draw reaches by height on its best path, and what before packs or light end.

    The floors of straight ways, which are summed already, are of no use to it. Shapes (n_draws,
    n_moments, n_goals). A place at d is in reach where n.d is at most H(n, q) + q tau in 72
    directions n, at price 0 and, in time, at each price q of the plan's list; and it is held, where
    from the arrival height down the winds never carry the glider off.
    """
    sums, (n_draws, n_moments) = _sums(ensemble), states.amsl_m.shape
    by_height = np.zeros((n_draws, n_moments, len(goals.north_rad)), np.bool_)
    in_time, end_s = by_height.copy(), ensemble.reach.haste.end_s
    prices_mps = (0.0, *ensemble.reach.reaches.price_mps)
    for f, arrival_m in enumerate(goals.arrival_amsl_m):
        floors = [one.at(np.full(n_draws, arrival_m)) for one in sums]
        ground = sums[0].at(np.full(n_draws, goals.ground_amsl_m[f]))
        held = (floors[0] >= ground).all(axis=1)
        for j in range(n_moments):
            begun = _begun(ensemble, states, j)
            known = np.nan_to_num(begun)
            along_m = _along_m(ensemble.air.scene.frame, known, goals, f)
            left_s = end_s - known[:, 0]
            inside = [
                (sums[q].at(known[:, 1]) - floors[q] + (price * left_s)[:, None] >= along_m).all(1)
                for q, price in enumerate(prices_mps)
            ]
            by_height[:, j, f] = inside[0] & held & (begun[:, 1] >= arrival_m)
            in_time[:, j, f] = by_height[:, j, f] & (left_s > 0.0) & np.all(inside, axis=0)
    return by_height, in_time


def _sums(ensemble: Ensemble) -> list[Sums]:
    """Return the sums at price 0, layer by layer, and at each price of the plan's list."""
    scene, draws, reaches = ensemble.air.scene, ensemble.draws, ensemble.reach.reaches
    factors = np.clip([draws.glide_factor.min(), draws.glide_factor.max()], 0.05, 4.0)
    craft = reaches.craft
    support = tabulate(scene.layers, craft.polar, craft.limits, FactorRange(*map(float, factors)))
    priced = [Prices(np.array([q]), ensemble.grain.slab) for q in reaches.price_mps]
    tables = (sum_reach(scene, support, draws, one) for one in (FREE, *priced))
    return [Sums(one.base_amsl_m, one.step_m, directions(one)) for one in tables]


def _begun(ensemble: Ensemble, states: States, j: int) -> FloatArray:
    """Return when and where each draw glides, let go at a moment: time, height, north, east."""
    wheres = (states.after_launch_s, states.amsl_m, states.north_rad, states.east_rad)
    starts = np.ascontiguousarray(np.stack([one[:, j] for one in wheres], axis=1))
    starts[np.isnan(starts).any(axis=1)] = np.nan
    return levelled(ensemble.air.scene, ensemble.released, starts)


def _along_m(frame: Frame, begun: FloatArray, goals: Goals, f: int) -> FloatArray:
    """Return how far a field lies along each direction, (n_draws, 72), by the mid-latitude."""
    north_rad, east_rad = goals.north_rad[f] - begun[:, 2], goals.east_rad[f] - begun[:, 3]
    middle_rad = 0.5 * (goals.north_rad[f] + begun[:, 2])
    meridian_m = frame.meridian_m + frame.meridian_slope_m * middle_rad
    parallel_m = frame.normal_m + frame.normal_slope_m * middle_rad
    parallel_m *= np.cos(frame.lat_rad + middle_rad)
    east_m, north_m = parallel_m * east_rad, meridian_m * north_rad
    return np.asarray(east_m[:, None] * FINE.east + north_m[:, None] * FINE.north)
