"""What tests of the rehearsal share: the flight computed elsewhere, and one with few draws."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from farglide.air.sounding import Sounding
from farglide.chances.ensemble import Ensemble, plain_ensemble
from farglide.flightfile.flightfile import FlightFile
from farglide.live.asking import as_planned
from farglide.live.rehearse.sitting import Sitting
from farglide.live.rehearse.surprises import changes_of, surprises_of
from farglide.live.rehearse.truth import Truth, truth_of
from farglide.outlook.advice import Advice
from farglide.sim.core.workers import in_one_go
from farglide.sortie.grain import Grain
from farglide.sortie.pack import Pack
from farglide.sortie.spec import Sortie

GRAIN = Grain(n_draws=60, clock_s=60.0, prices_mps=(8.0, 30.0), slab=5)


@pytest.fixture(scope="session")
def low(demo_flight: FlightFile, demo_sounding: Sounding) -> Ensemble:
    """Return the demo as its figures were computed elsewhere: from height 0, without links.

    Up to its limits, and without the speed lost on the way down.
    """
    sortie = replace(demo_flight.sortie, links=(), stands=(), terrain=None)
    glider = replace(sortie.glider, speed_margin_ratio=0.0)
    sortie = replace(sortie, glider=glider, launch=replace(sortie.launch, amsl_m=0.0))
    return plain_ensemble(sortie, demo_sounding, Grain(slowing=False))


@pytest.fixture(scope="session")
def bare(demo_flight: FlightFile) -> Sortie:
    """Return the demo whose stands are there, but whose links do not count."""
    return replace(demo_flight.sortie, links=(), terrain=None)


@pytest.fixture(scope="session")
def planned(bare: Sortie, demo_sounding: Sounding) -> Ensemble:
    """Return the demo with few draws."""
    pack = Pack(flight_text="", sounding=demo_sounding)
    return as_planned(bare, pack, GRAIN, in_one_go)


@pytest.fixture(scope="session")
def truth() -> Callable[..., Truth]:
    """Return a function that makes a truth with surprises by name."""

    def make(planned: Ensemble, *names: str, seed: int = 0) -> Truth:
        return truth_of(planned, changes_of(surprises_of(names)), seed)

    return make


@pytest.fixture(scope="session")
def sitting(planned: Ensemble, truth: Callable[..., Truth]) -> Sitting:
    """Return the demo as planned, before its release."""
    return Sitting(planned, truth(planned), 1)


class Blind(Sitting):
    """One of which nothing is advised: where only what happens is asked for."""

    def _advice(self, t_s: float) -> Advice | None:
        return None


def km_of(planned: Ensemble, north_rad: float, east_rad: float) -> tuple[float, float]:
    """Return kilometres east and north of the launch, on the sphere of the figures elsewhere."""
    cosine = np.cos(np.radians(planned.sortie.launch.lat_deg))
    return 6371.0 * float(cosine) * east_rad, 6371.0 * north_rad
