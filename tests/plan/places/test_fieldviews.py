"""Field outlooks: when each field is open, and why not."""

import math
from dataclasses import replace
from itertools import pairwise

import pytest

from farglide.air.column import Sounding
from farglide.chances.bands import state_of
from farglide.chances.case import Case
from farglide.chances.chances import Chances
from farglide.chances.ensemble import Ensemble, drawn_ensemble
from farglide.flightfile.flightfile import FlightFile
from farglide.outlook.fields import FieldOutlook
from farglide.plan.places.fieldviews import _never_level, bands, field_outlooks
from farglide.sim.core.losses import LOSS_STEP_M
from farglide.sortie.grain import Grain


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
    assert _never_level(hurt, 20_000.0) is expected


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
    assert not _never_level(hurt, base_m + 2.0 * LOSS_STEP_M)
    assert _never_level(hurt, base_m + 2.1 * LOSS_STEP_M)


@pytest.fixture(scope="module")
def outlooks(case: Case, chances: Chances) -> tuple[FieldOutlook, ...]:
    return field_outlooks(case, chances)


def test_fields_lie_where_the_scenario_has_them(outlooks: tuple[FieldOutlook, ...]) -> None:
    places = [(one.east_m / 1e3, one.north_m / 1e3) for one in outlooks]
    wanted = [(0.0, 0.0), (18.8, -11.8), (30.1, -27.9), (47.6, -33.5)]
    for found, there in zip(places, wanted, strict=True):
        assert found == pytest.approx(there, abs=0.3)  # on a sphere there, on an ellipsoid here


def test_bands_follow_one_another_and_keep_one_state(
    outlooks: tuple[FieldOutlook, ...], case: Case, chances: Chances
) -> None:
    for i, one in enumerate(outlooks):
        assert one.bands == bands(case.drawn, chances, i)
        assert one.bands[0].from_after_launch_s == 0.0
        for band, following in pairwise(one.bands):
            assert band.to_after_launch_s == following.from_after_launch_s
            assert band.state != following.state
        for band in one.bands:
            within = (chances.after_launch_s >= band.from_after_launch_s) & (
                chances.after_launch_s < band.to_after_launch_s
            )
            shares = chances.open_ratio[within, i]
            assert {state_of(p, case.sortie.wish) for p in shares} == {band.state}
            assert (band.reason == "") == (band.state == "open")


def test_home_is_shut_by_the_head_wind_of_the_jet(outlooks: tuple[FieldOutlook, ...]) -> None:
    """36 m/s from 303 degrees at 10 km, and home to the north-west of the drift."""
    shut = [band for band in outlooks[0].bands if band.state == "shut"]
    longest = max(shut, key=lambda band: band.to_after_launch_s - band.from_after_launch_s)
    assert longest.from_after_launch_s / 60.0 == pytest.approx(28.5, abs=4.0)
    assert longest.to_after_launch_s / 60.0 == pytest.approx(62.5, abs=4.0)
    assert "head wind 3" in longest.reason
    assert "at 10 km" in longest.reason


def test_steps_come_every_minute_and_spares_every_fourth(
    outlooks: tuple[FieldOutlook, ...],
) -> None:
    steps = outlooks[0].steps
    assert {b.after_launch_s - a.after_launch_s for a, b in pairwise(steps)} == {60.0}
    for step in steps:
        assert step.chance_ratio <= step.open_ratio + 1e-9
        assert step.open_ratio <= step.timely_ratio + 1e-9 <= step.reach_ratio + 2e-9
        if step.after_launch_s % 240.0:
            assert math.isnan(step.spare_m)
    assert any(step.spare_m > 10e3 for step in steps)
