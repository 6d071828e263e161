"""Spread: how far off the air of a day is, found by height from what was measured."""

import numpy as np
import pytest

from farglide.sim.core.airerrors import AirDoubts, Along, fill_air_errors, no_air_errors
from farglide.sim.core.learnt import Measured, crossed_with, scaled, seen_with
from farglide.sim.core.spread import spread_ratios

N_LAYERS, N_DAYS = 120, 40
NINE_IN_TEN = 2.0 * np.log(10.0)  # a normal law in two directions
EVEN = np.ones(N_LAYERS)
DOUBTS = AirDoubts(
    shallow_mps=1.2 * EVEN, deep_mps=3.0 * EVEN, deep_along_mps=4.0 * EVEN, slower_mps=0.0 * EVEN,
    along=Along(EVEN, 0.0 * EVEN), shallow_kept_ratio=0.2 * EVEN, deep_kept_ratio=0.9 * EVEN,
    grown_mps=1.0 * EVEN, grown_along_mps=1.3 * EVEN, vertical_mps=0.2, deep_depth_m=1500.0 * EVEN,
    grown_depth_m=1000.0 * EVEN, shallow_depth_m=330.0, vertical_depth_m=1000.0, step_m=100.0,
)  # fmt: skip


def days(wide: AirDoubts, n_days: int = N_DAYS) -> list[Measured]:
    """Return what was measured on some days whose air is as far off as that."""
    errors = no_air_errors(n_days, N_LAYERS)
    z = np.random.default_rng(5).standard_normal((n_days, DOUBTS.n_numbers))
    fill_air_errors(wide, z, errors)
    return [
        Measured(np.eye(N_LAYERS), np.stack([east, north], axis=1).astype(np.float64), 0.3 * EVEN)
        for east, north in zip(errors.out_east_mps, errors.out_north_mps, strict=True)
    ]


@pytest.mark.parametrize("truth", [0.6, 1.0, 2.0])
def test_how_wide_the_deep_errors_really_are_is_found(truth: float) -> None:
    """In the mean over days, drawn toward 1 by what was believed before."""
    ratios = [spread_ratios(DOUBTS, one) for one in days(scaled(DOUBTS, truth))]
    believed = float(np.exp(np.mean(np.log(ratios))))
    nearer = sorted((truth**0.5, truth))
    assert nearer[0] - 0.06 <= believed <= nearer[1] + 0.06


def test_bad_weather_of_some_kilometres_is_found_there() -> None:
    middle_m = 100.0 * (np.arange(N_LAYERS) + 0.5)
    truth = np.where(np.abs(middle_m - 6000.0) < 1500.0, 3.0, 1.0)
    ratios = np.exp(
        np.mean([np.log(spread_ratios(DOUBTS, d)) for d in days(scaled(DOUBTS, truth))], 0)
    )
    assert ratios[60] > 1.4
    assert ratios[5] < 1.15
    assert ratios[115] < 1.15


def test_what_was_not_measured_is_as_told() -> None:
    none = Measured(np.zeros((0, N_LAYERS)), np.zeros((0, 2)), np.zeros(0))
    np.testing.assert_array_equal(spread_ratios(DOUBTS, none), EVEN)
    bad = days(scaled(DOUBTS, 3.0))[0]
    low = bad.rows(np.arange(30))
    found = spread_ratios(DOUBTS, low)
    assert found[10] > found[60]
    np.testing.assert_allclose(found[100:], 1.0)


def test_air_told_well_below_makes_that_above_no_surer() -> None:
    """Wider errors hold on above what was measured, narrower ones end there."""
    calm, bad = (days(scaled(DOUBTS, ratio))[0].rows(np.arange(60)) for ratio in (0.3, 3.0))
    told_well, told_badly = spread_ratios(DOUBTS, calm), spread_ratios(DOUBTS, bad)
    assert told_well[50] < 0.8
    np.testing.assert_allclose(told_well[60:], 1.0)
    assert told_badly[80] > 1.1


def test_winds_above_are_inside_nine_in_ten_on_days_that_look_well_told_too() -> None:
    """The law is right on all of these days: that some look better told is chance."""
    rows, ahead = np.arange(12, 59), np.array([63, 68, 74])  # 0.5, 1 and 1.6 km above
    inside, looks_well = [], []
    for day in days(DOUBTS, 200):
        below = day.rows(rows)
        ratios = spread_ratios(DOUBTS, below)
        looks_well.append(ratios[55] < 0.9)
        both = day.rows(np.append(rows, ahead))
        wide = scaled(DOUBTS, ratios)
        seen = seen_with(crossed_with(wide, both.share_ratio), both)
        missed, k = both.off_mps.reshape(-1), 2 * len(rows)
        weights = np.linalg.solve(seen[:k, :k], seen[:k, k:]).T
        off, said = missed[k:] - weights @ missed[:k], seen[k:, k:] - weights @ seen[:k, k:]
        two = [slice(2 * j, 2 * j + 2) for j in range(len(ahead))]
        inside.append([off[j] @ np.linalg.solve(said[j, j], off[j]) < NINE_IN_TEN for j in two])
    found, well = np.array(inside), np.array(looks_well)
    assert 30 < well.sum() < 100
    assert (np.abs(found.mean(axis=0) - 0.9) < 0.05).all()
    assert found[well].mean() > 0.84
