"""The climb's outlook: levels, chance of a burst and places, also where nothing ever bursts."""

import math
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from farglide.air.sounding import Sounding
from farglide.chances.ensemble import Ensemble, plain_ensemble
from farglide.earth.state import place_deg
from farglide.flightfile.flightfile import FlightFile
from farglide.plan.ascent import (
    ascent_outlook,
    burst_outlook,
    level_amsl_m,
    spread_of,
)
from farglide.plan.fill import error_free_climb
from farglide.sim.core.tracks import Burst
from farglide.sortie.grain import Grain
from farglide.sortie.known import Known, Tag

EARLIER_MIN = 0.9  # a climb from the strip at 240 m against one from height 0


@pytest.fixture(scope="module")
def calm(demo_flight: FlightFile, demo_sounding: Sounding) -> Ensemble:
    """Return the demo without any error but that of the bursting diameter."""
    return plain_ensemble(demo_flight.sortie, demo_sounding, Grain(clock_s=10.0))


def share_at(rows: tuple[tuple[float, float], ...], minute: float) -> float:
    at_s, share = zip(*rows, strict=True)
    return float(np.interp(60.0 * minute, at_s, share))


def test_flight_levels_are_passed_when_they_should(calm: Ensemble) -> None:
    # From height 0: FL100 T+11.1, FL200 T+21.7, FL330 T+34.5, FL450 T+45.4, FL600 T+57.7. Source:
    # constant-drag balloon in the standard atmosphere, computed apart from this code,
    # with the same gravity at every height: about 0.1 min fast at the top.
    levels = ascent_outlook(calm).levels
    said = {level.flight_level: level.after_launch_s.p50 / 60.0 for level in levels}
    wanted = {100: 11.1, 200: 21.7, 330: 34.5, 450: 45.4, 600: 57.7}
    assert said == pytest.approx({k: v - EARLIER_MIN for k, v in wanted.items()}, abs=0.3)


def test_flight_levels_are_heights_of_pressure(calm: Ensemble) -> None:
    # In standard air the geometric height of a level: FL600 is 18 288 m geopotential, 18 341 m.
    assert level_amsl_m(calm, 600) == pytest.approx(18_341.0, abs=25.0)
    assert math.isnan(level_amsl_m(calm, 1500))
    warm = calm.air.column.layers.p_pa * 1.1  # air that is heavier everywhere
    column = replace(calm.air.column, layers=calm.air.column.layers._replace(p_pa=warm))
    higher = level_amsl_m(replace(calm, air=replace(calm.air, column=column)), 600)
    # ln 1.1 x scale height R T / g = 0.0953 x 6342 m at 216.65 K.
    assert higher - level_amsl_m(calm, 600) == pytest.approx(604.0, rel=0.02)


def test_burst_odds_by_time_of_a_climb_at_its_plan(calm: Ensemble) -> None:
    # Up to T+76/78/80/82/83: 0.2/1.8/9.3/32/49 %; within 60 s, given whole, T+76/78/80/82:
    # 0.4/2.6/9.9/25 %. Source: as above, diameter 6.6 m +- 6 %; times +-1 min, chance +-0.05.
    burst = burst_outlook(calm)
    for minute, share in ((76, 0.002), (78, 0.018), (80, 0.093), (82, 0.32), (83, 0.49)):
        assert share_at(burst.by_time, minute - EARLIER_MIN) == pytest.approx(share, abs=0.05)
    for minute, share in ((76, 0.004), (78, 0.026), (80, 0.099), (82, 0.25)):
        assert share_at(burst.within_60_s, minute - EARLIER_MIN) == pytest.approx(share, abs=0.03)
    assert burst.after_launch_s.p50 / 60.0 == pytest.approx(82.15, abs=0.3)
    assert burst.height_amsl_m.p50 == pytest.approx(29_950.0, rel=2e-3)


def test_the_heights_of_the_burst_are_those_of_its_shares(calm: Ensemble) -> None:
    burst = burst_outlook(calm)
    shares, heights_m = [share for _, share in burst.by_height], [m for m, _ in burst.by_height]
    told = burst.height_amsl_m
    assert np.interp([0.1, 0.5, 0.9], shares, heights_m) == pytest.approx(
        [told.p10, told.p50, told.p90]
    )


def test_the_odds_of_60_s_do_not_hang_on_the_clock(
    demo_flight: FlightFile, demo_sounding: Sounding, calm: Ensemble
) -> None:
    fine = burst_outlook(calm).within_60_s
    ensemble = plain_ensemble(demo_flight.sortie, demo_sounding, Grain(clock_s=45.0))
    coarse = burst_outlook(ensemble).within_60_s
    for minute in (77.0, 79.0, 81.0):
        assert share_at(coarse, minute) == pytest.approx(share_at(fine, minute), abs=0.02)


