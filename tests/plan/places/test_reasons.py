"""Reasons: winds, missing height and drops in words that are those of the draws."""

from dataclasses import replace

import numpy as np
import pytest

from farglide.air.sounding import Sounding
from farglide.chances.chances import chances_in
from farglide.chances.ensemble import Ensemble, drawn_ensemble
from farglide.chances.heights import let_go
from farglide.flightfile.flightfile import FlightFile
from farglide.plan.places.limits import without
from farglide.plan.places.reasons import (
    At,
    cause_of,
    is_calm,
    missing_height_m,
    never_level,
    without_one,
)
from farglide.sim.core.losses import LOSS_STEP_M
from farglide.sim.core.release import Goals
from farglide.sim.core.rule import Rules
from farglide.sortie.grain import Grain

HOME, TANSY = 0, 1


def at(ensemble: Ensemble, field: int, amsl_m: float) -> At:
    """Return a field for a release at a height."""
    rules = Rules(np.array([amsl_m]), np.array([9000.0]), np.array([True]))
    goals = Goals(*(one[field : field + 1] for one in ensemble.goals))
    states = let_go(ensemble, rules)
    return At(field, 0, states, goals, chances_in(ensemble, states, goals))


def test_the_missing_height_opens_the_field_and_half_of_it_does_not(ensemble: Ensemble) -> None:
    here = at(ensemble, TANSY, 1500.0)
    missing_m = missing_height_m(ensemble, here)
    assert missing_m is not None
    assert missing_m >= 1000.0
    for share, is_open in ((1.0, True), (0.5, False)):
        up = here.states._replace(amsl_m=here.states.amsl_m + share * missing_m)
        found = chances_in(ensemble, up, here.goals).reach_ratio[0, 0]
        assert (found >= ensemble.sortie.wish.open_ratio) == is_open
    words = cause_of(ensemble, "height", here, 0.0).words
    assert words.endswith(f"km from the field, {missing_m / 1e3:g} km too low")


def test_a_field_that_no_height_opens_is_too_low_without_a_number(ensemble: Ensemble) -> None:
    here = at(ensemble, HOME, 12_000.0)
    far = here.goals._replace(north_rad=here.goals.north_rad + 0.1)
    assert missing_height_m(ensemble, here._replace(goals=far)) is None
    words = cause_of(ensemble, "height", here._replace(goals=far), 0.0).words
    assert words.endswith("km from the field, too low")


def test_the_wind_told_is_the_strongest_against_the_draws_that_miss(ensemble: Ensemble) -> None:
    """36 m/s from 303 degrees at 10 km, and home lies to the north-west of the drift."""
    words = cause_of(ensemble, "wind", at(ensemble, HOME, 14_000.0), 0.9).words
    assert "head wind 3" in words
    assert words.endswith("at 10 km")
    # across the drift the same wind blows from the side
    here = at(ensemble, HOME, 14_000.0)
    turned = here.goals._replace(
        north_rad=here.states.north_rad.mean(axis=0) + 0.02,
        east_rad=here.states.east_rad.mean(axis=0) + 0.02,
    )
    side = cause_of(ensemble, "wind", here._replace(goals=turned), 0.9).words
    assert "cross wind" in side or "head wind" in side
    assert not is_calm(ensemble, 14_000.0)


def test_below_a_breeze_no_wind_is_told(ensemble: Ensemble) -> None:
    calm = without(ensemble, ("wind",))
    assert is_calm(calm, 14_000.0)
    assert cause_of(calm, "wind", at(calm, HOME, 14_000.0), 0.9).words.endswith(
        "wind 0 m/s at 0 km"
    )


def test_without_a_limit_that_costs_much_it_is_the_drop_or_the_height(ensemble: Ensemble) -> None:
    assert without_one(ensemble, 5_000.0) == "height"
    slow = replace(ensemble.craft, ceiling_amsl_m=4_000.0)
    assert without_one(replace(ensemble, craft=slow), 5_000.0) == "mach"
    for limits, kind in (
        ({"top_mach": 0.01}, "mach"),
        ({"top_eas_mps": 1.0}, "top_eas"),
        ({"top_mach": 0.01, "top_eas_mps": 1.0}, "speeds"),
    ):
        craft = replace(ensemble.craft, limits=ensemble.craft.limits._replace(**limits))
        assert without_one(replace(ensemble, craft=craft), 5_000.0) == kind
    lost_m = np.full_like(ensemble.reach.losses.lost_m, np.nan)
    losses = ensemble.reach.losses._replace(lost_m=lost_m)
    stuck = replace(ensemble, reach=replace(ensemble.reach, losses=losses))
    assert without_one(stuck, 5_000.0) == "drop"
    words = cause_of(stuck, "drop", at(ensemble, HOME, 5_000.0), 0.0).words
    assert words == "the glider never pulls out of its drop"


@pytest.mark.parametrize(("share", "expected"), [(0.02, False), (0.6, True)])
def test_a_few_bad_drops_are_not_the_reason(
    share: float, expected: bool, demo_flight: FlightFile, demo_sounding: Sounding
) -> None:
    asked = Grain(n_draws=50, prices_mps=(8.0,), slab=5)
    ensemble: Ensemble = drawn_ensemble(demo_flight.sortie, demo_sounding, asked)
    lost_m = ensemble.reach.losses.lost_m.copy()
    lost_m[: round(share * len(lost_m))] = float("nan")
    losses = ensemble.reach.losses._replace(lost_m=lost_m)
    hurt = replace(ensemble, reach=replace(ensemble.reach, losses=losses))
    assert never_level(hurt, 20_000.0) is expected


def test_between_a_level_drop_and_none_there_is_none(
    demo_flight: FlightFile, demo_sounding: Sounding
) -> None:
    """The law is not a number as soon as one node beside it is none."""
    asked = Grain(n_draws=50, prices_mps=(8.0,), slab=5)
    ensemble: Ensemble = drawn_ensemble(demo_flight.sortie, demo_sounding, asked)
    lost_m = ensemble.reach.losses.lost_m.copy()
    lost_m[:, 3:] = float("nan")
    losses = ensemble.reach.losses._replace(lost_m=lost_m)
    hurt = replace(ensemble, reach=replace(ensemble.reach, losses=losses))
    base_m = ensemble.air.column.layers.base_amsl_m
    assert not never_level(hurt, base_m + 2.0 * LOSS_STEP_M)
    assert never_level(hurt, base_m + 2.1 * LOSS_STEP_M)
