"""Bands: when a field is open, doubtful or shut over the climb, and when nothing is open."""

from typing import Final

import numpy as np

from farglide.arrays import BoolArray, FloatArray, IntArray
from farglide.chances.chances import Chances
from farglide.outlook.fields import State
from farglide.sortie.spec import Wish

_EVERY_S: Final = 60.0


def told_moments(chances: Chances) -> IntArray:
    """Return the moments of every minute that there are balloons enough left to tell of."""
    step_s = _step_s(chances.after_launch_s)
    every = max(round(_EVERY_S / step_s), 1) if step_s else 1
    return np.arange(0, int(chances.is_told.sum()), every)


def state_of(open_ratio: float, wish: Wish) -> State:
    """Return the state that a share of draws stands for."""
    if open_ratio >= wish.open_ratio:
        return "open"
    return "doubtful" if open_ratio >= wish.doubtful_ratio else "shut"


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
    step = _step_s(t)
    return [(float(t[a]), float(t[a]) + step * (b - a)) for a, b in stretches(shut)]


def shut_s(chances: Chances, field: int, wish: Wish, median_burst_s: float) -> float:
    """Return how long a field is not open between T+3 min and the median burst."""
    t = chances.after_launch_s
    inside = (t >= 180.0) & (t <= median_burst_s)
    closed = inside & (chances.open_ratio[:, field] < wish.open_ratio)
    return float(closed.sum() * _step_s(t))


def _step_s(t: FloatArray) -> float:
    return float(t[1] - t[0]) if len(t) > 1 else 0.0
