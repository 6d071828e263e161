"""Rule: the crew lets go at a height first seen, at a clock time, or where the climb ends."""

from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import BoolArray, FloatArray
from farglide.sim.core.states import CLIMBING, States
from farglide.sim.core.tracks import Tracks

SLOW_MPS: Final = 1.0
"""Who climbs less than this is near the top of the climb (common practice, no source)."""
_LEAST_M: Final = 1e-9  # less is no rise
_BEGINS_S: Final = 300.0
"""No climb is called slow in the first minutes: the balloon still swings and finds its speed."""


class Rules(NamedTuple):
    """Rules of release, one a column: whichever comes first of the height, the time, a slow climb.

    Shapes (n_rules,), heights rising.
    """

    amsl_m: FloatArray
    until_s: FloatArray
    by_height: BoolArray  # False where the height is not seen: then the clock leads


class Readings(NamedTuple):
    """The height that the crew of each draw reads, and up to which reading it is valid."""

    amsl_m: FloatArray  # (n_draws, n_times), on the tracks' clock
    valid_to_m: float


def passages_s(seen_m: FloatArray, step_s: float, heights_m: FloatArray) -> FloatArray:
    """Return when each draw first reads each of some rising heights; NaN where it never does.

    `seen_m`: (n_draws, n_times), NaN where there is no reading. Shape (n_draws, n_heights).
    """
    n_times = seen_m.shape[1]
    highest = np.fmax.accumulate(seen_m, axis=1)
    highest[np.isnan(highest)] = -np.inf
    after = np.stack([np.searchsorted(row, heights_m) for row in highest])
    last = np.minimum(after, n_times - 1)
    low, high = (np.take_along_axis(highest, at, axis=1) for at in (np.maximum(last - 1, 0), last))
    rises = np.isfinite(low) & (high - low > _LEAST_M) & (after > 0)
    with np.errstate(invalid="ignore"):
        back = np.where(rises, (high - heights_m) / np.where(rises, high - low, 1.0), 0.0)
    found = np.asarray(step_s * (after - back))
    found[after == n_times] = np.nan
    return found


def slow_from_s(seen_m: FloatArray, step_s: float) -> FloatArray:
    """Return when each draw is first seen to climb too slowly, (n_draws,); NaN where it never is.

    Counted from one time of the clock to the next, after the first minutes.
    """
    slow = np.diff(seen_m, axis=1) < SLOW_MPS * step_s
    slow[:, : int(_BEGINS_S / step_s)] = False
    first = np.argmax(slow, axis=1) if slow.shape[1] else np.zeros(len(slow), np.int64)
    return np.where(slow.any(axis=1), step_s * (first + 1.0), np.nan)


def states_by_rules(
    tracks: Tracks, burst_share: FloatArray, seen: Readings, rules: Rules
) -> States:
    """Return where each draw is when each rule lets it go, shape (n_draws, n_rules).

    `burst_share`: of each draw and time of the tracks. A draw that is down or has left the air by
    then is gone. Between two times of the clock all changes evenly.
    """
    step_s = tracks.step_s
    heights_m = np.where(rules.by_height, rules.amsl_m, np.inf)
    let_go_s = passages_s(seen.amsl_m, step_s, heights_m)
    valid = np.where(seen.amsl_m <= seen.valid_to_m, seen.amsl_m, np.nan)
    let_go_s = np.fmin(let_go_s, slow_from_s(valid, step_s)[:, None])
    let_go_s = np.fmin(let_go_s, np.minimum(rules.until_s, step_s * (seen.amsl_m.shape[1] - 1)))
    told = (*tracks.places, burst_share)
    amsl_m, north, east, burst = (values_at(one, let_go_s / step_s) for one in told)
    kind = np.full(amsl_m.shape, CLIMBING, np.uint8)
    return States(kind, let_go_s, amsl_m, north, east, burst)


def values_at(values: FloatArray, ticks: FloatArray) -> FloatArray:
    """Return each draw's values, (n_draws, n_times), at times counted in steps of their clock."""
    low = np.floor(ticks).astype(np.int64)
    share = ticks - low
    a = np.take_along_axis(values, low, axis=1)
    b = np.take_along_axis(values, np.minimum(low + 1, values.shape[1] - 1), axis=1)
    return np.where(share > 0.0, a + share * (b - a), a)
