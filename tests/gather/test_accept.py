"""Accepted winds: near enough, or accepted by a word; else refused with the way out."""

import math
from dataclasses import replace

import pytest

from farglide.air.sounding import Sounding
from farglide.errors import SourceError
from farglide.flightfile.flightfile import FlightFile
from farglide.gather.accept import accepted
from farglide.sortie.sources import WindSource
from farglide.sortie.spec import Sortie

HOUR_S = 3600.0


@pytest.fixture
def sortie(demo_flight: FlightFile) -> Sortie:
    return demo_flight.sortie


def aged(sounding: Sounding, sortie: Sortie, age_h: float) -> Sounding:
    return replace(sounding, t_s=sortie.launch.t_s - HOUR_S * age_h, run_t_s=math.nan)


def willing(sortie: Sortie, age_h: float) -> Sortie:
    wind = WindSource(path="", accept_age_h=age_h, accept_distance_km=100.0)
    return replace(sortie, wind=wind)


def test_fresh_winds_are_taken_as_they_are(sortie: Sortie, demo_sounding: Sounding) -> None:
    pack = accepted(sortie, aged(demo_sounding, sortie, 3.0), "winds.csv", "text")
    assert pack.flight_text == "text"
    assert pack.sounding.notes == demo_sounding.notes


def test_old_winds_need_a_word(sortie: Sortie, demo_sounding: Sounding) -> None:
    old = aged(demo_sounding, sortie, 12.0)
    with pytest.raises(SourceError, match=r"is 12\.0 h from the launch") as caught:
        accepted(sortie, old, "winds.csv")
    assert (caught.value.path, caught.value.where) == ("winds.csv", "time")
    assert "accept_age_h = 12" in caught.value.remedy
    assert accepted(willing(sortie, 12.0), old, "winds.csv").sounding.t_s == old.t_s


def test_too_old_for_any_word(sortie: Sortie, demo_sounding: Sounding) -> None:
    with pytest.raises(SourceError, match="goes to 240 at most"):
        accepted(sortie, aged(demo_sounding, sortie, 300.0), "winds.csv")


def test_the_other_sign_of_the_clock_is_asked_about(
    sortie: Sortie, demo_sounding: Sounding
) -> None:
    """The demo's clock is seven hours before UTC: winds fourteen hours on would fit its twin."""
    with pytest.raises(SourceError, match="With the other sign of the clock's offset"):
        accepted(sortie, aged(demo_sounding, sortie, -14.0), "winds.csv")


def test_what_the_winds_do_not_say_is_noted(sortie: Sortie, demo_sounding: Sounding) -> None:
    silent = replace(demo_sounding, t_s=math.nan, run_t_s=math.nan, lat_deg=math.nan)
    pack = accepted(sortie, silent, "winds.csv")
    assert [note.partition(":")[0] for note in pack.sounding.notes[-2:]] == [
        "The winds do not say when they were taken",
        "The winds do not say where they were taken",
    ]


def test_a_crew_may_accept_less_than_is_usual(sortie: Sortie, demo_sounding: Sounding) -> None:
    with pytest.raises(SourceError, match=r"is 2\.0 h from the launch; 1 h is accepted"):
        accepted(willing(sortie, 1.0), aged(demo_sounding, sortie, 2.0), "winds.csv")
    near = replace(sortie, wind=WindSource(path="", accept_age_h=3.0, accept_distance_km=5.0))
    away = replace(demo_sounding, lat_deg=demo_sounding.lat_deg + 0.1)
    with pytest.raises(SourceError, match=r"is 11 km from the launch; 5 km is accepted"):
        accepted(near, aged(away, sortie, 0.0), "winds.csv")
