"""Pairs of soundings and what their differences are told by."""

import numpy as np
import pytest
from bench.odds.cases import by_daylight, common_top_m
from bench.odds.made_up import LEVELS_M, flown
from bench.odds.moments import Law, Moments, cost, joined, moments_of
from bench.odds.pairs import EDGES_M, layer_winds, pair_of


def test_a_pair_tells_age_and_distance() -> None:
    pair = pair_of(flown(5.0, t_h=0.0, lat=0.0), flown(5.0, t_h=6.5, lat=1.0))
    assert pair.age_h == 6.5
    assert pair.distance_km == pytest.approx(110.574, abs=0.001)  # WGS84: the first degree north


def test_winds_of_layers_are_means_and_unknown_above_the_top() -> None:
    # u = geopotential height in km: 1.05 km are 1.05 x 9.7803 / 9.80665 - 1.05^2 / 6378 there
    east, north = layer_winds(flown(LEVELS_M / 1e3, 2.0))
    here = int(np.searchsorted(EDGES_M, 1000.0))
    assert east[here] == pytest.approx(1.0470, abs=0.0002)
    assert north[here] == pytest.approx(2.0)
    assert np.isnan(east[-1])  # the winds end at 30 km, the layers at 32


def test_moments_are_those_of_the_difference() -> None:
    # A wind from the west is told 3 m/s too weak everywhere, and 1 m/s off across, at every lag.
    rows = moments_of([pair_of(flown(10.0), flown(13.0, 1.0, t_h=6.0))])
    wanted = np.where(rows.is_along > 0.0, 9.0, 1.0)
    assert (rows.squares / rows.n_layers) == pytest.approx(wanted)
    assert (rows.sums / rows.n_layers)[rows.is_along > 0.0] == pytest.approx(-3.0)
    assert set(rows.is_along) == {0.0, 1.0}
    assert rows.products == pytest.approx(rows.squares)
    assert rows.speed_mps == pytest.approx(np.full(len(rows.n_layers), 10.0))
    assert set(rows.age_h) == {6.0}


def test_no_law_costs_less_than_the_true_variance_and_covariance() -> None:
    n = 2000.0
    # mean 1 m/s, about it 4 (m/s)^2 and 1.2 (m/s)^2 at the lag
    columns = (6.0, 0.0, 1000.0, 8.0, 5000.0, 1.0, n, 5.0 * n, 2.2 * n, n)
    rows = Moments(*(np.array([x]) for x in columns), np.array([0]), np.array([0.0]))
    law = Law(np.array([4.0]), np.array([1.2]), np.array([1.0]))
    for change in (0.9, 1.1):
        assert cost(rows, law) < cost(rows, law._replace(variance=law.variance * change))
        assert cost(rows, law) < cost(rows, law._replace(covariance=law.covariance * change))
        assert cost(rows, law) < cost(rows, law._replace(mean_mps=law.mean_mps * change))


def test_groups_of_joined_rows_stay_apart() -> None:
    rows = moments_of([pair_of(flown(10.0), flown(13.0, t_h=6.0))])
    assert set(joined(rows, rows).group) == {0, 1}


def test_daylight_moves_both_times_alike() -> None:
    pair = pair_of(flown(5.0, t_h=0.0), flown(5.0, t_h=6.0))
    moved = by_daylight(pair)
    assert moved.truth.sounding.t_s - moved.forecast.sounding.t_s == 6.0 * 3600.0
    # on the zero meridian the sun's time is that of the clock: 7 h on the 21st of June 2007
    assert moved.truth.sounding.t_s == 1_182_384_000.0 + 7.0 * 3600.0


def test_two_soundings_are_known_up_to_the_lower_top() -> None:
    assert common_top_m(pair_of(flown(5.0), flown(5.0, t_h=6.0))) == pytest.approx(
        30_100.0, abs=101
    )
