"""A hundred draws of the demo, to be carried to the ground."""

from dataclasses import replace

import pytest

from farglide.air.column import Sounding
from farglide.atlas.terrain import Terrain
from farglide.chances.ensemble import Ensemble, drawn_ensemble
from farglide.earth.state import Place
from farglide.flightfile.flightfile import FlightFile
from farglide.gather.gather import gather_terrain
from farglide.search.datum import LastSeen
from farglide.sortie.grain import Grain


@pytest.fixture(scope="session")
def ensemble(demo_flight: FlightFile, demo_sounding: Sounding) -> Ensemble:
    """Return a hundred draws of the demo without ears."""
    grain = Grain(n_draws=100, clock_s=60.0, prices_mps=(8.0,), slab=5)
    return drawn_ensemble(demo_flight.sortie, demo_sounding, grain)


@pytest.fixture(scope="session")
def terrain(demo_flight: FlightFile) -> Terrain:
    """Return the ground of the demo."""
    found = gather_terrain(demo_flight.sortie)
    assert found is not None
    return found


@pytest.fixture
def last(ensemble: Ensemble) -> LastSeen:
    """Return a last picture 120 m over flat ground at the height of home."""
    home, launch = ensemble.sortie.fields[0], ensemble.sortie.launch
    place = Place(lat_deg=-46.55, lon_deg=108.1, amsl_m=home.amsl_m + 120.0)
    return LastSeen(place=place, t_s=launch.t_s + 6000.0, spread_m=0.0)


def at_height(last: LastSeen, amsl_m: float) -> LastSeen:
    """Return the same last place at another height."""
    return replace(last, place=replace(last.place, amsl_m=amsl_m))
