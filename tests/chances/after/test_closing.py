"""Closing: never too late, and as closely as it was asked."""

import numpy as np
import pytest

from farglide.chances.after.closing import closer, falls_below_s

AT_S = np.array([0.0, 60.0, 120.0])


def test_a_share_holds_until_the_last_moment_at_which_it_did() -> None:
    ratio = np.array([1.0, 0.8, 0.2])
    assert falls_below_s(AT_S, ratio, 0.5) == 60.0
    assert falls_below_s(AT_S, ratio, 0.1) is None
    assert falls_below_s((30.0, 60.0, 120.0), ratio[::-1].copy(), 0.5) == 30.0


def test_a_share_that_comes_back_is_told_by_its_first_fall() -> None:
    assert falls_below_s(AT_S, np.array([1.0, 0.4, 0.9]), 0.5) == 0.0


def test_more_moments_are_asked_for_where_shares_fall_and_nowhere_else() -> None:
    ratio = np.array([[1.0, 1.0, 0.2], [0.3, 1.0, 0.2], [0.2, 1.0, 0.2]])
    assert closer(AT_S, ratio, (0.5,), 3).tolist() == [15.0, 30.0, 45.0]
    assert closer(AT_S, ratio[:, 1:], (0.5,), 3).tolist() == []
    both = closer(AT_S, np.array([[1.0], [0.8], [0.2]]), (0.9, 0.5), 1)
    assert both.tolist() == [30.0, 90.0]


@pytest.mark.parametrize("falls_s", [1.0, 59.0, 61.0, 100.0])
def test_a_step_is_told_early_by_less_than_one_of_the_closer_moments(falls_s: float) -> None:
    more_s = closer(AT_S, (falls_s > AT_S).astype(float)[:, None], (0.5,), 5)
    all_s = np.sort(np.concatenate([AT_S, more_s]))
    told_s = falls_below_s(all_s, (all_s < falls_s).astype(float), 0.5)
    assert told_s is not None
    assert 0.0 <= falls_s - told_s <= 10.0
