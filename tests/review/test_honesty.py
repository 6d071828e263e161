"""Honesty: Brier by hand, Wilson against a general library, and few told as few."""

import numpy as np
import pytest
from scipy.stats import binomtest

from farglide.errors import InputError
from farglide.outlook.review import StatedChance
from farglide.review.honesty import FEW, brier, honesty_of, wilson


def stated(flight: int, chance: float, came: bool) -> StatedChance:
    return StatedChance(
        flight=flight, what="home", after_launch_s=0.0, chance_ratio=chance, came=came
    )


def test_a_score_by_hand() -> None:
    # the squares of 0.3, 0.4 and 0.9, over three
    assert brier([(0.7, True), (0.4, False), (0.1, True)]) == pytest.approx(1.06 / 3.0)
    assert brier([(1.0, True), (0.0, False)]) == 0.0
    assert brier([(0.5, True), (0.5, False)]) == 0.25


@pytest.mark.parametrize(("k", "n"), [(0, 1), (1, 1), (0, 10), (9, 10), (81, 263), (285, 300)])
def test_intervals_are_those_of_a_general_library(k: int, n: int) -> None:
    told = binomtest(k, n).proportion_ci(0.95, method="wilson")
    assert wilson(k, n) == pytest.approx((told.low, told.high), abs=1e-9)


def test_rows_hold_what_was_told_and_what_came() -> None:
    told = [stated(k, 0.9, k != 3) for k in range(12)] + [stated(0, 1.0, True)]
    found = honesty_of(told)
    assert (found.n, found.n_flights, found.is_few) == (13, 12, False)
    row = found.rows[0]
    assert (row.from_ratio, row.to_ratio, row.n, row.is_few) == (0.8, 0.95, 12, False)
    assert row.came_ratio == pytest.approx(11 / 12)
    assert found.rows[1].n == 1  # 1.0 belongs to the last row
    assert found.rows[1].is_few
    assert found.brier == pytest.approx((11 * 0.01 + 0.81) / 13)
    assert found.brier_constant == pytest.approx(12 / 13 * (1 / 13))


def test_many_chances_of_one_flight_are_few() -> None:
    found = honesty_of([stated(0, 0.9, True)] * 50)
    assert found.is_few
    assert found.rows[0].is_few
    assert FEW == 10


def test_nothing_told_is_no_score() -> None:
    found = honesty_of([])
    assert (found.n, found.brier, found.rows) == (0, None, ())


def test_refusals() -> None:
    with pytest.raises(InputError, match="told is empty; allowed: one chance or more"):
        brier([])
    with pytest.raises(InputError, match="n_came of n is 3 of 2; allowed: 0 to n"):
        wilson(3, 2)


def test_intervals_count_flights_and_not_their_ranges() -> None:
    """Ranges of one flight hold or miss together: 95 % of the intervals still hold the truth.

    Each of 15 flights tells 4 ranges of nine in ten, which hold by how good its day is.
    """
    rng, truth, n_told = np.random.default_rng(7), 0.88, 4
    inside = naive = 0
    for _ in range(400):
        days = rng.beta(truth, 1.0 - truth, 15)  # most days wholly good or bad
        rows = [stated(k, 0.88, bool(rng.random() < day)) for k, day in enumerate(days)
                for _ in range(n_told)]  # fmt: skip
        row = honesty_of(rows).rows[0]
        inside += row.low_ratio <= truth <= row.high_ratio
        alone = wilson(sum(one.came for one in rows), len(rows))
        naive += alone.low <= truth <= alone.high
    assert inside / 400 >= 0.93
    assert naive / 400 < 0.85


def test_an_interval_of_one_chance_a_flight_is_that_of_wilson() -> None:
    rows = [stated(k, 0.9, k != 3) for k in range(12)]
    found = honesty_of(rows).rows[0]
    assert (found.low_ratio, found.high_ratio) == pytest.approx(wilson(11, 12))
    twice = honesty_of(rows * 2).rows[0]  # the same said twice tells no more
    assert (twice.low_ratio, twice.high_ratio) == pytest.approx(wilson(11, 12))
