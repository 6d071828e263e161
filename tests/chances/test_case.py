"""Cases: the draws and the flight without errors side by side, and places on their clocks."""

from dataclasses import replace

import numpy as np
import pytest

from farglide.air.sounding import Sounding
from farglide.chances.case import (
    Case,
    case_of,
    median_drift,
    median_place,
    moment_at,
    with_few_draws,
    without_tables,
)
from farglide.chances.chances import chances_of_climb
from farglide.chances.ensemble import drawn_ensemble
from farglide.chances.trial import moments_of
from farglide.errors import InputError
from farglide.flightfile.flightfile import FlightFile
from farglide.sortie.grain import Grain
from farglide.sortie.pack import Pack


def test_both_sides_are_one_flight(demo_case: Case) -> None:
    drawn, plain = demo_case.drawn, demo_case.plain
    assert demo_case.sortie is drawn.sortie is plain.sortie
    assert len(drawn.climbs.tracks.amsl_m) == 50
    assert len(plain.climbs.tracks.amsl_m) == 1
    assert len(plain.reach.reaches.price_mps) > len(drawn.reach.reaches.price_mps)
    # without errors, every draw but its luck: the middle of many climbs is not far from it
    moment = 60
    assert np.median(drawn.climbs.tracks.amsl_m[:, moment]) == pytest.approx(
        plain.climbs.tracks.amsl_m[0, moment], rel=0.05
    )


def test_old_winds_are_doubted_more(demo_flight: FlightFile, demo_sounding: Sounding) -> None:
    sortie = replace(demo_flight.sortie, links=())
    old = replace(demo_sounding, t_s=demo_sounding.t_s - 12.0 * 3600.0)
    grain = Grain(n_draws=50, clock_s=60.0, prices_mps=(8.0,), slab=5)
    new, aged = (case_of(sortie, Pack(sounding=one), grain) for one in (demo_sounding, old))
    assert aged.drawn.air.column.doubt.deep_mps > 1.5 * new.drawn.air.column.doubt.deep_mps
    spreads = [case.drawn.climbs.tracks.east_rad[:, 60].std() for case in (new, aged)]
    assert spreads[1] > 1.5 * spreads[0]
    assert aged.drawn.listening is None
    assert aged.plain.listening is None


def test_links_and_stands_give_it_ears(demo_flight: FlightFile, demo_sounding: Sounding) -> None:
    grain = Grain(n_draws=50, clock_s=60.0, prices_mps=(8.0,), slab=5)
    case = case_of(demo_flight.sortie, Pack(sounding=demo_sounding), grain)
    assert case.drawn.listening is not None
    assert case.plain.listening is case.drawn.listening
    assert case.terrain is None


def test_without_its_tables_it_cannot_be_asked(demo_case: Case) -> None:
    light = without_tables(demo_case)
    assert light.plain is demo_case.plain
    assert light.drawn.climbs is demo_case.drawn.climbs
    with pytest.raises(InputError, match="Ask before they are let go") as caught:
        chances_of_climb(light.drawn, moments_of(light.drawn))
    assert "0 tables; allowed: 50, one for each draw" in str(caught.value)


def test_few_draws_are_the_first_of_the_many(demo_case: Case, demo_sounding: Sounding) -> None:
    many = replace(demo_case.drawn.grain, n_draws=60)
    drawn = drawn_ensemble(demo_case.sortie, demo_sounding, many)
    few = with_few_draws(replace(demo_case, drawn=drawn), 50)
    found, wanted = few.drawn.climbs.tracks.amsl_m, demo_case.drawn.climbs.tracks.amsl_m
    assert np.array_equal(found, wanted, equal_nan=True)
    assert few.plain is demo_case.plain
    # more than there are: all of them
    assert with_few_draws(demo_case, 500).drawn.grain.n_draws == 50


def test_a_moment_is_on_the_clock_and_in_the_air(demo_case: Case) -> None:
    drawn, plain = demo_case.drawn, demo_case.plain
    assert moment_at(drawn, 0.0) == 0
    assert moment_at(drawn, 629.0) == 10  # of 60 s
    assert moment_at(drawn, 631.0) == 11
    assert moment_at(drawn, 630.0) == 11  # halves up, as every index on the clock
    assert drawn.climbs.moments_at(np.array([630.0, 570.0])).tolist() == [11, 10]
    last = moment_at(plain, 1e6)
    # a track goes on beyond the likeliest burst, and ends where no balloon flies on
    assert last * plain.climbs.tracks.step_s > float(plain.climbs.burst.after_launch_s[0])
    assert not np.isnan(plain.climbs.tracks.amsl_m[0, last])
    assert np.isnan(plain.climbs.tracks.amsl_m[0, last + 1 :]).all()


def test_the_drift_begins_at_the_launch_and_ends_at_the_median_place(demo_case: Case) -> None:
    launch = demo_case.sortie.launch
    drift = median_drift(demo_case.drawn, 4560.0)
    assert len(drift) == 77
    assert drift[0] == pytest.approx((launch.lat_deg, launch.lon_deg))
    place = median_place(demo_case.drawn, 4560.0)
    there = median_place(demo_case.drawn, 4560.0)
    assert drift[-1] == (there.lat_deg, there.lon_deg)
    # the scenario, without errors: 43.2 km east and 36.6 km south of the launch at T+76
    place = median_place(demo_case.plain, 4560.0)
    assert (place.lon_deg - 108.0) * 76.542 == pytest.approx(43.2, abs=1.5)
    assert (place.lat_deg + 46.5) * 111.195 == pytest.approx(-36.6, abs=1.5)
