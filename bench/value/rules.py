"""Rules: what a crew with a plan orders, and what crews with a simple rule order."""

from dataclasses import replace
from typing import NamedTuple

from bench.value.places import Drift, Pair, up_wind
from bench.value.truth import Order, Outcome, Truth, fly_order, let_go_at, nearest_field
from farglide.chances.ensemble import drawn_ensemble
from farglide.chances.heights import chances_of_heights
from farglide.chances.window import decide
from farglide.gather.accept import accepted
from farglide.sortie.grain import Grain
from farglide.sortie.spec import Sortie

_NEVER_S = 5.0 * 3600.0
N_DRAWS = 200
HOME = 0


class Rule(NamedTuple):
    """A simple rule: let go at this height, and fly home or to the nearest field."""

    name: str
    release_amsl_m: float
    to_nearest: bool


SIMPLE = tuple(
    Rule(f"{km} km, {'nearest field' if nearest else 'always home'}", 1e3 * km, nearest)
    for nearest in (False, True)
    for km in (20, 22, 25, 28)
)


def by_rule(truth: Truth, rule: Rule) -> Outcome:
    """Return how a sortie ends that is flown to a simple rule.

    Who flies to the nearest field takes the one nearest to where the glider was let go.
    """
    order = Order(rule.release_amsl_m, _NEVER_S, HOME)
    if rule.to_nearest:
        order = order._replace(field=nearest_field(truth, let_go_at(truth, order)))
    return fly_order(truth, order)


def up_wind_of(sortie: Sortie, drift: Drift, most_m: float) -> Sortie:
    """Return a sortie launched a whole forecast drift up-wind, or as far as the drive goes."""
    return up_wind(sortie, drift, min(drift.distance_m, most_m))


def planned_order(sortie: Sortie, pair: Pair) -> Order | None:
    """Return what the plan orders, None where it tells to stay at home."""
    pack = accepted(sortie, replace(pair.forecast, t_s=sortie.launch.t_s), "forecast")
    drawn = drawn_ensemble(sortie, pack.sounding, Grain(n_draws=N_DRAWS, clock_s=60.0))
    chances = chances_of_heights(drawn)
    decision = decide(drawn, chances)
    if decision is None:
        return None
    best = decision.best
    return Order(float(chances.amsl_m[best]), float(chances.until_s[best]), decision.field)
