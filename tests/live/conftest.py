"""A ride of the demo without links, and the climb that its tracker tells."""

import pytest

from farglide.air.sounding import Sounding
from farglide.live.ride.slow import Flight, Maker
from farglide.sortie.spec import Sortie
from farglide.track.reports import Fix

from .made import climb_of, flight_of


@pytest.fixture(scope="module")
def flight(sortie: Sortie, demo_sounding: Sounding) -> Flight:
    return flight_of(sortie, demo_sounding)


@pytest.fixture(scope="module")
def make(flight: Flight) -> Maker:
    return Maker(flight)


@pytest.fixture(scope="module")
def climb(sortie: Sortie, demo_sounding: Sounding) -> tuple[Fix, ...]:
    return climb_of(sortie, demo_sounding)
