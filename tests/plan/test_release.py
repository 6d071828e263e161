"""Release: what is said of the release decided on follows from the chances and the crew."""

from dataclasses import replace

import numpy as np
import pytest

from farglide.air.column import Sounding
from farglide.flightfile.flightfile import FlightFile
from farglide.plan.planned import Planned, planned
from farglide.plan.release import crew_ratio, release_outlook
from farglide.sim.core.shares import failure_bound_ratio
from farglide.sortie.grain import Grain
from farglide.sortie.pack import Pack


@pytest.fixture(scope="module")
def found(demo_flight: FlightFile, demo_sounding: Sounding) -> Planned:
    grain = Grain(n_draws=50, prices_mps=(8.0,), slab=5)
    return planned(demo_flight.sortie, Pack(sounding=demo_sounding), grain)


def test_the_release_tells_the_decision(found: Planned) -> None:
    decision = found.decision
    assert decision is not None
    flight = found.way_home()
    told = release_outlook(found, decision, flight)
    assert flight is not None
    assert told.field == found.field
    assert (told.chance_ratio, told.open_ratio) == (decision.chance_ratio, decision.open_ratio)
    assert told.release_by_after_launch_s == decision.release_by_s
    assert told.window.from_after_launch_s == decision.from_s
    assert told.window.to_after_launch_s == decision.to_s
    assert told.window.from_amsl_m <= told.release_by_amsl_m <= told.window.to_amsl_m
    assert (told.spare_m, told.over_field_after_launch_s) == (flight.spare_m, flight.over_field_s)
    assert told.product_ratio == told.chance_ratio * told.crew_ratio
    step_s = found.case.drawn.climbs.tracks.step_s
    share = found.case.drawn.climbs.burst_share.mean(axis=0)
    by_s = decision.release_by_s
    now, later = np.interp([by_s / step_s, (by_s + 120.0) / step_s], np.arange(len(share)), share)
    assert told.burst_ratio == pytest.approx(now, abs=1e-12)
    assert told.burst_within_120_s_ratio == pytest.approx((later - now) / (1.0 - now), abs=1e-12)


def test_without_a_way_home_its_numbers_are_not_known(found: Planned) -> None:
    assert found.decision is not None
    told = release_outlook(found, found.decision, None)
    assert np.isnan([told.spare_m, told.over_field_after_launch_s]).all()
    assert np.isnan(told.best_glide_end_after_launch_s)
    assert (told.firm_spiral_end_after_launch_s, told.timely) == (None, None)


def test_the_crew_is_as_good_as_its_record(demo_flight: FlightFile) -> None:
    drop = replace(
        demo_flight.sortie.drop,
        n_releases=20,
        n_release_failures=1,
        n_pullouts=12,
        n_pullout_failures=0,
    )
    wanted = (1.0 - failure_bound_ratio(20, 1)) * (1.0 - failure_bound_ratio(12, 0))
    assert crew_ratio(drop) == pytest.approx(wanted)
    # none of 12 failed: the 95 % bound is 1 - 0.05^(1/12)
    assert 1.0 - failure_bound_ratio(12, 0) == pytest.approx(0.05 ** (1 / 12))
    assert np.isnan(crew_ratio(replace(drop, n_releases=0, n_release_failures=0)))
