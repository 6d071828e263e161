"""What a plan is worth, beside simple rules: `python -m bench.value [--out FILE]`."""

from dataclasses import replace
from typing import NamedTuple

from bench.value.places import Pair, home_sortie
from bench.value.rules import SIMPLE, by_rule, planned_order
from bench.value.truth import Outcome, fly_order, truth_of


class Flown(NamedTuple):
    """All rules on one sortie: how it ended, by the rule's name, and which region it counts to."""

    region: int
    outcomes: dict[str, Outcome]


def flown(pair: Pair, seed: int) -> Flown:
    """Return how one sortie ends under every rule."""
    sortie = home_sortie(pair)
    truth = truth_of(sortie, pair.truth, pair.forecast, seed)
    found = {rule.name: by_rule(truth, rule) for rule in SIMPLE}
    for name, bring_to in (("plan, home", "home"), ("plan, any field", "any")):
        fields = sortie.fields[:1] if bring_to == "home" else sortie.fields
        order = planned_order(replace(sortie, fields=fields), pair)
        found[name] = fly_order(truth, order) if order else Outcome(False, False)
    return Flown(pair.region, found)
