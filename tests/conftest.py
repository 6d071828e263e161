"""What tests of several folders share: the slow twin, the demo flight, the files others wrote."""

import importlib.util
import sys
from importlib.resources import files
from pathlib import Path
from types import ModuleType

import pytest

from farglide.air.column import Sounding
from farglide.sortie.flightfile import FlightFile, read_flight_file
from farglide.sources.winds import read_winds

ASSETS = Path(str(files("farglide.sortie") / "assets"))


@pytest.fixture(scope="session")
def plain() -> ModuleType:
    """Return plain.py: the laws of the climb written out slowly."""
    spec = importlib.util.spec_from_file_location("plain", Path(__file__).parent / "plain.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules.setdefault("plain", module)
    spec.loader.exec_module(module)
    return module


@pytest.fixture(scope="session")
def demo_flight() -> FlightFile:
    """Return the demo flight as its file states it."""
    return read_flight_file(ASSETS / "amber-evening.toml")


@pytest.fixture(scope="session")
def demo_sounding(demo_flight: FlightFile) -> Sounding:
    """Return the winds of the demo flight."""
    return read_winds(ASSETS / "amber-evening-winds.csv", None, demo_flight.sortie.launch.t_s)


@pytest.fixture(scope="session")
def authorities() -> Path:
    """Return the folder of files that others wrote."""
    return Path(__file__).parent / "authorities"
