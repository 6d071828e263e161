"""One small case of the demo for the tests of chances."""

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from farglide.air.sounding import Sounding
from farglide.chances.advising import advice_of
from farglide.chances.case import Case, with_plain
from farglide.chances.chances import Chances
from farglide.chances.decision import decide
from farglide.chances.ensemble import Ensemble, drawn_ensemble, plain_ensemble
from farglide.chances.informed import Informed, informed
from farglide.chances.window import Decision
from farglide.flightfile.flightfile import FlightFile
from farglide.gather.gather import gather_terrain
from farglide.outlook.advice import Advice
from farglide.rig.listening import listening_of
from farglide.sortie.grain import Grain
from farglide.sortie.known import Known
from farglide.sortie.spec import Wish
from farglide.track.drift import Been

CLOCK_S = 60.0
N = 91  # T+0 to T+90, 5 m/s: 0 to 27 km
T_S = CLOCK_S * np.arange(N)
Z_M = 5.0 * T_S
UNTIL_S = 7800.0
LATE_S = 30.0  # reaction and repeats of the made-up crew


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


@pytest.fixture(scope="session")
def ensemble(demo_case: Case) -> Ensemble:
    """Return an ensemble with the wish, the crew and the ends of the made-up chance."""
    drop = replace(demo_case.sortie.drop, reaction_s=Known(value=10.0), repeats_s=20.0)
    sortie = replace(demo_case.sortie, drop=drop)
    return ending(replace(demo_case.drawn, sortie=sortie, listening=None))


def wishing(ensemble: Ensemble, wish: Wish) -> Ensemble:
    """Return the ensemble of a crew with another wish."""
    return replace(ensemble, sortie=replace(ensemble.sortie, wish=wish))


def ending(ensemble: Ensemble, light_end_s: float = np.inf, pack_end_s: float = 9000.0) -> Ensemble:
    """Return the ensemble with a plain wish, whose light and packs end then."""
    ends_s = np.full(ensemble.grain.n_draws, pack_end_s)
    return replace(
        wishing(ensemble, Wish()),
        draws=ensemble.draws._replace(pack_end_s=ends_s),
        reach=replace(ensemble.reach, light_end_s=light_end_s),
    )


def decided(ensemble: Ensemble, chances: Chances) -> Decision:
    found = decide(ensemble, chances)
    assert found is not None
    return found


def step(*edges: tuple[int, float]) -> np.ndarray[Any, np.dtype[np.float64]]:
    """Return a line of steps: from each moment on, the value beside it."""
    values = np.zeros(N)
    for first, value in edges:
        values[first:] = value
    return values


@pytest.fixture(scope="session")
def flown(heard_demo: Ensemble, demo_sounding: Sounding) -> Been:
    """Return the climb as planned, a fix each ten seconds."""
    fine = Grain(clock_s=10.0, prices_mps=(8.0,), slab=5)
    tracks = plain_ensemble(heard_demo.sortie, demo_sounding, fine).climbs.tracks
    t_s = tracks.step_s * np.arange(tracks.amsl_m.shape[1])
    known = np.isfinite(tracks.amsl_m[0])
    return Been(t_s[known], *(one[0, known] for one in tracks.places))


def known_at(ensemble: Ensemble, flown: Been, minutes: float) -> Informed:
    until = flown.t_s <= 60.0 * minutes
    return informed(ensemble, Been(*(one[until] for one in flown)), 5.0, UNTIL_S)


@pytest.fixture(scope="session")
def hour(heard_demo: Ensemble, flown: Been) -> Informed:
    return known_at(heard_demo, flown, 60.0)


@pytest.fixture(scope="session")
def advice(hour: Informed) -> Advice:
    return advice_of(hour, 3600.0, 3600.0)
