"""Skies: the ground round the stands as the links see it, and as azimuths in a few words."""

import numpy as np
import pytest
from numpy.typing import NDArray

from farglide.atlas.horizon import Sweep, sky_line
from farglide.flightfile.flightfile import FlightFile
from farglide.gather.gather import gather_terrain
from farglide.outlook.links import HIDDEN_DEG
from farglide.plan.links.lostheights import mast_of
from farglide.plan.links.stands import sectors_deg, skies
from farglide.rig.listening import listening_of
from farglide.sim.hear.ears import CLEAR_M


def test_the_sky_is_the_sky_line_of_the_ground(demo_flight: FlightFile) -> None:
    """The line itself is held against brute force over real ground in tests/atlas."""
    sortie = demo_flight.sortie
    terrain = gather_terrain(sortie)
    assert terrain is not None
    found = skies(sortie, listening_of(sortie, terrain))
    assert [one.stand for one in found] == [stand.name for stand in sortie.stands]
    for one, stand in zip(found, sortie.stands, strict=True):
        at = np.array([one.highest_azimuth_deg])
        sweep = Sweep(azimuths_deg=at, reach_m=60_000.0, step_m=90.0, clear_m=CLEAR_M)
        line = sky_line(terrain, mast_of(stand, terrain), sweep)
        assert one.highest_deg == pytest.approx(line.elevation_deg[0], abs=0.05)
        assert all(0.0 <= edge < 360.0 for span in one.hidden for edge in span)
        assert bool(one.hidden) == (one.highest_deg > HIDDEN_DEG)
    assert skies(sortie, None) == ()


def test_a_ridge_across_north_is_one_sector() -> None:
    high: NDArray[np.bool_] = np.zeros(72, np.bool_)
    high[68:] = high[:5] = high[30] = True
    assert sectors_deg(high, 5.0) == ((150.0, 150.0), (340.0, 20.0))
    assert sectors_deg(np.zeros(72, np.bool_), 5.0) == ()
    assert sectors_deg(np.ones(72, np.bool_), 5.0) == ((0.0, 360.0),)
