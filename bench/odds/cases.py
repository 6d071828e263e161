"""Cases: which pairs of soundings are planned and flown, by age and distance."""

from dataclasses import replace
from datetime import UTC, datetime
from typing import Final, NamedTuple

import numpy as np

from bench.odds.data import Flown
from bench.odds.pairs import Pair, aged_pairs, apart_pairs, layer_winds
from farglide.earth.clock import seconds_from_datetime

LOWEST_TOP_M: Final = 18_000.0
_SOLAR_HOUR: Final = 7.0
_MOST_OF_A_CLASS: Final = 48


class AgeClass(NamedTuple):
    """Pairs that are told of together."""

    name: str
    ages_h: tuple[float, float]
    distances_km: tuple[float, float]


CLASSES: Final = (
    AgeClass("2-7 h", (2.0, 7.5), (0.0, 20.0)),
    AgeClass("9-27 h", (9.0, 27.0), (0.0, 20.0)),
    AgeClass("130-250 km", (0.0, 2.0), (20.0, 250.0)),
    AgeClass("250-450 km", (0.0, 2.0), (250.0, 450.0)),
)
"""Pairs under an hour apart and nearer than 130 km are in none of the open sets."""


class Chosen(NamedTuple):
    """A pair to be planned and flown, told of with its class; `group`: day and place it was."""

    kind: AgeClass
    pair: Pair  # by daylight
    group: str


def chosen(seed: int = 1) -> list[Chosen]:
    """Return the pairs that reach high enough, of a large class a part drawn by lot."""
    rng, found = np.random.default_rng(seed), []
    pairs = [one for one in (*aged_pairs(30.0), *apart_pairs(450.0)) if _is_high(one)]
    for kind in CLASSES:
        of_kind = [one for one in pairs if _is_of(one, kind)]
        if len(of_kind) > _MOST_OF_A_CLASS:
            picked = rng.choice(len(of_kind), _MOST_OF_A_CLASS, replace=False)
            of_kind = [of_kind[i] for i in sorted(picked)]
        found += [Chosen(kind, by_daylight(one), one.group) for one in of_kind]
    return found


def common_top_m(pair: Pair) -> float:
    """Return up to where the winds of both soundings are known."""
    known = np.isfinite(layer_winds(pair.forecast)[0] + layer_winds(pair.truth)[0])
    return 500.0 + 100.0 * float(np.flatnonzero(known)[-1] + 1)


def by_daylight(pair: Pair) -> Pair:
    """Return the pair at seven in the morning by the sun, at the longest day of its hemisphere.

    Both times are moved alike: the age stays, and the dark ends no flight. What is told is the
    doubt about winds.
    """
    truth = pair.truth.sounding
    longest = datetime(2007, 6 if truth.lat_deg >= 0.0 else 12, 21, tzinfo=UTC)
    wanted_s = seconds_from_datetime(longest) + 3600.0 * (_SOLAR_HOUR - truth.lon_deg / 15.0)
    shift_s = wanted_s - truth.t_s
    return replace(pair, forecast=_moved(pair.forecast, shift_s), truth=_moved(pair.truth, shift_s))


def _moved(flown: Flown, shift_s: float) -> Flown:
    return replace(flown, sounding=replace(flown.sounding, t_s=flown.sounding.t_s + shift_s))


def _is_high(pair: Pair) -> bool:
    tops = (pair.forecast.sounding.top_gph_m, pair.truth.sounding.top_gph_m)
    return min(tops) >= LOWEST_TOP_M


def _is_of(pair: Pair, kind: AgeClass) -> bool:
    (young, old), (near, far) = kind.ages_h, kind.distances_km
    return young <= pair.age_h < old and near <= pair.distance_km < far
