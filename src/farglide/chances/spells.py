"""Spells: when chances are open, doubtful or shut, and for how long."""

import numpy as np

from farglide.arrays import BoolArray, FloatArray, IntArray
from farglide.chances.chances import Chances
from farglide.outlook.fields import State
from farglide.sortie.spec import Wish


def told_moments(chances: Chances) -> IntArray:
    """Return the moments at which there are balloons enough left to tell of."""
    return np.arange(int(chances.is_told.sum()))


def state_of(open_ratio: float, wish: Wish) -> State:
    """Return the state that a share of draws stands for."""
    if open_ratio >= wish.open_ratio:
        return "open"
    return "doubtful" if open_ratio >= wish.doubtful_ratio else "shut"


def as_ordered(chances: Chances) -> FloatArray:
    """Return the chance that the balloon is whole and the field open, (n_moments, n_fields).

    What a release after a burst would still bring is left out.
    """
    return np.asarray(chances.open_ratio * (1.0 - chances.burst_ratio)[:, None])


def worth(chances: Chances, wish: Wish) -> BoolArray:
    """Tell when and for which field a release is worth it, shape (n_moments, n_fields).

    The field is open and the chance, the burst counted, not worse than doubtful.
    """
    is_open = chances.open_ratio >= wish.open_ratio
    return np.asarray(is_open & (as_ordered(chances) >= wish.doubtful_ratio))


def runs(states: list[State]) -> list[tuple[State, int, int]]:
    """Return stretches of one state as (state, first, one past the last)."""
    found: list[tuple[State, int, int]] = []
    for i, state in enumerate(states):
        if found and found[-1][0] == state:
            found[-1] = (state, found[-1][1], i + 1)
        else:
            found.append((state, i, i + 1))
    return found


def stretches(holds: BoolArray) -> list[tuple[int, int]]:
    """Return where something holds as (first, one past the last).

    >>> stretches(np.array([True, False, True, True]))
    [(0, 1), (2, 4)]
    """
    edges = np.flatnonzero(np.diff(np.concatenate([[0], holds.astype(np.int8), [0]])))
    return [(first, past) for first, past in edges.reshape(-1, 2).tolist()]


def gaps_s(chances: Chances, wish: Wish, median_burst_s: float) -> list[tuple[float, float]]:
    """Return the stretches from the first open field to the median burst with no field open."""
    t = chances.after_launch_s
    is_open = (chances.open_ratio >= wish.open_ratio).any(axis=1)
    if not is_open.any() or t[np.argmax(is_open)] >= median_burst_s:
        return [(0.0, median_burst_s)]
    shut = ~is_open & (t >= t[np.argmax(is_open)]) & (t <= median_burst_s)
    until = _until_s(t)
    return [(float(t[a]), float(until[b - 1])) for a, b in stretches(shut)]


def shut_s(chances: Chances, field: int, wish: Wish, median_burst_s: float) -> float:
    """Return how long a field is not open between T+3 min and the median burst."""
    t = chances.after_launch_s
    inside = (t >= 180.0) & (t <= median_burst_s)
    closed = inside & (chances.open_ratio[:, field] < wish.open_ratio)
    return float((_until_s(t) - t)[closed].sum())


def _until_s(t: FloatArray) -> FloatArray:
    """Return until when each moment stands: to the next one, the last as long as that before."""
    last_s = t[-1] - t[-2] if len(t) > 1 else 0.0
    return np.append(t[1:], t[-1:] + last_s)
