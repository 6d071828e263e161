"""States: where each draw is at some moments, and what it is there."""

from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import ByteArray, FloatArray, IntArray
from farglide.errors import InputError
from farglide.kernel import inner
from farglide.sim.core.tracks import Point, Tracks

ON_HAND: Final = np.int64(0)  # a bare 0 is a type of its own to the compiler
CLIMBING: Final = np.int64(1)
FLOATING: Final = np.int64(2)
FALLING: Final = np.int64(3)
"""With balloon or remains tied on: a release is still to come, as in all kinds before."""
GLIDING: Final = np.int64(4)


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
def point_at(states: States, i: int, j: int) -> Point:
    """Return when and where a draw is at a moment."""
    return Point(
        states.after_launch_s[i, j],
        states.amsl_m[i, j],
        states.north_rad[i, j],
        states.east_rad[i, j],
    )


def check_states(states: States, n_draws: int, top_amsl_m: float) -> None:
    """Refuse states that are none: where a height is known, all else is known too, in the air."""
    shape = states.amsl_m.shape
    if shape[:1] != (n_draws,) or not shape[1] or any(one.shape != shape for one in states):
        shapes = sorted({one.shape for one in states})
        raise InputError("states", shapes, f"({n_draws}, one moment or more), all of one shape")
    known = ~np.isnan(states.amsl_m)
    for name, values in zip(States._fields[1:], states[1:], strict=True):
        if not np.isfinite(values[known]).all():
            remedy = "A draw of which nothing is known has no height: NaN."
            raise InputError(name, "not finite", "a number wherever there is a height", remedy)
    top = f"up to {top_amsl_m:.0f} m, where the air ends"
    for name, (low, high), allowed in (
        ("kind", (ON_HAND, GLIDING), "0 to 4"),
        ("amsl_m", (-np.inf, top_amsl_m), top),
        ("burst_ratio", (0.0, 1.0), "0 to 1"),
    ):
        values = getattr(states, name)[known]
        if (outside := values[(values < low) | (values > high)]).size:
            raise InputError(name, f"{outside[0]:g}", allowed)


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
