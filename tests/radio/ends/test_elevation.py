"""Tables by the sine of the elevation against the law itself."""

import math

import numpy as np
import pytest

from farglide.radio.antenna.kinds import Dipole, Turnstile, pattern_of
from farglide.radio.antenna.shape import dipole_dbi
from farglide.radio.ends.gear import N_SINES, elevation_gain_db

SINES = np.linspace(-1.0, 1.0, N_SINES)


@pytest.mark.parametrize("elevation_deg", [0.0, 30.0, 60.0])
def test_a_whip_has_its_law_at_every_elevation(elevation_deg: float) -> None:
    table = elevation_gain_db(pattern_of(Dipole()), 2.15)
    assert table.shape == (N_SINES,)
    found = float(np.interp(math.sin(math.radians(elevation_deg)), SINES, table))
    assert found == pytest.approx(dipole_dbi(90.0 - elevation_deg) - 2.15, abs=0.05)
    assert table == pytest.approx(table[::-1])


def test_upside_looks_the_other_way() -> None:
    half = pattern_of(Turnstile(gain_dbi=3.0, ripple_db=0.0))
    on_the_ground, aloft = (elevation_gain_db(half, 3.0, upside=up) for up in (False, True))
    assert aloft == pytest.approx(on_the_ground[::-1])
    assert on_the_ground[-1] == pytest.approx(0.0)  # straight above, in its own half
    assert aloft[-1] == pytest.approx(-15.0)
