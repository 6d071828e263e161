"""Spread: how far the air of a day is off, beside how far that was told, by what was measured."""

from typing import Final

import numpy as np

from farglide.arrays import FloatArray, IntArray
from farglide.sim.core.airerrors import AirDoubts
from farglide.sim.core.learnt import (
    Measured,
    add_noise,
    checked,
    crossed_with,
    missed_mps,
    scaled,
    seen_with,
)

_RATIOS: Final = np.exp(np.linspace(np.log(0.5), np.log(3.0), 19))
"""No weather of the open flights was told half as well as its law says, or worse than twice."""
_LOG_SPREAD: Final = 0.35
_MOST_WEIGHED: Final = 24
"""Stretches that the spread is judged by: deep errors hang together over many."""
_WINDOW_M: Final = 3000.0
_BETWEEN_M: Final = 1500.0


def spread_ratios(doubts: AirDoubts, measured: Measured) -> FloatArray:
    """Return how many times as wide as told the deep errors look, (n_layers,).

    Weather that is told badly is so over some kilometres: each height is judged by what was
    measured within `_WINDOW_M` of it. Above all that was measured wider errors hold on, less and
    less, over twice as much; narrower ones end there. The mean of what is believed of its
    logarithm, among ratios from a half to three; before anything is measured it is 1, give or take
    a factor of 1.4: so much campaigns differ (``docs/odds``). Raises InputError.
    Source: Bayes' rule for a normal law's scale, as any textbook has it.
    """
    n_layers = len(doubts.deep_mps)
    n = len(checked(measured, n_layers).sd_mps)
    if not n:
        return np.ones(n_layers)
    heights_m = doubts.step_m * (np.arange(n_layers) + 0.5)
    middles_m = measured.share_ratio @ heights_m
    top_m = float(middles_m.max())
    knots_m = np.arange(float(middles_m.min()), top_m + _BETWEEN_M, _BETWEEN_M)
    near_by = [np.flatnonzero(np.abs(middles_m - z_m) <= _WINDOW_M) for z_m in knots_m]
    some = [_spread_out(one) for one in near_by]
    apart = _Apart(doubts, measured, np.unique(np.concatenate(some)))
    logs = [_log_ratio(*apart.of(one)) if len(one) else 0.0 for one in some]
    ends = np.append(knots_m, knots_m[-1] + 2.0 * _WINDOW_M), np.append(logs, 0.0)
    log_ratio = np.interp(heights_m, *ends)
    # Winds told well below say nothing of those above: when they did, the rest of real climbs
    # missed by 1.4 times the spread told from 15 km, now by 1.2 times (``docs/ahead.txt``).
    log_ratio[heights_m > top_m] = np.maximum(log_ratio[heights_m > top_m], 0.0)
    return np.asarray(np.exp(log_ratio))


def _spread_out(rows: IntArray) -> IntArray:
    """Return some of the stretches of a height, from its lowest to its highest."""
    at = np.unique(np.linspace(0, len(rows) - 1, _MOST_WEIGHED).round().astype(np.int64))
    return rows[at] if len(rows) else rows


def _log_ratio(sizes: FloatArray, missed: FloatArray) -> float:
    seen = 1.0 + np.square(_RATIOS)[:, None] * sizes
    likely = -0.5 * (np.log(seen) + missed**2 / seen).sum(axis=1)
    score = likely - 0.5 * (np.log(_RATIOS) / _LOG_SPREAD) ** 2
    weight = np.exp(score - score.max())
    return float(weight @ np.log(_RATIOS) / weight.sum())


class _Apart:
    """The deep errors of some stretches apart from all else, both summed once for all heights."""

    def __init__(self, doubts: AirDoubts, measured: Measured, used: IntArray) -> None:
        few = measured.rows(used)
        calm = scaled(doubts, 0.0)
        still = doubts._replace(shallow_mps=0.0 * doubts.shallow_mps)
        self._used = used
        self._rest = seen_with(crossed_with(calm, few.share_ratio), few)
        self._deep = seen_with(crossed_with(still, few.share_ratio), few)
        add_noise(self._deep, few, -1.0)
        self._missed = missed_mps(doubts, few).reshape(-1)

    def of(self, rows: IntArray) -> tuple[FloatArray, FloatArray]:
        """Return variances of the deep errors, and what is missed, where all else has variance 1.

        In directions in which both are independent, so that one look serves all ratios.
        """
        at = np.searchsorted(self._used, rows)
        both = (2 * at[:, None] + np.arange(2)).reshape(-1)
        of_both = np.ix_(both, both)
        root = np.linalg.inv(np.linalg.cholesky(self._rest[of_both]))
        sizes, turned = np.linalg.eigh(root @ self._deep[of_both] @ root.T)
        missed = turned.T @ (root @ self._missed[both])
        return np.maximum(sizes, 0.0), np.asarray(missed)
