"""Rules: what a crew with a plan orders, and what crews with a simple rule order."""

from dataclasses import replace
from typing import NamedTuple

import numpy as np

from bench.value.places import Drift, Pair, home_offset, launched_at, up_wind
from bench.value.truth import Likes, Order, Outcome, Said, Truth, fly_order
from farglide.chances.area import launch_area
from farglide.chances.chances import opened_of
from farglide.chances.decision import decide, some_field_ratio
from farglide.chances.ensemble import Ensemble, drawn_ensemble
from farglide.chances.heights import chances_of_heights, let_go, rules_like
from farglide.chances.trial import coarse_trial
from farglide.compute import on_threads
from farglide.earth.state import Place
from farglide.gather.accept import accepted
from farglide.plan.order import PLAINLY
from farglide.rig.drives import within_drive_m
from farglide.sim.core.step import Offset
from farglide.sortie.grain import Grain
from farglide.sortie.spec import Sortie

_NEVER_S = 5.0 * 3600.0
N_DRAWS = 200
WORKERS = on_threads(2)
HOME = 0


class Aim(NamedTuple):
    """What a crew wants its plan for."""

    name: str
    told: str
    home: bool  # bring it home, else to any of the fields


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
    field = None if rule.to_nearest else HOME
    return fly_order(truth, Order(rule.release_amsl_m, _NEVER_S, field))


def up_wind_of(sortie: Sortie, drift: Drift, most_m: float) -> Sortie:
    """Return a sortie launched a whole forecast drift up-wind, or as far as the drive goes."""
    return up_wind(sortie, drift, min(drift.distance_m, most_m))


def taken_along(pair: Pair, sortie: Sortie) -> Pair:
    """Return a pair whose winds are those over a launch elsewhere, forecast from as far away."""
    north, east = home_offset(sortie)
    forecast = pair.forecast
    moved = replace(
        forecast,
        lat_deg=forecast.lat_deg - float(np.degrees(north)),
        lon_deg=forecast.lon_deg - float(np.degrees(east)),
    )
    return pair._replace(forecast=moved)


def drawn_for(sortie: Sortie, pair: Pair) -> Ensemble:
    """Return the draws that a plan is made of."""
    pack = accepted(sortie, replace(pair.forecast, t_s=sortie.launch.t_s), "forecast")
    return drawn_ensemble(sortie, pack.sounding, Grain(n_draws=N_DRAWS, clock_s=60.0), WORKERS)


def planned_order(sortie: Sortie, pair: Pair) -> Order | None:
    """Return what the plan orders, None where it tells to stay at home.

    Where it tells that choosing the field at the release gains, the crew takes the one that is open
    to most of the draws let go nearest to where it is.
    """
    drawn = drawn_for(sortie, pair)
    chances = chances_of_heights(drawn)
    decision = decide(drawn, chances)
    if decision is None:
        return None
    at_m, until_s = chances.amsl_m[decision.best], chances.until_s[decision.best]
    chance_ratio = some_field_ratio(chances, decision)
    chooses = chance_ratio >= decision.chance_ratio + PLAINLY and sortie.wish.bring_to == "any"
    said = Said(chance_ratio if chooses else decision.chance_ratio, decision.above_wanted)
    if not chooses:
        return Order(float(at_m), float(until_s), decision.field, said)
    states = let_go(drawn, rules_like(chances, np.array([decision.best])))
    at = Offset(states.north_rad[:, 0], states.east_rad[:, 0])
    likes = Likes(at, opened_of(drawn, states, drawn.goals).ratio[:, 0])
    return Order(float(at_m), float(until_s), None, said, likes)


def planned_launch(sortie: Sortie, pair: Pair, most_km: float) -> Sortie:
    """Return a sortie launched where its plan advises, if the crew drives so far at most."""
    may_s = 1e3 * most_km / within_drive_m(1.0) if np.isfinite(most_km) else None
    limited = replace(sortie, launch=replace(sortie.launch, may_drive_s=may_s))
    area = launch_area(coarse_trial(drawn_for(limited, pair), None).ensemble)
    if area is None or area.free is None:
        return sortie
    at = Place(lat_deg=area.free.lat_deg, lon_deg=area.free.lon_deg, amsl_m=sortie.launch.amsl_m)
    return launched_at(sortie, at)
