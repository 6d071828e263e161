"""Read: heights, places and directions of a balloon aloft that are no whole fix."""

from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import FloatArray
from farglide.earth.state import Place
from farglide.track.drift import Been

_SAME_S: Final = 1.0


class Heights(NamedTuple):
    """Heights without a place, arrays (n_heights,), times after the launch, rising."""

    t_s: FloatArray
    amsl_m: FloatArray
    sd_m: FloatArray


class Points(NamedTuple):
    """Places without a height, arrays (n_points,); offsets from the launch, `sd_m` each way."""

    t_s: FloatArray
    north_rad: FloatArray
    east_rad: FloatArray
    sd_m: FloatArray


class Direction(NamedTuple):
    """Where it was seen or heard best from a stand; `sd_deg`: of the pointing, one deviation."""

    t_s: float
    stand: Place
    azimuth_deg: float
    elevation_deg: float | None
    sd_deg: float


class Read(NamedTuple):
    """All that was read of one balloon beside its fixes, times after the launch."""

    heights: Heights
    points: Points
    directions: tuple[Direction, ...]

    def after(self, t_s: float) -> "Read":
        """Return what was read later than a moment."""
        heights, points = (one.t_s > t_s for one in (self.heights, self.points))
        return Read(
            Heights(*(one[heights] for one in self.heights)),
            Points(*(one[points] for one in self.points)),
            tuple(one for one in self.directions if one.t_s > t_s),
        )

    @property
    def place_times_s(self) -> list[float]:
        """Return when something was read that tells of the place."""
        return sorted([*self.points.t_s.tolist(), *(one.t_s for one in self.directions)])

    @property
    def times_s(self) -> list[float]:
        """Return when anything was read."""
        return sorted([*self.heights.t_s.tolist(), *self.place_times_s])


def _none(n_arrays: int) -> list[FloatArray]:
    return [np.zeros(0) for _ in range(n_arrays)]


NOTHING: Final = Read(Heights(*_none(3)), Points(*_none(4)), ())


def with_heights(been: Been, heights: Heights) -> Been:
    """Return fixes and heights together, as far as a climb is told by them: places are NaN there.

    A height within a second of a fix says nothing more.
    """
    gaps_s = np.abs(np.subtract.outer(heights.t_s, been.t_s)).min(axis=1, initial=np.inf)
    new = gaps_s > _SAME_S
    unknown = np.full(int(new.sum()), np.nan)
    rows = (heights.t_s[new], heights.amsl_m[new], unknown, unknown)
    joined = [np.concatenate(pair) for pair in zip(been, rows, strict=True)]
    order = np.argsort(joined[0], kind="stable")
    return Been(*(one[order] for one in joined))
