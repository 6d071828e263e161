"""Air errors: how far the air of a draw is off in each layer, on the way up and on the way home."""

from typing import Final, NamedTuple

import numpy as np

from farglide.air.layerdoubt import correlated
from farglide.arrays import FloatArray, SingleArray

_PER_LAYER: Final = 9
"""Normal numbers of a layer: shallow, deep, grown and renewed, each to east and north; and up."""


class Along(NamedTuple):
    """Where to the wind of each layer blows, (n_layers,): a direction of length 1, or 0 in calm."""

    east: FloatArray
    north: FloatArray


class DeepErrors(NamedTuple):
    """Deep errors of a few forecasts, m/s, (2, n_members, n_layers): to east and to north."""

    out_mps: FloatArray
    home_mps: FloatArray


class AirDoubts(NamedTuple):
    """How far the air may be off, and what changes between the two passages of a layer.

    Arrays: (n_layers,); sizes are standard deviations of each component, depths those over which
    an error hangs together.
    """

    shallow_mps: FloatArray
    deep_mps: FloatArray  # across the wind
    deep_along_mps: FloatArray
    slower_mps: FloatArray  # than told, on average
    along: Along
    shallow_kept_ratio: FloatArray  # how much of an error is still the same on the way home
    deep_kept_ratio: FloatArray
    grown_mps: FloatArray  # what the deep error grows between the two passages, across the wind
    grown_along_mps: FloatArray
    vertical_mps: float
    deep_depth_m: FloatArray
    grown_depth_m: FloatArray
    shallow_depth_m: float
    vertical_depth_m: float
    step_m: float  # thickness of a layer
    members: DeepErrors | None = None  # in place of drawn deep errors: draw i takes the i-th

    @property
    def n_numbers(self) -> int:
        """Return how many normal numbers one draw takes."""
        return _PER_LAYER * len(self.deep_mps)


class AirErrors(NamedTuple):
    """Errors of the draws, m/s, shape (n_draws, n_layers); as the swarm has them."""

    out_east_mps: SingleArray
    out_north_mps: SingleArray
    home_east_mps: SingleArray
    home_north_mps: SingleArray
    rise_mps: SingleArray


def no_air_errors(n_draws: int, n_layers: int) -> AirErrors:
    """Return the errors of air that is as the column has it."""
    return AirErrors(*(np.zeros((n_draws, n_layers), np.float32) for _ in AirErrors._fields))


def fill_air_errors(doubts: AirDoubts, normals: FloatArray, out: AirErrors, first: int = 0) -> None:
    """Fill `out` with what standard normal numbers, (n_draws, n_numbers), make of the doubts.

    `first`: the number of the first draw, by which they take the members of a forecast in turn.

    On the way home of each error a part is the same, and to the deep one comes what has grown
    since, an error of its own; both are larger along the wind than across it. Of the shallow one
    the rest is renewed, so that its size stays. The air's own rise is the same on both ways.
    """
    # All numbers of a layer side by side, so that a longer column keeps its lower part.
    z = np.ascontiguousarray(normals.reshape(len(normals), -1, _PER_LAYER).transpose(1, 0, 2))
    one = correlated(z, _depths_m(doubts), doubts.step_m).transpose(2, 1, 0)
    _turn(doubts, one[2:4], doubts.deep_mps, doubts.deep_along_mps)
    _turn(doubts, one[4:6], doubts.grown_mps, doubts.grown_along_mps)
    renewed_ratio = np.sqrt(1.0 - doubts.shallow_kept_ratio**2)
    ways = (out.out_east_mps, out.home_east_mps), (out.out_north_mps, out.home_north_mps)
    for j, (up, home) in enumerate(ways):
        shallow, slower = doubts.shallow_mps * one[j], doubts.along[j] * doubts.slower_mps
        deep, home_deep = one[2 + j], doubts.deep_kept_ratio * one[2 + j] + one[4 + j]
        if doubts.members is not None:
            deep, home_deep = (_taken(way, j, first, len(normals)) for way in doubts.members)
        np.add(deep - slower, shallow, out=up, casting="same_kind")
        shallow *= doubts.shallow_kept_ratio
        shallow += doubts.shallow_mps * renewed_ratio * one[6 + j]
        np.add(home_deep - slower, shallow, out=home, casting="same_kind")
    np.multiply(doubts.vertical_mps, one[8], out=out.rise_mps, casting="same_kind")


def _taken(members_mps: FloatArray, j: int, first: int, n_draws: int) -> FloatArray:
    """Return the errors of draws that take the members in turn, (n_draws, n_layers)."""
    numbers = np.arange(first, first + n_draws) % members_mps.shape[1]
    return np.asarray(members_mps[j, numbers])


def _turn(
    doubts: AirDoubts, errors: FloatArray, across_mps: FloatArray, along_mps: FloatArray
) -> None:
    """Make of errors to east and north, (2, n_draws, n_layers), of size 1 those of the sizes."""
    east, north = doubts.along
    more = (along_mps - across_mps) * (east * errors[0] + north * errors[1])
    errors *= across_mps
    errors[0] += more * east
    errors[1] += more * north


def _depths_m(doubts: AirDoubts) -> FloatArray:
    """Return over which depth each error hangs together in each layer, (n_layers, _PER_LAYER)."""
    none = np.zeros(len(doubts.deep_mps))
    shallow_m, rise_m = none + doubts.shallow_depth_m, none + doubts.vertical_depth_m
    ways = np.array([shallow_m, doubts.deep_depth_m, doubts.grown_depth_m, shallow_m])
    return np.vstack([ways.repeat(2, axis=0), rise_m]).T
