"""Sorties: one flight of one place under every rule, simple and planned."""

from collections.abc import Sequence
from dataclasses import replace
from typing import NamedTuple

import numpy as np

from bench.value.places import Pair, drift_of, home_sortie
from bench.value.rules import (
    SIMPLE,
    Aim,
    Rule,
    by_rule,
    planned_launch,
    planned_order,
    taken_along,
    up_wind_of,
)
from bench.value.truth import Order, Outcome, Said, fly_order, truth_of
from farglide.sortie.spec import Sortie

AIMS = (
    Aim("plan, home", "Home", True),
    Aim("plan, any field", "Any of four fields", False),
)
"""What the crew wants, with a launch at home."""
FARTHEST_KM = (np.inf, 100.0, 60.0)
LAUNCHES = {
    km: (f"plan, launch too, {km:g} km", f"25 km, a drift up-wind, {km:g} km") for km in FARTHEST_KM
}
"""The plan and the best simple rule, by how far the crew drives."""
_HIGH = Rule("25 km", 25_000.0, False)


class Flown(NamedTuple):
    """All rules on one sortie: how it ended, by the rule's name, and which region it counts to."""

    region: int
    outcomes: dict[str, Outcome]
    said: dict[str, Said]  # of the plans that order a release


class _Plan(NamedTuple):
    """One rule made ready for a place: from where it launches, in which winds, and what it orders.

    It knows the forecast alone, so it is the same for every balloon.
    """

    name: str
    sortie: Sortie
    pair: Pair
    rule: Rule | None  # None: the order of a plan
    order: Order | None  # of a plan; None: it tells to stay at home


def flown(pair: Pair, seeds: Sequence[int]) -> list[Flown]:
    """Return how sorties of one place end under every rule, a balloon and glider for each seed."""
    plans = _plans(pair)
    said = {one.name: one.order.said for one in plans if one.order and one.order.said}
    return [
        Flown(pair.region, {one.name: _end(one, seed) for one in plans}, said) for seed in seeds
    ]


def _plans(pair: Pair) -> list[_Plan]:
    sortie = home_sortie(pair)
    alone, drift = replace(sortie, fields=sortie.fields[:1]), drift_of(sortie, pair.forecast)
    found = [_Plan(rule.name, sortie, pair, rule, None) for rule in SIMPLE]
    for aim in AIMS:
        asked = alone if aim.home else sortie
        found.append(_Plan(aim.name, asked, pair, None, planned_order(asked, pair)))
    for km, (plan, rule) in LAUNCHES.items():
        away = up_wind_of(alone, drift, 1e3 * km)
        found.append(_Plan(rule, away, taken_along(pair, away), _HIGH, None))
        best = planned_launch(alone, pair, km)
        there = taken_along(pair, best)
        found.append(_Plan(plan, best, there, None, planned_order(best, there)))
    return found


def _end(plan: _Plan, seed: int) -> Outcome:
    truth = truth_of(plan.sortie, plan.pair, seed)
    if plan.rule is not None:
        return by_rule(truth, plan.rule)
    return fly_order(truth, plan.order) if plan.order else Outcome(False, False)
