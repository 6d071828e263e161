"""Intervals by days and places drawn anew."""

import numpy as np
from bench.odds.resample import drawn_weights, interval, numbered


def test_a_group_is_drawn_whole_or_not_at_all() -> None:
    group = np.array([0, 0, 1, 2, 2, 2])
    weight = drawn_weights(group, np.random.default_rng(5))
    assert weight[0] == weight[1]
    assert weight[3] == weight[4] == weight[5]
    assert weight[[0, 2, 3]].sum() == 3.0


def test_names_are_numbered_alike() -> None:
    assert numbered(["b", "a", "b"]).tolist() == [1, 0, 1]


def test_an_interval_of_a_mean_is_as_wide_as_theory_says() -> None:
    # 400 independent values of sd 1: 5 to 95 % of their mean is 2 x 1.645 / 20 wide.
    values = np.random.default_rng(2).normal(size=400)
    low, high = interval(lambda w: float((w * values).sum() / w.sum()), np.arange(400), 800, 1)
    assert low < values.mean() < high
    assert abs((high - low) / (2.0 * 1.645 / 20.0) - 1.0) < 0.1


def test_values_of_one_group_are_no_better_than_one() -> None:
    # Each group of 40 holds one value 40 times: the interval is that of 10 values, not of 400.
    values = np.repeat(np.random.default_rng(2).normal(size=10), 40)
    group = np.repeat(np.arange(10), 40)
    low, high = interval(lambda w: float((w * values).sum() / w.sum()), group, 800, 1)
    assert (high - low) / (2.0 * 1.645 * values.std() / np.sqrt(10.0)) > 0.85


def test_a_resample_that_defines_nothing_is_left_out() -> None:
    group = np.array([0, 1])
    found = interval(lambda w: 1.0 if w[0] > 0.0 else float("nan"), group, 50, 1)
    assert found == (1.0, 1.0)
