"""Pooled: against closed forms, and unbiased where most balloons are let go whole."""

import math

import numpy as np
import pytest

from farglide.errors import InputError
from farglide.review.pooled import Belief, Shown, next_value, own_value

BURST = Belief(7.0, 0.6, 0.5)


def test_without_a_flight_the_belief_stays() -> None:
    found = next_value(BURST, [])
    assert found.value == pytest.approx(7.0, abs=1e-6)
    assert found.sd == pytest.approx(0.6, rel=0.02)
    assert found.between_sd == pytest.approx(0.6 * math.sqrt(0.5), rel=0.03)


def test_one_flight_moves_a_belief_a_little() -> None:
    found = next_value(BURST, [Shown(6.0, 0.15)])
    # closed form for a known spread between flights: 0.5 * 0.36 / (0.36 + 0.0225) of the way
    assert found.value == pytest.approx(7.0 - 0.18 / 0.3825, abs=0.08)
    assert 6.0 < found.value < 7.0
    assert found.sd < 0.62


def test_many_exact_flights_are_their_own_mean_and_spread() -> None:
    own = np.random.default_rng(3).normal(6.2, 0.3, 60)
    found = next_value(BURST, [Shown(float(x), 0.02) for x in own])
    assert found.value == pytest.approx(own.mean(), abs=0.03)
    assert found.between_sd == pytest.approx(own.std(ddof=1), rel=0.08)


def test_a_belief_taken_as_exact_learns_nothing() -> None:
    assert next_value(Belief(1.0, 0.0, 0.5), [Shown(1.2, 0.01)]) == (1.0, 0.0, 0.0)
    assert own_value(Belief(1.0, 0.0, 0.5), Shown(1.2, 0.01)) == (1.0, 0.0, False)


def test_a_value_far_from_a_narrow_belief_is_weighed_as_finely() -> None:
    """However far off it is: with so wide an error it moves the belief by nothing that counts."""
    narrow = Belief(10.0, 0.001, 0.5)
    assert next_value(narrow, [Shown(500.0, 100.0)]).value == pytest.approx(10.0, abs=1e-4)
    assert next_value(narrow, [Shown(10.0005, 1e-5)]).value == pytest.approx(10.00025, abs=1e-4)


def test_a_balloon_let_go_whole_far_below_its_burst_tells_nothing() -> None:
    found = next_value(BURST, [Shown(4.0, 0.1, at_least=True)])
    assert found.value == pytest.approx(7.0, abs=0.01)


def test_a_balloon_seen_whole_beyond_its_burst_tells_much() -> None:
    assert next_value(BURST, [Shown(7.6, 0.1, at_least=True)]).value > 7.25


def test_released_flights_teach_without_bias_and_would_not_if_taken_as_bursts() -> None:
    """Of 200 balloons most are let go before they burst: the mean learnt is theirs all the same."""
    rng = np.random.default_rng(7)
    true_m, own_m, seen_sd_m = 6.6, 0.35, 0.12
    burst_m = rng.normal(true_m, own_m, 200)
    let_go_m = rng.uniform(5.9, 7.0, 200)
    is_whole = let_go_m < burst_m
    assert 100 < is_whole.sum() < 190
    seen_m = np.where(is_whole, let_go_m, burst_m) + rng.normal(0.0, seen_sd_m, 200)
    learnt, as_bursts, bursts_alone = [], [], []
    for first in range(0, 200, 20):
        some = range(first, first + 20)
        learnt.append(next_value(BURST, [Shown(seen_m[k], seen_sd_m, bool(is_whole[k]))
                                         for k in some]).value)  # fmt: skip
        as_bursts.append(next_value(BURST, [Shown(seen_m[k], seen_sd_m) for k in some]).value)
        bursts = [Shown(seen_m[k], seen_sd_m) for k in some if not is_whole[k]]
        bursts_alone.append(next_value(BURST, bursts).value)
    assert np.mean(learnt) == pytest.approx(true_m, abs=0.07)
    assert np.mean(as_bursts) < true_m - 0.2
    assert np.mean(bursts_alone) < true_m - 0.15


def test_spreads_told_are_those_of_the_next_flight() -> None:
    """Whatever the gear is, the next flight lies inside nine tenths of what was told about it."""
    rng = np.random.default_rng(11)
    inside = []
    for _ in range(200):
        gear = rng.normal(7.0, 0.6 * math.sqrt(0.5))
        own = rng.normal(gear, 0.6 * math.sqrt(0.5), 4)
        seen = [Shown(float(x), 0.1) for x in own[:3] + rng.normal(0.0, 0.1, 3)]
        found = next_value(BURST, seen)
        inside.append(abs(own[3] - found.value) < 1.645 * found.sd)
    assert 0.84 <= np.mean(inside) <= 0.95


def test_what_can_be_no_number_is_refused() -> None:
    with pytest.raises(InputError, match="what a flight showed is nan with 0"):
        next_value(BURST, [Shown(math.nan, 0.0)])
    with pytest.raises(InputError, match=r"own_ratio is 1\.0; allowed: between 0 and 1"):
        next_value(Belief(1.0, 0.1, 1.0), [])
