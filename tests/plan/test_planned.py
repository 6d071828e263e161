"""Planned: the release decided on, on the clocks of the draws and of the error-free climb."""

from dataclasses import replace

import numpy as np
import pytest

from farglide.air.sounding import Sounding
from farglide.chances.trial import median_burst_s
from farglide.flightfile.flightfile import FlightFile
from farglide.plan.planned import Planned, for_all_fields, planned, settled
from farglide.sortie.grain import Grain
from farglide.sortie.pack import Pack

GRAIN = Grain(n_draws=50, prices_mps=(8.0,), slab=5)


@pytest.fixture(scope="module")
def told() -> list[str]:
    return []


@pytest.fixture(scope="module")
def found(demo_flight: FlightFile, demo_sounding: Sounding, told: list[str]) -> Planned:
    pack = Pack(sounding=demo_sounding)
    return planned(demo_flight.sortie, pack, GRAIN, progress=told.append)


def test_the_release_is_on_the_clock(found: Planned) -> None:
    assert found.decision is not None
    assert found.field == found.case.sortie.fields[found.decision.field].name
    assert found.release_s == found.decision.release_by_s
    assert abs(found.after_launch_s - found.release_s) <= 15.0
    assert found.drawn_moment * found.case.drawn.climbs.tracks.step_s == found.after_launch_s


def test_progress_is_told_and_the_way_home_flown(found: Planned, told: list[str]) -> None:
    assert told == ["flying the draws", "asking every field at every height"]
    flight = found.way_home()
    assert flight is not None
    assert flight.over_field_s > found.after_launch_s


def test_without_a_decision_it_is_the_median_burst(found: Planned) -> None:
    none = replace(found, decision=None)
    assert (none.field, none.way_home()) == ("", None)
    assert none.release_s == median_burst_s(found.case.drawn)


def test_the_tables_of_the_draws_are_let_go_and_the_coarse_ones_asked(found: Planned) -> None:
    assert found.case.drawn.reach.reaches.free.made_m.shape[0] == 0
    every = for_all_fields(found)
    assert every.drawn.reach.reaches.free.made_m.shape[0] > 0
    assert len(found.base.ensemble.goals.north_rad) == 1
    np.testing.assert_array_equal(every.drawn.goals.north_rad, found.case.drawn.goals.north_rad)


def test_a_settled_flight_stays_what_it_is(
    demo_flight: FlightFile, demo_sounding: Sounding
) -> None:
    """The demo states its polar and its neck lift: nothing is to be fitted or solved."""
    pack = Pack(sounding=demo_sounding)
    once = settled(demo_flight, pack)
    assert once.sortie.balloon.neck_lift_kg == demo_flight.sortie.balloon.neck_lift_kg
    assert settled(once, pack) == once
