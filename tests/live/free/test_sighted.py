"""Sighted: what is typed of a flight, as the stories take it."""

from dataclasses import replace

import pytest

from farglide.earth.state import Place
from farglide.flightfile.flightfile import FlightFile
from farglide.live.free.sighted import observed_of
from farglide.sortie.spec import Sortie
from farglide.track.filter.observed import Aimed, EdgeSeen, Graded, High, Placed, SunSeen
from farglide.track.typed.entries import (
    Bearing,
    Grade,
    NeckLift,
    Overlay,
    Seen,
    Side,
    Sighting,
)


@pytest.fixture(scope="module")
def sortie(demo_flight: FlightFile) -> Sortie:
    """Return the demo with its stands."""
    return demo_flight.sortie


def test_digits_are_a_place_or_a_height(sortie: Sortie) -> None:
    place = observed_of(Overlay(lat_deg=-46.7, lon_deg=108.4, amsl_m=9000.0), sortie, None)
    assert isinstance(place, Placed)
    assert (place.lat_deg, place.amsl_m) == (-46.7, 9000.0)
    assert place.sd_m > 50.0  # typed from a picture that lags, not a receiver's fix
    height = observed_of(Overlay(amsl_m=9000.0), sortie, None)
    assert isinstance(height, High)
    assert observed_of(Overlay(volts=11.1), sortie, None) is None


def test_a_bearing_is_from_a_stand(sortie: Sortie) -> None:
    stand = sortie.stands[1]
    named = observed_of(Bearing(azimuth_deg=138.0, stand=stand.name), sortie, None)
    here = observed_of(Bearing(azimuth_deg=138.0, elevation_deg=40.0), sortie, 1)
    for one in (named, here):
        assert isinstance(one, Aimed)
        assert one.stand.lat_deg == stand.lat_deg
        assert one.stand.amsl_m == stand.amsl_m + stand.mast_m
    assert observed_of(Bearing(azimuth_deg=138.0), sortie, None) is None
    car = Place(lat_deg=-46.8, lon_deg=108.5, amsl_m=0.0)
    fine = observed_of(Bearing(azimuth_deg=138.0, sd_deg=0.5), sortie, None, car)
    assert isinstance(fine, Aimed)
    assert (fine.stand, fine.sd_deg) == (car, 0.5)  # a theodolite beside the car
    assert isinstance(named, Aimed)
    assert named.sd_deg == 5.0
    rough = observed_of(Bearing(azimuth_deg=138.0, sd_deg=80.0), sortie, 1, car)
    assert isinstance(rough, Aimed)
    assert (rough.stand, rough.sd_deg) == (here.stand, 45.0)


def test_a_grade_counts_where_the_car_is_known_to_stand(sortie: Sortie) -> None:
    assert observed_of(Grade(grade=3), sortie, 1) == Graded(grade=3, stand=1)
    assert observed_of(Grade(grade=3), sortie, None) is None


@pytest.mark.parametrize(("side", "is_left"), [(Side.LEFT, True), (Side.RIGHT, False)])
def test_an_edge_is_that_of_a_barrier_of_its_kind(
    sortie: Sortie, side: Side, is_left: bool
) -> None:
    found = observed_of(Sighting(what=Seen.WOOD, side=side), sortie, None)
    assert isinstance(found, EdgeSeen)
    assert found.is_left is is_left
    assert observed_of(Sighting(what=Seen.WATER, side=side), sortie, None) is None
    assert observed_of(Sighting(what=Seen.RIDGE, side=side), sortie, None) is None
    bare = replace(sortie, barriers=())
    assert observed_of(Sighting(what=Seen.WOOD, side=side), bare, None) is None


def test_the_sun_and_what_says_nothing(sortie: Sortie) -> None:
    assert observed_of(Sighting(what=Seen.SUN, clock_h=11.0), sortie, None) == SunSeen(clock_h=11.0)
    assert observed_of(NeckLift(kg=1.6), sortie, None) is None
