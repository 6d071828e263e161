"""States: those of climbs are the tracks' own numbers, and some of the moments stay as they are."""

import numpy as np
import pytest

from farglide.chances.chances import chances_in
from farglide.chances.ensemble import Ensemble
from farglide.errors import InputError
from farglide.sim.core.states import CLIMBING, check_states, states_at, states_of_climbs


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


@pytest.mark.parametrize(
    ("name", "value", "words"),
    [
        (
            "north_rad",
            np.nan,
            "north_rad is not finite; allowed: a number wherever there is a height",
        ),
        ("east_rad", np.inf, "east_rad is not finite"),
        ("after_launch_s", np.nan, "after_launch_s is not finite"),
        ("amsl_m", np.inf, "amsl_m is not finite"),
        ("amsl_m", 90_000.0, "amsl_m is 90000; allowed: up to 40000 m, where the air ends"),
        ("burst_ratio", np.nan, "burst_ratio is not finite"),
        ("burst_ratio", 2.0, "burst_ratio is 2; allowed: 0 to 1"),
        ("kind", 77, "kind is 77; allowed: 0 to 4"),
    ],
)
def test_states_that_are_none_are_refused(
    drawn_demo: Ensemble, name: str, value: float, words: str
) -> None:
    climbs = drawn_demo.climbs
    states = states_of_climbs(climbs.tracks, climbs.burst_share, np.array([0, 7]))
    check_states(states, 50, 40_000.0)
    array = getattr(states, name).copy()
    array[4, 1] = value
    with pytest.raises(InputError, match=words):
        check_states(states._replace(**{name: array}), 50, 40_000.0)
    with pytest.raises(InputError, match=name):
        chances_in(drawn_demo, states._replace(**{name: array}), drawn_demo.goals)


def test_what_is_nowhere_may_lack_all_else(drawn_demo: Ensemble) -> None:
    climbs = drawn_demo.climbs
    states = states_of_climbs(climbs.tracks, climbs.burst_share, np.array([0, 7]))
    for array in states[1:]:
        array[4, 1] = np.nan
    check_states(states, 50, 40_000.0)


def test_states_of_another_number_of_draws_or_of_no_moment_are_refused(
    drawn_demo: Ensemble,
) -> None:
    climbs = drawn_demo.climbs
    states = states_of_climbs(climbs.tracks, climbs.burst_share, np.array([0, 7]))
    for wrong, n in ((states, 49), (states_at(states, np.array([], dtype=np.int64)), 50)):
        with pytest.raises(InputError, match=r"states is \[.*allowed: \(\d+, one moment or more"):
            check_states(wrong, n, 40_000.0)
    ragged = states._replace(amsl_m=states.amsl_m[:, :1])
    with pytest.raises(InputError, match="all of one shape"):
        check_states(ragged, 50, 40_000.0)
