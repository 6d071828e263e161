"""What tests of the review share: the demo with few draws, and flights of it with a known truth."""

from collections.abc import Callable
from dataclasses import replace

import pytest

from farglide.air.sounding import Sounding
from farglide.chances.ensemble import Ensemble
from farglide.flightfile.flightfile import FlightFile
from farglide.live.asking import as_planned
from farglide.live.rehearse.surprises import Changes
from farglide.sim.core.workers import in_one_go
from farglide.sortie.grain import Grain
from farglide.sortie.pack import Pack

from .made import Made, flight

GRAIN = Grain(n_draws=60, clock_s=60.0, prices_mps=(8.0, 30.0), slab=5)
LET_GO_S = 4500.0


@pytest.fixture(scope="session")
def planned(demo_flight: FlightFile, demo_sounding: Sounding) -> Ensemble:
    """Return the demo with its links over flat ground, and few draws."""
    sortie = replace(demo_flight.sortie, terrain=None)
    return as_planned(sortie, Pack(flight_text="", sounding=demo_sounding), GRAIN, in_one_go)


@pytest.fixture(scope="session")
def as_told(planned: Ensemble) -> Made:
    """Return a flight just as it was planned, let go after an hour and a quarter."""
    return flight(planned, Changes(), 0, LET_GO_S)


@pytest.fixture(scope="session")
def drawn(planned: Ensemble) -> Callable[[int], Made]:
    """Return a function that gives drawn flights, each flown once."""
    kept: dict[int, Made] = {}

    def made(seed: int) -> Made:
        if seed not in kept:
            kept[seed] = flight(planned, Changes(), seed, LET_GO_S)
        return kept[seed]

    return made
