"""Held winds: the mean above a height, less the wind at it, beside what the doubt says."""

import numpy as np
import pytest
from bench.odds.held import held_errors, said_mps
from bench.odds.made_up import flown
from bench.odds.pairs import EDGES_M, layer_winds


def test_a_wind_that_grows_with_height_is_missed_by_half_of_its_growth() -> None:
    # 1 m/s a kilometre from the west: over 10 to 20 km the mean is 5 m/s more than at 10 km
    wind = layer_winds(flown(np.linspace(0.0, 30.0, 301)))
    missed = held_errors([wind, np.full_like(wind, np.nan)], 10e3, 20e3)
    assert missed == pytest.approx(np.array([[5.0, 0.0]]), abs=0.06)
    assert len(EDGES_M) == wind.shape[1] + 1


def test_what_is_said_grows_with_the_span_up_to_the_size_of_one_error() -> None:
    short, long = said_mps(18e3, 20e3), said_mps(18e3, 26e3)
    assert short < long < 10.0
    assert long > 6.0
