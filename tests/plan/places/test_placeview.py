"""Place view: all that is known of the places of a flight."""

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
