"""One small case of the demo for the tests of chances."""

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from farglide.air.column import Sounding
from farglide.chances.case import Case, with_plain
from farglide.chances.chances import Chances
from farglide.chances.ensemble import Ensemble, drawn_ensemble
from farglide.flightfile.flightfile import FlightFile
from farglide.gather.gather import gather_terrain
from farglide.rig.listening import listening_of
from farglide.sortie.grain import Grain

CLOCK_S = 60.0
N = 91  # T+0 to T+90, 5 m/s: 0 to 27 km
T_S = CLOCK_S * np.arange(N)
Z_M = 5.0 * T_S


def chances_like(
    opened: Any, burst: Any = 0.0, reach: Any = None, chance: Any = None, amsl_m: Any = None
) -> Chances:
    """Return made-up chances over the climb; `opened` has a column for each field."""
    opened = np.asarray(opened, dtype=np.float64)
    opened = opened[:, None] if opened.ndim == 1 else opened
    burst = np.broadcast_to(np.asarray(burst, dtype=np.float64), (N,)).copy()
    return Chances(
        after_launch_s=T_S,
        amsl_m=Z_M if amsl_m is None else amsl_m,
        until_s=T_S,
        by_height=np.zeros(N, dtype=np.bool_),
        burst_ratio=burst,
        reach_ratio=opened if reach is None else np.asarray(reach, dtype=np.float64)[:, None],
        timely_ratio=opened,
        open_ratio=opened,
        chance_ratio=opened * (1.0 - burst)[:, None] if chance is None else np.asarray(chance),
        any_open_ratio=opened.max(axis=1) if opened.shape[1] else np.zeros(N),
        holding=None,
    )


@pytest.fixture(scope="session")
def demo_case(demo_flight: FlightFile, demo_sounding: Sounding) -> Case:
    """Return 50 draws of the demo without ears, and its flight without errors."""
    grain = Grain(n_draws=50, clock_s=60.0, prices_mps=(8.0,), slab=5)
    return with_plain(drawn_ensemble(demo_flight.sortie, demo_sounding, grain))


@pytest.fixture(scope="session")
def heard_demo(demo_flight: FlightFile, demo_sounding: Sounding) -> Ensemble:
    """Return the demo as coarsely as launch spots are asked of it, with links and all fields."""
    grain = Grain(n_draws=200, clock_s=60.0, prices_mps=(4.0, 12.0, 30.0, 100.0, 1000.0), slab=5)
    sortie = demo_flight.sortie
    drawn = drawn_ensemble(sortie, demo_sounding, grain)
    return replace(drawn, listening=listening_of(sortie, gather_terrain(sortie)))
