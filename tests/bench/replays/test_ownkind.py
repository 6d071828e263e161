"""Own kind: bands by the flights that were flown through them, else as usual."""

import numpy as np
import pytest
from bench.odds.climbs import Lifter, mean_ratios
from bench.odds.fit_climb import POOLED, fit_drag
from bench.replays.ownkind import own_bands

OURS = Lifter(balloon_kg=1.2, hanging_kg=1.3, mean_mps=5.0)


def test_a_band_is_the_median_of_two_flights_or_more() -> None:
    ratios = np.array([[1.0, 1.2, 0.9], [1.1, np.nan, 0.8], [1.2, np.nan, np.nan]])
    found = own_bands(np.hstack([ratios, np.full((3, 4), np.nan)]))
    assert found[[0, 2]] == pytest.approx([1.1, 0.85])
    assert found[[1, 3, 4, 5, 6]] == pytest.approx(np.array(POOLED)[[1, 3, 4, 5, 6]])


def test_without_a_flight_all_bands_are_as_usual() -> None:
    assert own_bands(np.empty((0, 7))) == pytest.approx(np.array(POOLED))


def test_a_kind_that_slows_all_at_once_is_met() -> None:
    # speeds over Darwin, of the climb's mean
    slowing = (1.03, 1.14, 1.08, 0.91, 0.89, 1.00, 1.05)
    assert mean_ratios(fit_drag(slowing, (OURS,)), (OURS,)) == pytest.approx(slowing, abs=0.025)
