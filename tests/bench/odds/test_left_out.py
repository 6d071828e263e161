"""Left out: bands are told over the mean of their climb, each climb with one vote."""

import numpy as np
import pytest
from bench.odds.left_out import band_error


def test_a_climb_that_is_fast_throughout_misses_no_band() -> None:
    assert band_error([np.full(17, 0.2)]) == pytest.approx(0.0, abs=1e-12)


def test_bands_of_five_cells_are_told_and_what_is_left_over_is_not() -> None:
    # a tenth faster below, a tenth slower above; gusts from cell to cell are none of a band's
    gusts = np.tile([0.3, -0.3, 0.3, -0.3, 0.0], 2)
    steady = np.repeat([0.1, -0.1], 5)
    assert band_error([steady + gusts]) == pytest.approx(0.1)
    assert band_error([np.append(steady, [0.0, 0.0])]) == pytest.approx(0.1)


def test_each_climb_has_one_vote() -> None:
    flat, bent = np.zeros(30), np.repeat([0.2, -0.2], 5)
    assert band_error([flat, bent]) == pytest.approx(0.2 / np.sqrt(2.0))
