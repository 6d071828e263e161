"""Floating: whether a balloon that was climbing climbs no more, by its heights alone."""

from typing import Final

import numpy as np

from farglide.arrays import FloatArray
from farglide.track.drift import Been

WINDOW_S: Final = 180.0
"""A climb is told over so long: over less, air that rises and sinks looks like it."""
FLOATS_MPS: Final = 1.0
"""Slower than that it does not climb. Common practice, no source; ``docs/alarms`` counts it."""
FALLS_MPS: Final = -8.0
"""Faster than that it has burst: holes of all sizes sink slower. Common practice, no source."""
_AWAY_M: Final = 500.0


def mean_climbs_mps(been: Been) -> FloatArray:
    """Return the mean climb over the window that ends at each fix, (n_fixes,).

    NaN before the first whole window, where it begins in a gap as long as itself, and until it was
    500 m above its first fix: it may still have been on the hand.
    """
    t_s, z = been.t_s, been.amsl_m
    if len(t_s) < 2:
        return np.full(len(t_s), np.nan)
    begin_s = t_s - WINDOW_S
    after = np.clip(np.searchsorted(t_s, begin_s, side="right"), 1, len(t_s) - 1)
    known = (begin_s >= t_s[0]) & (t_s[after] - t_s[after - 1] <= WINDOW_S)
    known &= np.maximum.accumulate(z) - z[0] >= _AWAY_M
    return np.where(known, (z - np.interp(begin_s, t_s, z)) / WINDOW_S, np.nan)


def floats_since_s(been: Been) -> float | None:
    """Return since when it climbs no more, after the launch; None while it climbs, or has burst.

    The alarm is there with the fix at which the mean of a window falls below `FLOATS_MPS`, and goes
    when it climbs again. The time told is the middle of that window.
    """
    means = mean_climbs_mps(been)
    if not len(means) or not FALLS_MPS < means[-1] < FLOATS_MPS:
        return None
    climbing = np.flatnonzero(~(means < FLOATS_MPS))
    since = int(climbing[-1]) + 1 if len(climbing) else 0
    return float(been.t_s[since]) - 0.5 * WINDOW_S
