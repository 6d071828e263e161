"""What the tests of fetching share: a running server, and what the demo asks of it."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from farglide.flightfile.flightfile import FlightFile
from farglide.gather.fetch.wanted import Wanted, wanted_of

from .server import World, running


@pytest.fixture
def world(tmp_path: Path) -> Iterator[World]:
    """Return a server that has every run and hour."""
    with running(tmp_path) as one:
        yield one


@pytest.fixture(scope="session")
def wanted(demo_flight: FlightFile) -> Wanted:
    """Return what the demo asks of a forecast."""
    return wanted_of(demo_flight.sortie)
