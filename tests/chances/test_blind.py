"""Five minutes without a fix while it hangs on its balloon: where the filter has it."""

from dataclasses import replace

import numpy as np
import pytest

from farglide.air.sounding import Sounding
from farglide.chances.after.storylaws import laws_of
from farglide.chances.ensemble import drawn_ensemble
from farglide.chances.informed import informed
from farglide.flightfile.flightfile import FlightFile
from farglide.sim.core.step import Offset, apart_m
from farglide.sortie.grain import Grain
from farglide.track.drift import Been
from farglide.track.filter.begun import Last, begun
from farglide.track.filter.observed import Nothing, Observed
from farglide.track.filter.particles import Story
from farglide.track.filter.step import step
from farglide.track.filter.told import rank_of, where

N_RUNS = 200
CLOCK_S = 30.0
BLIND_S = 300.0


@pytest.mark.slow
def test_five_minutes_unheard_it_is_within_two_kilometres(
    demo_flight: FlightFile, demo_sounding: Sounding
) -> None:
    """200 flights out of the error model, heard for 10 to 35 minutes, then not for five."""
    sortie = replace(demo_flight.sortie, links=(), stands=(), terrain=None)
    grain = Grain(n_draws=60, clock_s=CLOCK_S, prices_mps=(8.0,), slab=5)
    before = drawn_ensemble(sortie, demo_sounding, grain)
    truths = drawn_ensemble(sortie, demo_sounding, replace(grain, n_draws=N_RUNS, seed=99))
    tracks, frame = truths.climbs.tracks, truths.air.scene.frame
    t_s = CLOCK_S * np.arange(tracks.amsl_m.shape[1])
    missed, ranks, high = [], [], []
    for i in range(N_RUNS):
        heard = 21 + (i % 6) * 10  # half minutes
        been = Been(t_s[:heard:2], *(one[i, :heard:2] for one in tracks.places))
        now_s = float(been.t_s[-1])
        laws = laws_of(informed(before, been, 5.0, now_s + 900.0).ensemble)
        particles = begun(laws, Last(*(float(one[-1]) for one in been), 5.0, 5.0),
                          {Story.CARRIED: 1.0}, n=200)  # fmt: skip
        observed = Observed(i, now_s + BLIND_S, Nothing())
        then = step(laws, particles, observed).particles
        at = heard - 1 + round(BLIND_S / CLOCK_S)
        came_m, north, east = (float(one[i, at]) for one in tracks.places)
        said = where(laws, then, [Story.CARRIED])
        away = apart_m(frame, Offset(said.north_rad, said.east_rad), Offset(north, east))
        missed.append(np.hypot(*away))
        ranks.append(rank_of(laws, then, north, east))
        high.append(abs(came_m - said.amsl_m) <= said.amsl_most_m)
    near = float(np.mean(np.array(missed) < 2000.0))
    inside = float(np.mean(np.array(ranks) <= 0.9))
    assert near >= 0.9
    # the circle is told for real winds, which miss by more than those drawn here
    assert inside >= 0.85
    assert np.mean(high) >= 0.85