def test_the_place_of_the_burst_is_that_of_those_that_burst(calm: Ensemble) -> None:
    nan = math.nan
    some = Burst(
        np.array([nan, 5000.0, 5030.0, nan]),
        np.array([nan, 30_000.0, 30_100.0, nan]),
        np.array([nan, 0.001, 0.003, nan]),
        np.array([nan, 0.002, 0.002, nan]),
    )
    few = np.full_like(calm.climbs.burst_share, 0.2)
    climbs = replace(calm.climbs, burst=some, burst_share=few)
    half = burst_outlook(replace(calm, climbs=climbs))
    assert math.isnan(half.after_launch_s.p50)
    assert half.lat_deg == pytest.approx(-46.5 + math.degrees(0.002))
    none = Burst(*(np.full(4, nan) for _ in range(4)))
    whole = np.zeros_like(calm.climbs.burst_share)
    climbs = replace(calm.climbs, burst=none, burst_share=whole)
    gone = burst_outlook(replace(calm, climbs=climbs))
    assert math.isnan(gone.lat_deg)
    assert math.isnan(gone.lon_deg)
    assert math.isnan(gone.height_amsl_m.p50)
    assert gone.by_time == ()


def test_a_place_beyond_the_180th_meridian_is_west(calm: Ensemble) -> None:
    launch = replace(calm.sortie.launch, lon_deg=179.9)
    ensemble = replace(calm, sortie=replace(calm.sortie, launch=launch))
    lat, lon = place_deg(ensemble.sortie.launch, 0.0, math.radians(0.3))
    assert lat == pytest.approx(-46.5)
    assert lon == pytest.approx(-179.8)


def test_spreads_leave_out_what_is_not_known() -> None:
    spread = spread_of(np.array([math.nan, 0.0, 1.0, 2.0, 3.0, 4.0]))
    assert (spread.p10, spread.p50, spread.p90) == pytest.approx((0.4, 2.0, 3.6))
    assert math.isnan(spread_of(np.array([math.nan])).p50)


def test_a_balloon_that_never_bursts_has_no_burst(
    demo_flight: FlightFile, demo_sounding: Sounding
) -> None:
    balloon = replace(demo_flight.sortie.balloon, leak_ratio_ps=0.0005)
    at_s, amsl_m = error_free_climb(replace(demo_flight.sortie, balloon=balloon), demo_sounding)
    assert math.isnan(at_s)
    assert math.isnan(amsl_m)


def test_early_bursts_are_told_with_where_they_come_from(calm: Ensemble) -> None:
    def told(**keys: Any) -> tuple[float, str]:
        balloon = replace(calm.sortie.balloon, **keys)
        sortie = replace(calm.sortie, balloon=balloon, tags={})
        burst = burst_outlook(replace(calm, sortie=sortie))
        return burst.early_ratio, burst.early_from

    guessed = Known(value=0.04, tag=Tag.GUESS)
    settles = "your own record of flights settles it"
    assert told(early_burst_ratio=guessed) == (0.04, f"a guess; {settles}")
    share, words = told(early_burst_ratio=guessed, n_flights=30, n_early_bursts=1)
    assert share == pytest.approx((30.0 * 0.04 + 1.0) / 60.0)
    assert words == "1 of 30 flights counted, and what was taken before as 30 more"


def test_levels_and_the_speed_of_the_climb_are_those_of_most_balloons(calm: Ensemble) -> None:
    whole = ascent_outlook(calm)
    assert [level.flight_level for level in whole.levels] == [100, 200, 330, 450, 600]
    # nine of ten stop rising at 15 km and never burst, as leaking balloons do
    climbs = calm.climbs
    amsl_m, north, east = (np.repeat(one, 10, axis=0) for one in climbs.tracks.places)
    amsl_m[1:] = np.minimum(amsl_m[1:], 15_000.0)
    tracks = climbs.tracks._replace(amsl_m=amsl_m, north_rad=north, east_rad=east)
    burst = Burst._make(np.repeat(one, 10) for one in climbs.burst)
    burst = burst._replace(after_launch_s=np.append(burst.after_launch_s[:1], [math.nan] * 9))
    share = np.repeat(climbs.burst_share, 10, axis=0)
    leaking = replace(climbs, tracks=tracks, burst=burst, burst_share=share)
    told = ascent_outlook(replace(calm, climbs=leaking))
    assert [level.flight_level for level in told.levels] == [100, 200, 330, 450]
    assert math.isnan(told.mean_mps.p50)
