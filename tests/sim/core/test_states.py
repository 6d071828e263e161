"""States: those of climbs are the tracks' own numbers, and some of the moments stay as they are."""

import numpy as np

from farglide.chances.ensemble import Ensemble
from farglide.sim.core.states import CLIMBING, states_at, states_of_climbs


def test_states_of_climbs_are_the_tracks_at_their_moments(drawn_demo: Ensemble) -> None:
    climbs, moments = drawn_demo.climbs, np.array([0, 7, 40, 76])
    found = states_of_climbs(climbs.tracks, climbs.burst_share, moments)
    assert (found.kind == CLIMBING).all()
    assert (found.after_launch_s == 60.0 * moments).all()
    tracks = climbs.tracks
    for array, whole in (
        (found.amsl_m, tracks.amsl_m),
        (found.north_rad, tracks.north_rad),
        (found.east_rad, tracks.east_rad),
        (found.burst_ratio, climbs.burst_share),
    ):
        assert array.shape == found.kind.shape == (50, 4)
        np.testing.assert_array_equal(array, whole[:, moments])


def test_some_of_the_moments(drawn_demo: Ensemble) -> None:
    climbs = drawn_demo.climbs
    every = states_of_climbs(climbs.tracks, climbs.burst_share, np.array([0, 7, 40, 76]))
    some = states_of_climbs(climbs.tracks, climbs.burst_share, np.array([7, 76]))
    for a, b in zip(states_at(every, np.array([1, 3])), some, strict=True):
        np.testing.assert_array_equal(a, b)
        assert a.flags.c_contiguous
