"""One small case of the demo for the tests of chances."""

import pytest

from farglide.air.column import Sounding
from farglide.chances.case import Case, with_plain
from farglide.chances.ensemble import drawn_ensemble
from farglide.flightfile.flightfile import FlightFile
from farglide.sortie.grain import Grain


@pytest.fixture(scope="session")
def demo_case(demo_flight: FlightFile, demo_sounding: Sounding) -> Case:
    """Return 50 draws of the demo without ears, and its flight without errors."""
    grain = Grain(n_draws=50, clock_s=60.0, prices_mps=(8.0,), slab=5)
    return with_plain(drawn_ensemble(demo_flight.sortie, demo_sounding, grain))
