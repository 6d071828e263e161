"""Place view: all that is known of the places of a flight."""

import math
from dataclasses import replace

import pytest

from farglide.air.column import Sounding
from farglide.errors import InputError
from farglide.flightfile.flightfile import FlightFile
from farglide.plan.places.placeview import see_places
from farglide.sortie.pack import Pack


def test_no_field_is_refused(demo_flight: FlightFile, demo_sounding: Sounding) -> None:
    bare = replace(demo_flight, sortie=replace(demo_flight.sortie, fields=()))
    with pytest.raises(InputError, match="one or more, home first"):
        see_places(bare, Pack(sounding=demo_sounding))


@pytest.mark.slow
def test_the_places_of_the_demo_over_unknown_ground(
    demo_flight: FlightFile, demo_sounding: Sounding
) -> None:
    sortie = replace(demo_flight.sortie, links=())
    view = see_places(replace(demo_flight, sortie=sortie), Pack(sounding=demo_sounding))
    assert view.release_planned
    assert view.drift[0] == pytest.approx((-46.5, 108.0))
    assert view.drift[-1] == pytest.approx((view.release.lat_deg, view.release.lon_deg), abs=0.01)
    assert [one.field for one in view.fields] == list(sortie.fields)
    assert all(math.isnan(one.slope_deg) and math.isnan(one.ground_amsl_m) for one in view.fields)
    assert {one.inside for one in view.fields} == {""}
    assert view.ground == ""
    assert view.places.barriers == sortie.barriers
    assert {way.barrier for way in view.ways} == {"Gollan Wood"}
