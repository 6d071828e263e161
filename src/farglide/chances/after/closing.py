"""Closing: when a share falls below a bound, as closely as it was asked and never too late."""

from collections.abc import Sequence

import numpy as np

from farglide.arrays import FloatArray


def falls_below_s(
    after_s: Sequence[float] | FloatArray, ratio: FloatArray, bound: float
) -> float | None:
    """Return the last moment before a share falls below a bound for the first time.

    Between two moments nothing is guessed: a share may fall at once, right after the first. None
    where it never falls below; the first moment where it is below from the start.

    >>> falls_below_s((0.0, 60.0), np.array([1.0, 0.4]), 0.5)
    0.0
    """
    k = _first_below(ratio, bound)
    return None if k is None else float(after_s[max(k - 1, 0)])


def closer(
    after_s: FloatArray, ratio: FloatArray, bounds: Sequence[float], n_more: int
) -> FloatArray:
    """Return moments to ask for besides, evenly where a share falls below one of some bounds.

    `ratio`: (n_moments, n_shares). Of each share the first fall below each bound counts; rising,
    each once.

    >>> closer(np.array([0.0, 60.0, 120.0]), np.array([[1.0], [0.9], [0.2]]), (0.5,), 2).tolist()
    [80.0, 100.0]
    """
    firsts = {_first_below(one, bound) for one in ratio.T for bound in bounds}
    found = [
        np.linspace(after_s[k - 1], after_s[k], n_more + 2)[1:-1] for k in firsts if k
    ]  # fmt: skip
    return np.sort(np.concatenate(found)) if found else np.empty(0)


def _first_below(ratio: FloatArray, bound: float) -> int | None:
    below = np.flatnonzero(ratio < bound)
    return int(below[0]) if len(below) else None
