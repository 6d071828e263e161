"""Bands: when a field is open, doubtful or shut over the climb, and when nothing is open."""

from typing import Final

import numpy as np

from farglide.arrays import FloatArray
from farglide.chances.chances import Chances
from farglide.outlook.fields import State
from farglide.sortie.spec import Wish

LAST_BURST_RATIO: Final = 59.0 / 60.0
"""Bands end where fewer than 1 balloon in 60 gets."""


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


def gaps_s(chances: Chances, wish: Wish, median_burst_s: float) -> list[tuple[float, float]]:
    """Return the stretches from the first open field to the median burst with no field open."""
    best = chances.open_ratio.max(axis=1) if chances.open_ratio.shape[1] else np.zeros(0)
    t = chances.after_launch_s
    if best.size == 0:
        return [(0.0, median_burst_s)]
    open_at = best >= wish.open_ratio
    if not open_at.any() or t[int(np.argmax(open_at))] >= median_burst_s:
        return [(0.0, median_burst_s)]
    inside = (t >= t[int(np.argmax(open_at))]) & (t <= median_burst_s)
    step = _step_s(t)
    states: list[State] = [
        "shut" if i and not o else "open" for i, o in zip(inside, open_at, strict=True)
    ]
    return [
        (float(t[a]), float(t[a]) + step * (b - a))
        for state, a, b in runs(states)
        if state == "shut"
    ]


def shut_s(chances: Chances, field: int, wish: Wish, median_burst_s: float) -> float:
    """Return how long a field is not open between T+3 min and the median burst."""
    t = chances.after_launch_s
    inside = (t >= 180.0) & (t <= median_burst_s)
    closed = inside & (chances.open_ratio[:, field] < wish.open_ratio)
    return float(closed.sum() * _step_s(t))


def _step_s(t: FloatArray) -> float:
    return float(t[1] - t[0]) if len(t) > 1 else 0.0
