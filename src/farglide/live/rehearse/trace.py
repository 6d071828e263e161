"""Trace: a way through the air, and where it is at any moment."""

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from farglide.arrays import FloatArray


class Where(NamedTuple):
    """Where it is at one moment; offsets are radians from the launch."""

    amsl_m: float
    north_rad: float
    east_rad: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Trace:
    """A way through the air, arrays (n,), times rising; all changes evenly between."""

    t_s: FloatArray  # after the launch
    amsl_m: FloatArray
    north_rad: FloatArray
    east_rad: FloatArray

    @property
    def end_s(self) -> float:
        """Return when it ends: on the ground, if it is a whole one."""
        return float(self.t_s[-1])

    def at(self, t_s: float) -> Where:
        """Return where it is; before and after, where it begins and ends."""
        rows = (self.amsl_m, self.north_rad, self.east_rad)
        return Where(*(float(np.interp(t_s, self.t_s, one)) for one in rows))

    def until(self, t_s: float) -> "Trace":
        """Return the part before a moment, and where it is then."""
        n = int(np.searchsorted(self.t_s, t_s))
        head = trace_of(
            np.stack([self.t_s, self.amsl_m, self.north_rad, self.east_rad], axis=1)[:n]
        )
        return head.then(trace_of(np.array([[t_s, *self.at(t_s)]])))

    def then(self, more: "Trace") -> "Trace":
        """Return it with another part behind it."""
        return Trace(
            t_s=np.concatenate([self.t_s, more.t_s]),
            amsl_m=np.concatenate([self.amsl_m, more.amsl_m]),
            north_rad=np.concatenate([self.north_rad, more.north_rad]),
            east_rad=np.concatenate([self.east_rad, more.east_rad]),
        )


def trace_of(rows: FloatArray) -> Trace:
    """Return a path of its rows, (n, 4 or more): time, height, offsets north and east."""
    return Trace(t_s=rows[:, 0], amsl_m=rows[:, 1], north_rad=rows[:, 2], east_rad=rows[:, 3])
