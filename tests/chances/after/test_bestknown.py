"""Best known: one flight without errors in the winds that a climb has made known."""

import numpy as np
import pytest

from farglide.chances.after.bestknown import best_known
from farglide.chances.case import Case
from farglide.chances.informed import informed
from farglide.track.drift import Been


@pytest.fixture(scope="module")
def been(demo_case: Case) -> Been:
    """Return the climb of the demo where the wind to the east is 5 m/s stronger than told."""
    tracks = demo_case.plain.climbs.tracks
    n = 60
    t_s = tracks.step_s * np.arange(n)
    east = tracks.east_rad[0, :n] + 5.0 * t_s / (6.378e6 * np.cos(np.radians(46.5)))
    return Been(t_s, tracks.amsl_m[0, :n], tracks.north_rad[0, :n], east)


def test_its_winds_are_those_told_and_what_was_learnt(demo_case: Case, been: Been) -> None:
    known = informed(demo_case.drawn, been, 10.0, float(been.t_s[-1]) + 3000.0)
    plain = best_known(known)
    told, now = demo_case.drawn.air.column.layers, plain.air.scene.layers
    off = now.u_mps[0] - told.u_mps[0]
    middles = demo_case.drawn.air.column.middles_amsl_m
    below = (middles > 2000.0) & (middles < been.amsl_m[-1] - 1000.0)
    assert off == pytest.approx(known.air.home.mean_mps[:, 0], abs=1e-9)
    assert np.median(off[below]) == pytest.approx(5.0, abs=1.0)
    assert now is plain.air.column.layers


def test_it_is_one_flight_with_the_glider_as_believed(demo_case: Case, been: Been) -> None:
    known = informed(demo_case.drawn, been, 10.0, float(been.t_s[-1]) + 3000.0)
    plain, asked = best_known(known), demo_case.plain
    assert len(plain.draws.glide_factor) == 1
    assert plain.draws.glide_factor == pytest.approx(asked.draws.glide_factor)
    assert plain.reach.haste.end_s == pytest.approx(asked.reach.haste.end_s)
    assert not plain.draws.swarm.home_east_mps.any()
