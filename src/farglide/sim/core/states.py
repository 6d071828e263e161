"""States: where each draw is at some moments, and what it is there."""

from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import ByteArray, FloatArray, IntArray
from farglide.kernel import inner
from farglide.sim.core.tracks import Point, Tracks

ON_HAND: Final = 0
CLIMBING: Final = 1
FLOATING: Final = 2
FALLING: Final = 3
"""With balloon or remains tied on: a release is still to come, as in all kinds before."""
GLIDING: Final = 4


class States(NamedTuple):
    """Where each draw is at each moment, shape (n_draws, n_moments); NaN heights where it is gone.

    Offsets are radians from the launch.
    """

    kind: ByteArray
    after_launch_s: FloatArray
    amsl_m: FloatArray
    north_rad: FloatArray
    east_rad: FloatArray
    burst_ratio: FloatArray  # chance that a burst ended it before; 0 for what hangs on no balloon


@inner
def state_of(states: States, i: int, j: int) -> Point:
    """Return when and where a draw is at a moment."""
    return Point(
        states.after_launch_s[i, j],
        states.amsl_m[i, j],
        states.north_rad[i, j],
        states.east_rad[i, j],
    )


def states_of_climbs(tracks: Tracks, burst_share: FloatArray, moments: IntArray) -> States:
    """Return the states of climbs at some moments of their clock.

    `burst_share`: of each draw and time of the tracks; `moments`: indices on the tracks' clock.
    """
    amsl_m = np.ascontiguousarray(tracks.amsl_m[:, moments])
    at_s = moments.astype(np.float64) * tracks.step_s
    return States(
        np.full(amsl_m.shape, CLIMBING, np.uint8),
        np.ascontiguousarray(np.broadcast_to(at_s, amsl_m.shape)),
        amsl_m,
        np.ascontiguousarray(tracks.north_rad[:, moments]),
        np.ascontiguousarray(tracks.east_rad[:, moments]),
        np.ascontiguousarray(burst_share[:, moments]),
    )


def states_at(states: States, columns: IntArray) -> States:
    """Return the states at some of the moments."""
    return States._make(np.ascontiguousarray(array[:, columns]) for array in states)
