"""Needs: one doubt about a place is stale for a near aim and fresh for a far field."""

from dataclasses import replace
from math import inf

import pytest

from farglide.atlas.fields import Field
from farglide.chances.needs import aims_of, for_field, narrowest_deg
from farglide.earth.geodesy import offset
from farglide.earth.state import Place
from farglide.flightfile.flightfile import FlightFile
from farglide.outlook.advice import PlaceNow
from farglide.outlook.freshness import Freshness
from farglide.sortie.spec import StandSpec

PLACE = PlaceNow(
    lat_deg=-46.5, lon_deg=108.0, amsl_m=1200.0, half_within_m=80.0, most_within_m=150.0,
    seen_after_launch_s=260.0,
)  # fmt: skip
HERE = Place(lat_deg=-46.5, lon_deg=108.0, amsl_m=240.0)


def stand(east_m: float) -> StandSpec:
    at = offset(HERE, east_m, 0.0)
    return StandSpec(name="Car", lat_deg=at.lat_deg, lon_deg=at.lon_deg, amsl_m=237.0, mast_m=3.0)


def field(demo_flight: FlightFile, east_m: float) -> Field:
    at = offset(HERE, east_m, 0.0)
    return replace(demo_flight.sortie.fields[0], lat_deg=at.lat_deg, lon_deg=at.lon_deg)


def test_the_same_place_is_stale_for_a_near_aim_and_fresh_for_a_far_field(
    demo_flight: FlightFile,
) -> None:
    near = replace(demo_flight.sortie, stands=(stand(-300.0),))
    (aim,) = aims_of(near, PLACE, 20.0)
    assert aim.data is Freshness.AGEING  # 150 m against a quarter of 20 degrees at 1 km
    assert aim.azimuth_deg == pytest.approx(90.0, abs=0.1)
    assert aim.elevation_deg == pytest.approx(72.6, abs=0.2)
    assert for_field(PLACE, field(demo_flight, 60_000.0)) is Freshness.FRESH
    rough = replace(PLACE, most_within_m=6000.0)
    assert for_field(rough, field(demo_flight, 60_000.0)) is Freshness.GUESSED
    assert for_field(rough, field(demo_flight, 100.0)) is Freshness.GUESSED
    assert for_field(replace(PLACE, most_within_m=250.0), HERE) is Freshness.FRESH


def test_far_away_the_same_doubt_will_do(demo_flight: FlightFile) -> None:
    far = replace(demo_flight.sortie, stands=(stand(-20_000.0),))
    assert aims_of(far, PLACE, 20.0)[0].data is Freshness.FRESH
    assert aims_of(far, PLACE, 0.2)[0].data is Freshness.GUESSED


def test_without_links_nothing_is_aimed(demo_flight: FlightFile) -> None:
    bare = replace(demo_flight.sortie, links=())
    assert narrowest_deg(bare) == inf
    assert aims_of(bare, PLACE, inf) == ()
    assert 1.0 < narrowest_deg(demo_flight.sortie) <= 180.0
