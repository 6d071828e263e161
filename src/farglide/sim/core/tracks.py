"""Tracks: one moment of a flight, climbs on an even clock, and where they end."""

from typing import NamedTuple

import numpy as np

from farglide.arrays import FloatArray
from farglide.kernel import merged


class Point(NamedTuple):
    """Where one flight is at a moment. Offsets are radians from the launch."""

    t_s: float  # after the launch
    amsl_m: float
    north_rad: float
    east_rad: float


class Tracks(NamedTuple):
    """Climbs on an even clock, shape (n_draws, n_times), as if no balloon burst.

    NaN after a balloon has left the column. Offsets are radians from the launch.
    """

    step_s: float
    amsl_m: FloatArray
    north_rad: FloatArray
    east_rad: FloatArray
    diameter_m: FloatArray
    gas_kg: FloatArray  # left in the balloon

    @property
    def places(self) -> tuple[FloatArray, FloatArray, FloatArray]:
        """Return heights, and offsets north and east."""
        return self.amsl_m, self.north_rad, self.east_rad


def tick_at(tracks: Tracks, after_launch_s: float) -> int:
    """Return the index of the time on the tracks' clock that is nearest, halves rounded up."""
    return int(min(after_launch_s / tracks.step_s + 0.5, tracks.amsl_m.shape[1] - 1.0))


class Trails(NamedTuple):
    """Heights and offsets from the launch, shape (n_draws, n_moments), NaN before and after."""

    amsl_m: FloatArray
    north_rad: FloatArray
    east_rad: FloatArray


class Burst(NamedTuple):
    """Where each drawn balloon bursts; NaN where it never does. Shape (n_draws,)."""

    after_launch_s: FloatArray
    amsl_m: FloatArray
    north_rad: FloatArray
    east_rad: FloatArray


@merged
def point_of(rows: FloatArray, i: int) -> Point:
    """Return a row of time, height and offsets north and east."""
    return Point(rows[i, 0], rows[i, 1], rows[i, 2], rows[i, 3])


@merged
def put_point(rows: FloatArray, i: int, at: Point) -> None:
    """Write a point into a row."""
    rows[i, 0], rows[i, 1], rows[i, 2], rows[i, 3] = at


@merged
def is_nowhere(at: Point) -> bool:
    """Tell whether a row holds no flight: its time or its height is NaN."""
    return np.isnan(at.amsl_m) or np.isnan(at.t_s)


@merged
def between(a: Point, b: Point, w: float) -> Point:
    """Return the point at a share of the way from one point to another."""
    return Point(
        a.t_s + w * (b.t_s - a.t_s),
        a.amsl_m + w * (b.amsl_m - a.amsl_m),
        a.north_rad + w * (b.north_rad - a.north_rad),
        a.east_rad + w * (b.east_rad - a.east_rad),
    )
