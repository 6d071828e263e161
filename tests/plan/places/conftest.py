"""The demo in 200 draws, for the tests of places."""

import pytest

from farglide.air.sounding import Sounding
from farglide.chances.case import Case, with_plain
from farglide.chances.chances import Chances
from farglide.chances.ensemble import Ensemble, drawn_ensemble
from farglide.chances.heights import chances_of_heights
from farglide.earth.state import Place
from farglide.flightfile.flightfile import FlightFile
from farglide.sortie.grain import Grain
from farglide.sortie.spec import Sortie


@pytest.fixture(scope="package")
def sortie(demo_flight: FlightFile) -> Sortie:
    return demo_flight.sortie


@pytest.fixture(scope="package")
def ensemble(sortie: Sortie, demo_sounding: Sounding) -> Ensemble:
    return drawn_ensemble(sortie, demo_sounding, Grain(n_draws=200))


@pytest.fixture(scope="package")
def case(ensemble: Ensemble) -> Case:
    return with_plain(ensemble)


@pytest.fixture(scope="package")
def plain(case: Case) -> Ensemble:
    return case.plain


def place(x_km: float, y_km: float) -> Place:
    """Return a place by kilometres east and north of home, as the scenario gives them."""
    return Place(lat_deg=-46.5 + y_km / 111.195, lon_deg=108.0 + x_km / 76.542, amsl_m=250.0)


@pytest.fixture(scope="package")
def chances(ensemble: Ensemble) -> Chances:
    return chances_of_heights(ensemble)
