"""What a flight asks of a forecast: area, hours, levels."""

import math
from dataclasses import replace

import pytest

from farglide.earth.box import Box
from farglide.errors import InputError
from farglide.flightfile.flightfile import FlightFile
from farglide.gather.fetch.wanted import (
    Stretch,
    Wanted,
    daylight,
    flight_s,
    levels_of,
    on_grid,
    top_gph_m,
    top_words,
    wanted_of,
    widened,
)
from farglide.rig.area import needed_area
from farglide.sortie.gear import PayloadSpec
from farglide.sortie.known import Known
from farglide.sortie.spec import Sortie


@pytest.fixture
def sortie(demo_flight: FlightFile) -> Sortie:
    return demo_flight.sortie


def test_the_top_is_above_the_burst_of_the_plan(sortie: Sortie) -> None:
    # The demo's burst as computed elsewhere: about 28 km at 6.6 m; two sd of 6 % make 2.3 km more.
    exact = replace(sortie.balloon, burst_diameter_m=Known(value=6.6))
    usual = top_gph_m(replace(sortie, balloon=exact))
    assert 27_000.0 <= usual <= 30_000.0
    assert 1_500.0 <= top_gph_m(sortie) - usual <= 3_000.0


def test_a_balloon_that_never_bursts_is_asked_to_the_highest_level(sortie: Sortie) -> None:
    balloon = replace(sortie.balloon, burst_diameter_m=Known(value=60.0))
    wanted = wanted_of(replace(sortie, balloon=balloon))
    assert wanted.top_hpa == pytest.approx(1.0, abs=0.1)


def test_a_glider_on_its_own_takes_as_long_as_elsewhere_computed(sortie: Sortie) -> None:
    # From 26 km in a gentle circle, 1.4 m/s: 154 min to the ground at 0.2 km, figure of the trade's
    # own integration in the demo; the climb at the slowest mean besides.
    down_s = flight_s(sortie, 26_000.0) - 26_000.0 / 3.85
    assert down_s / 60.0 == pytest.approx(154.0, rel=0.02)


def test_a_payload_is_down_sooner(sortie: Sortie) -> None:
    payload = replace(sortie, payload=PayloadSpec(canopy_m=1.0))
    assert flight_s(payload, 30_000.0) < 0.8 * flight_s(sortie, 30_000.0)
    unknown = replace(sortie, glider=replace(sortie.glider, hands_off_sink_eas_mps=None))
    assert flight_s(unknown, 30_000.0) < flight_s(sortie, 30_000.0)  # 1.5 in place of 1.4 m/s


def test_the_area_holds_launch_fields_and_drift(sortie: Sortie, wanted: Wanted) -> None:
    inner, lasts_s = needed_area(sortie), flight_s(sortie, top_gph_m(sortie))
    assert wanted.drift_m == pytest.approx(131_000.0 * lasts_s / (76.0 * 60.0))
    assert inner.south_deg - wanted.box.south_deg == pytest.approx(
        wanted.drift_m / 111_195.0, rel=0.01
    )
    side_m = (inner.west_deg - wanted.box.west_deg) * 111_195.0
    for lat_deg in (wanted.box.south_deg, wanted.box.north_deg):
        assert side_m * math.cos(math.radians(lat_deg)) >= 0.99 * wanted.drift_m


def test_the_hours_begin_before_the_launch_and_end_after_the_flight(
    sortie: Sortie, wanted: Wanted
) -> None:
    launch_s = sortie.launch.t_s
    lasts_s = flight_s(sortie, top_gph_m(sortie))
    assert wanted.stretches == (Stretch(launch_s - 3600.0, launch_s + lasts_s),)


def test_more_days_take_their_daylight(sortie: Sortie) -> None:
    flight, *days = wanted_of(sortie, 3).stretches
    assert flight.begin_s < sortie.launch.t_s < flight.end_s
    assert len(days) == 3
    for k, day in enumerate(days):
        # 46.5 S in January: the sun is up for some 15.2 h.
        assert 15.0 <= (day.end_s - day.begin_s) / 3600.0 <= 18.0
        assert abs((day.begin_s - days[0].begin_s) / 86400.0 - k) < 0.05
    assert days[0].begin_s < sortie.launch.t_s < days[0].end_s


def test_days_without_sun_have_no_daylight(sortie: Sortie) -> None:
    dark = replace(sortie, launch=replace(sortie.launch, lat_deg=85.0))
    assert daylight(dark, 2) == ()
    light = replace(sortie, launch=replace(sortie.launch, lat_deg=-85.0))
    assert [round((one.end_s - one.begin_s) / 3600.0) for one in daylight(light, 2)] == [26, 26]


@pytest.mark.parametrize("n_days", [0, 16])
def test_no_more_days_than_a_forecast_has(sortie: Sortie, n_days: int) -> None:
    with pytest.raises(InputError, match=f"--days is {n_days}; allowed: 1 to 15"):
        wanted_of(sortie, n_days)


def test_near_a_pole_no_area_can_be_cut() -> None:
    box = Box(south_deg=88.0, west_deg=0.0, north_deg=88.5, east_deg=10.0)
    with pytest.raises(InputError, match="within 300 km of a pole"):
        widened(box, 300_000.0)


def test_an_area_across_the_date_line_stays_one() -> None:
    box = Box(south_deg=-18.0, west_deg=179.5, north_deg=-17.0, east_deg=-179.5)
    wide = widened(box, 111_195.0)
    assert wide.west_deg == pytest.approx(179.5 - 1.0 / math.cos(math.radians(19.0)), abs=0.01)
    assert wide.width_deg == pytest.approx(1.0 + 2.0 / math.cos(math.radians(19.0)), abs=0.01)
    assert on_grid(wide, 0.5).holds(-17.5, 180.0)


@pytest.mark.parametrize("grid_deg", [0.25, 0.5, 1.0, 2.5])
def test_edges_go_outward_to_the_grid(wanted: Wanted, grid_deg: float) -> None:
    box = on_grid(wanted.box, grid_deg)
    for inner, outer in (
        (wanted.box.south_deg, box.south_deg), (-wanted.box.north_deg, -box.north_deg),
        (wanted.box.west_deg, box.west_deg), (-wanted.box.east_deg, -box.east_deg),
    ):  # fmt: skip
        assert 0.0 <= inner - outer < grid_deg
        assert outer / grid_deg == pytest.approx(round(outer / grid_deg))
    assert on_grid(box, grid_deg) == box


def test_one_level_above_the_top_is_taken() -> None:
    levels = (1000.0, 100.0, 10.0, 7.0, 5.0, 1.0)
    assert levels_of(levels, 8.0) == (1000.0, 100.0, 10.0, 7.0)
    assert levels_of(levels, 7.0) == (1000.0, 100.0, 10.0, 7.0)
    assert levels_of(levels, 0.5) == levels
    assert top_words(5.0).startswith("5 hPa, about 36 km")
