"""Glides: where a flight home begins, its quickest way, and ways bent until they end there."""

import math

import numpy as np
import pytest

from farglide.chances.ensemble import Ensemble
from farglide.plan.home.glides import begun, fitted, quickest, spare_over_m
from farglide.sim.core.step import Offset, apart_m
from farglide.sim.fly.passage import quickest_way

HOME, TANSY = 0, 1


def test_a_flight_begins_below_the_release_and_after_it(plain: Ensemble, at_76: int) -> None:
    flight = begun(plain, at_76, HOME)
    assert flight is not None
    tracks, sortie = plain.climbs.tracks, plain.sortie
    assert 0.0 < float(tracks.amsl_m[0, at_76]) - flight.state.amsl_m < 3000.0
    assert 4560.0 < flight.state.t_s < 4560.0 + 120.0
    assert flight.descent == (flight.state.amsl_m, 240.0 + sortie.wish.arrival_agl_m)
    assert flight.ground_amsl_m == 240.0
    # the scenario: released 43.2 km east and 36.6 km south of home
    assert np.array(flight.away) / 1e3 == pytest.approx([-43.2, 36.6], abs=1.5)


def test_out_of_reach_none_begins(plain: Ensemble) -> None:
    # home is shut from T+28.5 to T+62.5
    at_45 = round(45.0 * 60.0 / plain.climbs.tracks.step_s)
    assert begun(plain, at_45, HOME) is None
    last = plain.climbs.tracks.amsl_m.shape[1] - 1
    assert math.isnan(plain.climbs.tracks.amsl_m[0, last])
    assert begun(plain, last, HOME) is None


@pytest.mark.parametrize("field", [HOME, TANSY])
def test_the_quickest_way_is_found_between_the_prices_of_the_tables(
    plain: Ensemble, at_76: int, field: int
) -> None:
    flight = begun(plain, at_76, field)
    assert flight is not None
    flown = quickest(plain, flight)
    seconds = float(flown.after_s[-1]) - flight.state.t_s
    of_tables, _ = quickest_way(plain.reach.reaches, flight.descent, flight.away)
    # each price of time bounds the time from below: between the prices the bound gets no lower
    assert 0.999 * of_tables <= seconds < 1.02 * of_tables
    arrival_m = flight.descent.to_amsl_m
    end = Offset(float(flown.north_rad[-1]), float(flown.east_rad[-1]))
    assert math.hypot(*apart_m(plain.air.scene.frame, end, flight.goal)) < 150.0
    assert float(flown.amsl_m[-1]) == pytest.approx(arrival_m)


@pytest.mark.parametrize("over_amsl_m", [1_000.0, 6_000.0, 14_000.0])
def test_a_way_that_gets_too_far_is_fitted_by_circling(
    plain: Ensemble, at_76: int, over_amsl_m: float
) -> None:
    """Steep down on a field that lies near, or none of it at all: it ends over it, later or not."""
    flight = begun(plain, at_76, TANSY)
    assert flight is not None
    assert over_amsl_m < spare_over_m(plain, flight)
    for price_mps in (0.0, 30.0, 1e4):
        flown = fitted(plain, flight.way(price_mps), flight.state, over_amsl_m)
        if flown.short_m[-1] > 150.0:  # so dear a second that it dives short of it
            assert price_mps > 0.0
            continue
        end = Offset(float(flown.north_rad[-1]), float(flown.east_rad[-1]))
        assert math.hypot(*apart_m(plain.air.scene.frame, end, flight.goal)) < 150.0
        assert float(flown.amsl_m[-1]) == pytest.approx(over_amsl_m)
