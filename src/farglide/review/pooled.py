"""Pooled: the next value of a number, out of what was believed and what some flights showed."""

import math
from collections.abc import Sequence
from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import FloatArray
from farglide.errors import InputError

_N_MEANS: Final = 401
_N_SPREADS: Final = 31
_WIDE: Final = 6.0
_LOG_SPREAD: Final = 0.6
"""A spread from flight to flight is believed within a factor of 1.8 before any flight."""
_LEAST_RATIO: Final = 1e-6
_Z: Final = np.linspace(-9.0, 38.0, 4701)
_LOG_UPPER: Final = np.log([max(0.5 * math.erfc(z / math.sqrt(2.0)), 1e-320) for z in _Z.tolist()])
"""The logarithm of the upper tail of the normal law."""


class Belief(NamedTuple):
    """What is believed of the next flight's number, and how much of it is each flight's own.

    `own_ratio`: share of the variance that differs from flight to flight; the rest is doubt about
    the gear, which all its flights share.
    """

    value: float
    sd: float
    own_ratio: float


class Shown(NamedTuple):
    """What one flight showed: a value and its error, or that the number is larger than a value."""

    value: float
    sd: float
    at_least: bool = False


class NextValue(NamedTuple):
    """The number for the next flight: value, spread, and the spread from flight to flight."""

    value: float
    sd: float
    between_sd: float


def next_value(belief: Belief, shown: Sequence[Shown]) -> NextValue:
    """Return what to believe of the next flight's number after some flights.

    Each flight's own number is normal about that of the gear; that one and the spread between
    flights are not known and weighed together on a grid. A measured number counts by the density
    of its value, one that is only known to be larger by the chance of that: a balloon let go whole
    had not burst yet. Without the second the bursts seen would be the early ones alone.
    A belief taken as exact stays. Raises InputError.
    Source: Gelman et al., Bayesian Data Analysis (2013), 5.4 (hierarchical normal model) and 8.2
    (censored data), from memory; the prior of the spread is a choice, no source.
    """
    _check(belief, shown)
    if belief.sd <= 0.0:
        return NextValue(belief.value, 0.0, 0.0)
    spreads = _spreads(belief)
    means = _means(belief, shown, float(spreads[-1]))
    shared_sd = belief.sd * math.sqrt(1.0 - belief.own_ratio)
    score = -0.5 * ((means[:, None] - belief.value) / shared_sd) ** 2 + _spread_scores()
    score = score + np.log(np.gradient(means))[:, None]  # means lie closer about the belief
    for one in shown:
        wide = np.hypot(spreads, one.sd)
        score = score + _likely((one.value - means[:, None]) / wide, wide, one.at_least)
    weight = np.exp(score - score.max())
    weight /= weight.sum()
    mean = float((weight * means[:, None]).sum())
    between2 = float((weight * spreads**2).sum())
    about2 = float((weight * (means[:, None] - mean) ** 2).sum())
    return NextValue(mean, math.sqrt(between2 + about2), math.sqrt(between2))


def own_value(belief: Belief, shown: Shown) -> Shown:
    """Return what is believed of one flight's own number after it was measured.

    Source: the mean of two normal laws by their precisions, any textbook.

    >>> own = own_value(Belief(6.60, 0.40, 0.5), Shown(5.81, 0.152))
    >>> round(own.value, 2), round(own.sd, 2)
    (5.91, 0.14)
    """
    if belief.sd <= 0.0:
        return Shown(belief.value, 0.0)
    before, seen = 1.0 / belief.sd**2, 1.0 / max(shown.sd, _LEAST_RATIO * belief.sd) ** 2
    mean = (before * belief.value + seen * shown.value) / (before + seen)
    return Shown(mean, math.sqrt(1.0 / (before + seen)))


def _likely(z: FloatArray, wide: FloatArray, at_least: bool) -> FloatArray:
    """Return the logarithm of the chance of what was shown."""
    if at_least:
        return np.interp(z, _Z, _LOG_UPPER)
    return np.asarray(-0.5 * z**2 - np.log(wide))


def _spreads(belief: Belief) -> FloatArray:
    """Return spreads between flights, evenly in their logarithm.

    Their mean square is that share of the variance believed in which flights differ.
    """
    middle = belief.sd * math.sqrt(belief.own_ratio) * math.exp(-(_LOG_SPREAD**2))
    return np.asarray(middle * np.exp(_LOG_SPREAD * _deviations()))


def _deviations() -> FloatArray:
    return np.linspace(-3.5, 3.5, _N_SPREADS)


def _spread_scores() -> FloatArray:
    return np.asarray(-0.5 * _deviations() ** 2)


def _means(belief: Belief, shown: Sequence[Shown], widest: float) -> FloatArray:
    """Return means of the gear as far as belief and flights reach."""
    values = [one.value for one in shown]
    pad = _WIDE * belief.sd
    low = min([belief.value - pad, *(one.value - widest for one in shown if not one.at_least)])
    high = max([belief.value + pad, *(v + widest for v in values)])
    near = np.linspace(belief.value - pad, belief.value + pad, _N_MEANS)
    return np.union1d(near, np.linspace(low, high, _N_MEANS)) if values else near


def _check(belief: Belief, shown: Sequence[Shown]) -> None:
    if not 0.0 < belief.own_ratio < 1.0:
        raise InputError("own_ratio", belief.own_ratio, "between 0 and 1")
    for one in shown:
        if not (math.isfinite(one.value) and 0.0 <= one.sd < math.inf):
            told = f"{one.value:g} with {one.sd:g}"
            raise InputError("what a flight showed", told, "finite numbers, no negative error")
