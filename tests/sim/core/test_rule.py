"""Rules of release: whichever comes first of a height seen, a clock time and a slow climb."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from farglide.arrays import FloatArray
from farglide.sim.core.rule import (
    SLOW_MPS,
    Readings,
    Rules,
    passages_s,
    slow_from_s,
    states_by_rules,
    values_at,
)
from farglide.sim.core.tracks import Tracks

STEP_S = 60.0
NAN = np.nan


def tracks_of(*heights_m: FloatArray) -> Tracks:
    """Return climbs with these heights; they drift a microradian north and two east a step."""
    amsl_m = np.stack(heights_m)
    steps = np.broadcast_to(np.arange(amsl_m.shape[1], dtype=np.float64), amsl_m.shape)
    return Tracks(
        STEP_S, amsl_m, 1e-6 * steps, 2e-6 * steps, np.ones_like(steps), np.ones_like(steps)
    )


def steady(mps: float, n: int = 31) -> FloatArray:
    return mps * STEP_S * np.arange(n, dtype=np.float64)


def rules(height_m: float, until_s: float, by_height: bool = True) -> Rules:
    return Rules(np.array([height_m]), np.array([until_s]), np.array([by_height]))


def test_a_height_is_passed_between_two_times_of_the_clock() -> None:
    found = passages_s(np.stack([steady(5.0), steady(10.0)]), STEP_S, np.array([0.0, 1000.0, 1e5]))
    assert found[:, 1] == pytest.approx([200.0, 100.0])
    assert found[:, 0].tolist() == [0.0, 0.0]
    assert np.isnan(found[:, 2]).all()


def test_only_the_first_passage_counts_and_gaps_in_the_reading_are_stepped_over() -> None:
    falls = np.array([0.0, 600.0, 900.0, 300.0, 1500.0])
    silent = np.array([NAN, NAN, 900.0, NAN, 1500.0])
    found = passages_s(np.stack([falls, silent]), STEP_S, np.array([700.0, 1200.0]))
    assert found[0] == pytest.approx([80.0, 210.0])
    assert found[1] == pytest.approx([120.0, 210.0])  # first read above it; then from 900 m evenly


@given(st.lists(st.floats(-50.0, 500.0), min_size=3, max_size=30), st.floats(1.0, 4000.0))
def test_passages_are_those_of_a_plain_search(gains_m: list[float], height_m: float) -> None:
    seen = np.cumsum(gains_m)
    found = float(passages_s(seen[None], STEP_S, np.array([height_m]))[0, 0])
    after = [k for k, z in enumerate(seen) if z >= height_m]
    if not after:
        assert np.isnan(found)
        return
    assert STEP_S * (after[0] - 1) <= found <= STEP_S * after[0]
    if after[0] and seen[: after[0]].argmax() == after[0] - 1:  # no dip before
        share = found / STEP_S - (after[0] - 1)
        a, b = seen[after[0] - 1], seen[after[0]]
        assert a + share * (b - a) == pytest.approx(height_m, abs=1e-6)


def test_a_climb_is_slow_from_the_first_step_under_one_metre_a_second() -> None:
    tops_out = np.minimum(steady(5.0), 5000.0)  # at the top from T+1000 s
    found = slow_from_s(np.stack([steady(5.0), tops_out, steady(0.5)]), STEP_S)
    assert np.isnan(found[0])
    assert found[1] == 1080.0  # 960 to 1020 s: 200 m; the next step rises by nothing
    assert found[2] == 360.0  # not in the first five minutes
    assert SLOW_MPS == 1.0


def test_whichever_comes_first_lets_go() -> None:
    tops_out = np.minimum(steady(5.0), 5000.0)
    tracks = tracks_of(steady(5.0), steady(4.0), tops_out)
    seen, burst = Readings(tracks.amsl_m, np.inf), np.zeros_like(tracks.amsl_m)
    found = states_by_rules(tracks, burst, seen, rules(6000.0, 1380.0))
    # 5 m/s passes at 1200 s; 4 m/s would at 1500 s, the clock is first; the third is slow at 1080 s
    assert found.after_launch_s[:, 0] == pytest.approx([1200.0, 1380.0, 1080.0])
    assert found.amsl_m[:, 0] == pytest.approx([6000.0, 5520.0, 5000.0])
    assert found.north_rad[:, 0] == pytest.approx([20e-6, 23e-6, 18e-6])
    assert found.east_rad[:, 0] == pytest.approx([40e-6, 46e-6, 36e-6])


def test_what_is_seen_lets_go_and_not_what_is() -> None:
    tracks = tracks_of(steady(5.0), steady(5.0))
    seen = Readings(tracks.amsl_m + np.array([[300.0], [-300.0]]), np.inf)
    found = states_by_rules(tracks, np.zeros_like(tracks.amsl_m), seen, rules(6000.0, 1800.0))
    assert found.amsl_m[:, 0] == pytest.approx([5700.0, 6300.0])


def test_where_no_height_is_seen_the_clock_alone_lets_go() -> None:
    tops_out = np.minimum(steady(5.0), 5000.0)
    tracks = tracks_of(steady(5.0), tops_out)
    seen = Readings(tracks.amsl_m, -np.inf)
    found = states_by_rules(
        tracks, np.zeros_like(tracks.amsl_m), seen, rules(3000.0, 1500.0, by_height=False)
    )
    assert found.after_launch_s[:, 0].tolist() == [1500.0, 1500.0]  # nobody sees the slow climb


def test_the_share_burst_is_that_of_the_moment_and_who_is_gone_has_no_height() -> None:
    # 6150 m at 5 m/s is minute 20.5 of 30, of a share that grows evenly to 0.3
    gone = steady(5.0)
    gone[15:] = NAN
    tracks = tracks_of(steady(5.0), gone)
    burst = np.broadcast_to(np.linspace(0.0, 0.3, 31), tracks.amsl_m.shape)
    found = states_by_rules(tracks, burst, Readings(tracks.amsl_m, np.inf), rules(6150.0, 1700.0))
    assert found.burst_ratio[0, 0] == pytest.approx(0.205)
    assert np.isnan(found.amsl_m[1, 0])


def test_values_between_two_times_change_evenly() -> None:
    values = np.array([[0.0, 10.0, 30.0, NAN]])
    found = values_at(values, np.array([[0.0, 0.25, 1.5, 2.0, 2.1]]))
    assert found[0, :4] == pytest.approx([0.0, 2.5, 20.0, 30.0])
    assert np.isnan(found[0, 4])
