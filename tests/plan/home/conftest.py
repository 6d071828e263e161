"""The flights home of the demo from its release, for the tests of home."""

import pytest

from farglide.chances.ensemble import Ensemble
from farglide.plan.home.homeward import Homeward, homeward


@pytest.fixture(scope="session")
def at_76(plain: Ensemble) -> int:
    """Return the release of the scenario, 76 minutes up, as a moment of the climb."""
    return round(76.0 * 60.0 / plain.climbs.tracks.step_s)


@pytest.fixture(scope="session")
def flight(plain: Ensemble, at_76: int) -> Homeward:
    """Return the flights home from there."""
    found = homeward(plain, at_76, 0)
    assert found is not None
    return found
