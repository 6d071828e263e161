"""Winds ahead: how often they came inside what was told, by the height asked from."""

import numpy as np
import pytest
from bench.replays.ahead import Ahead, ahead_rows, beside
from tests.sim.core.test_spread import DOUBTS, N_LAYERS, days

from farglide.sim.core.learnt import Measured


def test_the_table_tells_shares_and_how_wide_it_should_have_been() -> None:
    """Two of four squares are below 1.39, three below 4.61: a normal law's half, nine tenths."""
    found = [
        Ahead(from_m=5_000.0, square=square, miss_m=1_000.0 * square, group=group)
        for group, square in enumerate((1.0, 1.3, 4.0, 16.7))
    ]
    _, row = ahead_rows(found)
    assert row.startswith("5 km")
    cells = row.split()
    assert cells[2:4] == ["4", "4"]
    assert float(cells[4]) == pytest.approx(2.6, abs=0.1)
    assert "0.50 (" in row
    assert "0.75 (" in row
    assert float(cells[-1]) == pytest.approx(
        (0.5 * (1.0 + 1.3 + 4.0 + 16.7) / 4.0) ** 0.5, abs=0.01
    )


def test_air_that_is_as_far_off_as_told_misses_by_what_is_told() -> None:
    """Forty days drawn from the law itself: their scale is 1, give or take a tenth."""
    ahead_ratio = np.zeros((1, N_LAYERS))
    ahead_ratio[0, 60:110] = 1.0 / 50.0
    squares = []
    for day in days(DOUBTS):
        ahead = Measured(ahead_ratio, ahead_ratio @ day.off_mps, np.array([1e-3]))
        missed, said = beside(DOUBTS, day.rows(np.arange(60)), ahead)
        squares.append(float(missed @ np.linalg.solve(said, missed)))
    assert np.sqrt(0.5 * np.mean(squares)) == pytest.approx(1.0, abs=0.2)
