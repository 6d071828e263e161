"""Burst: the chance that a balloon is whole at a diameter, and what a record teaches of it."""

import math
from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import FloatArray
from farglide.errors import InputError
from farglide.kernel import compiled

EARLY_END_RATIO: Final = 0.9
"""A burst below this share of the bursting diameter is an early one."""
PRIOR_FLIGHTS: Final = 30.0
"""So many flights a share that nobody counted is worth: a choice, no source."""
_LEAST_M: Final = 0.3
_HALVINGS: Final = 60
_CLIP_SD: Final = 4.0


class Bursting(NamedTuple):
    """The law of the diameter at which balloons burst.

    A share of them bursts early, evenly spread over the diameters from the fill to 0.9 of the
    bursting one; the others burst around that, normally distributed.
    Source: common practice, no source.
    """

    mean_m: float
    sd_m: float
    early_ratio: float
    fill_diameter_m: float  # how wide the balloon is at the launch


class Record(NamedTuple):
    """Balloons flown so far, how many burst early, and up to where the others were seen whole."""

    n_flights: int
    n_early: int
    seen_ratio: float  # share of the bursting diameter


@compiled
def _early_passed_ratio(diameter_m: float, law: Bursting) -> float:
    """Return the share of the early bursts that come before a diameter."""
    end_m = EARLY_END_RATIO * law.mean_m
    if diameter_m >= end_m:
        return 1.0
    return max(diameter_m - law.fill_diameter_m, 0.0) / max(end_m - law.fill_diameter_m, 1e-9)


@compiled
def _burst_ratio(diameter_m: float, law: Bursting) -> float:
    """Return the share of balloons that burst before they reach this diameter; NaN of NaN."""
    if math.isnan(diameter_m):
        return math.nan
    early = law.early_ratio * _early_passed_ratio(diameter_m, law)
    if law.sd_m <= 0.0:  # an exact bursting diameter: a step
        return early + (1.0 - law.early_ratio) * (1.0 if diameter_m >= law.mean_m else 0.0)
    # erfc keeps the digits of small chances, where 1 + erf would round them to nothing.
    usual = 0.5 * math.erfc((law.mean_m - diameter_m) / (law.sd_m * math.sqrt(2.0)))
    return early + (1.0 - law.early_ratio) * usual


@compiled
def _whole_ratio(diameter_m: float, law: Bursting) -> float:
    """Return the share of balloons still whole, which keeps its digits where it is tiny."""
    early = law.early_ratio * (1.0 - _early_passed_ratio(diameter_m, law))
    if law.sd_m <= 0.0:
        return early + (1.0 - law.early_ratio) * (1.0 if diameter_m < law.mean_m else 0.0)
    usual = 0.5 * math.erfc((diameter_m - law.mean_m) / (law.sd_m * math.sqrt(2.0)))
    return early + (1.0 - law.early_ratio) * usual


@compiled
def _diameter_rows(share: FloatArray, law: Bursting, out: FloatArray) -> None:
    """Fill in the diameter by which each share has burst, by halving."""
    for i in range(len(share)):
        low, high = 0.0, law.mean_m + 2.0 * _CLIP_SD * law.sd_m
        for _ in range(_HALVINGS):
            middle = 0.5 * (low + high)
            if _burst_ratio(middle, law) < share[i]:
                low = middle
            else:
                high = middle
        out[i] = 0.5 * (low + high)


def burst_diameters_m(law: Bursting, normal: FloatArray) -> FloatArray:
    """Return the bursting diameters that belong to standard normal numbers, cut at four.

    The larger the number the wider; without early bursts the normal law itself. At least 0.3 m.
    """
    clipped = np.clip(normal, -_CLIP_SD, _CLIP_SD)
    if law.early_ratio <= 0.0:
        plain: FloatArray = np.maximum(law.mean_m + law.sd_m * clipped, _LEAST_M)
        return plain
    share = np.array([0.5 * math.erfc(-z / math.sqrt(2.0)) for z in clipped.tolist()])
    out = np.empty(len(share))
    _diameter_rows(share, law, out)
    return np.maximum(out, _LEAST_M)


def learnt_early_ratio(prior_ratio: float, record: Record, fill_ratio: float) -> float:
    """Return the share of early bursts after a record: the prior is worth 30 flights.

    A balloon let go whole tells only of the early bursts that would have come before: it counts as
    the part of them that lies below the diameter up to which it was seen. `fill_ratio`: diameter of
    the fill over the bursting one.
    Source: mean of a beta distribution (Gelman et al., Bayesian Data Analysis, 2.4), from memory;
    (1 - s g) taken as (1 - s)^g, within 1 % for shares s up to a tenth.

    >>> round(learnt_early_ratio(0.03, Record(30, 0, 0.9), 0.25), 6)
    0.015
    """
    n, n_early, seen = record
    if not 0 <= n_early <= n:
        raise InputError("record", (n, n_early), "0 or more flights, early bursts among them")
    told = min(max(seen - fill_ratio, 0.0) / max(EARLY_END_RATIO - fill_ratio, 1e-9), 1.0)
    n_told = n_early + told * (n - n_early)
    prior = min(max(prior_ratio, 0.0), 1.0)  # a guess moved by its doubt may leave what can be
    return (PRIOR_FLIGHTS * prior + n_early) / (PRIOR_FLIGHTS + n_told)
