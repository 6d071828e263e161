"""Winds: how far they are from the flight, what the file states instead, and how that is told."""

import math
from dataclasses import replace

import pytest

from farglide.air.doubt import Apart, wind_doubt
from farglide.air.sounding import Sounding
from farglide.errors import InputError
from farglide.flightfile.flightfile import FlightFile
from farglide.rig.winds import apart_of, wind_doubt_of, wind_words
from farglide.sortie.spec import Sortie

HOUR_S = 3600.0


@pytest.fixture
def sortie(demo_flight: FlightFile) -> Sortie:
    return demo_flight.sortie


@pytest.fixture
def here(sortie: Sortie, demo_sounding: Sounding) -> Sounding:
    launch = sortie.launch
    return replace(
        demo_sounding, t_s=launch.t_s, lat_deg=launch.lat_deg, lon_deg=launch.lon_deg,
        run_t_s=math.nan,
    )  # fmt: skip


def test_age_distance_and_lead_are_those_of_the_winds(sortie: Sortie, here: Sounding) -> None:
    assert apart_of(sortie, here) == Apart()
    for later in (-6.0, 6.0):  # winds after the launch are as far from it
        assert apart_of(sortie, replace(here, t_s=here.t_s + later * HOUR_S)).age_s == 6 * HOUR_S
    north = apart_of(sortie, replace(here, lat_deg=here.lat_deg + 1.0))
    assert north.distance_m == pytest.approx(111_150.0, abs=50.0)  # at 46 deg, WGS84
    forecast = apart_of(sortie, replace(here, run_t_s=here.t_s - 30.0 * HOUR_S))
    assert forecast.lead_s == 30.0 * HOUR_S
    assert apart_of(sortie, replace(here, run_t_s=here.t_s + HOUR_S)).lead_s == 0.0


def test_what_winds_do_not_say_is_taken_as_fresh_and_near(sortie: Sortie, here: Sounding) -> None:
    silent = replace(here, t_s=math.nan, lat_deg=math.nan, lon_deg=math.nan)
    assert wind_doubt_of(sortie, silent) == wind_doubt_of(sortie, here)


def test_without_a_word_the_law_holds(sortie: Sortie, here: Sounding) -> None:
    old = replace(here, t_s=here.t_s - 6.0 * HOUR_S)
    assert wind_doubt_of(sortie, old) == wind_doubt(Apart(age_s=6.0 * HOUR_S))


def test_what_is_stated_takes_the_place_of_the_law(sortie: Sortie, here: Sounding) -> None:
    old, law = replace(here, t_s=here.t_s - 6.0 * HOUR_S), wind_doubt(Apart(age_s=6.0 * HOUR_S))
    for key, name in (
        ("shallow_wind_mps", "shallow_mps"),
        ("shallow_wind_depth_m", "shallow_depth_m"),
        ("deep_wind_mps", "deep_mps"),
        ("deep_wind_ratio", "deep_ratio"),
        ("deep_wind_depth_m", "deep_depth_m"),
    ):
        stated = replace(sortie, doubt=replace(sortie.doubt, **{key: 222.0}))
        assert wind_doubt_of(stated, old) == replace(law, **{name: 222.0})


def test_a_doubt_stated_narrower_changes_less_in_flight(sortie: Sortie, here: Sounding) -> None:
    law = wind_doubt_of(sortie, here)
    for share, growth in ((0.5, 0.5), (0.0, 0.0), (3.0, 1.0)):
        doubt = replace(sortie.doubt, deep_wind_mps=share * law.deep_mps)
        found = wind_doubt_of(replace(sortie, doubt=doubt), here)
        assert found.growth_ratio == growth
        assert found.slower_ratio == pytest.approx(growth**2 * law.slower_ratio)


def test_a_share_of_the_speed_stated_narrower_changes_less_in_flight(
    sortie: Sortie, here: Sounding
) -> None:
    law = wind_doubt_of(sortie, here)
    for share, growth in ((0.5, 0.5), (0.0, 0.0), (3.0, 1.0)):
        doubt = replace(sortie.doubt, deep_wind_ratio=share * law.deep_ratio)
        found = wind_doubt_of(replace(sortie, doubt=doubt), here)
        assert found.speed_growth_ratio == pytest.approx(growth)
        assert found.growth_ratio == 1.0


def test_winds_of_another_millennium_are_told_by_their_age(sortie: Sortie, here: Sounding) -> None:
    with pytest.raises(InputError, match=r"age_s is .* s; allowed: 0 to 10(\u2009000){3} s"):
        wind_words(sortie, replace(here, t_s=here.t_s - 6e10))


@pytest.mark.parametrize(
    ("age_h", "north_deg", "lead_h", "words"),
    [
        (
            0.0,
            0.0,
            None,
            "the winds are of the time of the launch: over deep layers they may be off by 0.9 m/s",
        ),
        (6.0, 0.0, None, "off by 4.0 m/s, along a wind of 30 m/s by 5.2 m/s, and in shallow"),
        (
            1.5,
            1.0,
            None,
            "the winds are 1.5 h old, from 111 km away: over deep layers they may be off by 3.3",
        ),
        (
            0.0,
            0.0,
            24.0,
            "time of the launch, forecast 24 h ahead: over deep layers they may be off by 3.5 m/s",
        ),
        (90.0, 0.0, None, "such winds hold, so the doubt is taken wide"),
        (0.0, 6.0, None, "such winds hold, so the doubt is taken wide"),
    ],
)
def test_the_doubt_is_told_in_plain_words(
    sortie: Sortie, here: Sounding, age_h: float, north_deg: float, lead_h: float | None, words: str
) -> None:
    winds = replace(here, t_s=here.t_s - age_h * HOUR_S, lat_deg=here.lat_deg + north_deg)
    if lead_h is not None:
        winds = replace(winds, run_t_s=sortie.launch.t_s - lead_h * HOUR_S)
    assert words in wind_words(sortie, winds)
