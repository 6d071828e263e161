"""Layer doubt: sizes in each layer, errors that hang together in height, and what they become."""

import math
from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray

from farglide.air.doubt import Apart, WindDoubt, wind_doubt
from farglide.air.layerdoubt import (
    LayerDoubt,
    Passed,
    by_layer,
    correlated,
    deep_change,
    kept_ratio,
)
from farglide.air.stratosphere import BY_AGE, TROPOSPHERE_TO_M, going_over
from farglide.errors import InputError

HOUR_S, KM_M = 3600.0, 1000.0
STEP_M = 100.0
FloatArray = NDArray[np.float64]


def aged(age_h: float, away_km: float = 0.0) -> WindDoubt:
    return wind_doubt(Apart(age_s=age_h * HOUR_S, distance_m=away_km * KM_M))


def known(doubt: WindDoubt, speed_mps: FloatArray) -> LayerDoubt:
    """Return the doubt of layers of the troposphere in which winds are known."""
    n = len(speed_mps)
    levels_m = np.linspace(0.0, TROPOSPHERE_TO_M, 100)
    return by_layer(doubt, np.linspace(1000.0, TROPOSPHERE_TO_M, n), speed_mps, levels_m)


@pytest.mark.parametrize("age_h", [0.0, 3.0, 12.0])
def test_on_the_way_home_the_error_is_that_of_winds_so_much_older(age_h: float) -> None:
    doubt, speed_mps = aged(age_h, 60.0), np.array([0.0, 10.0, 40.0, 40.0])
    told = known(doubt, speed_mps)
    elapsed_s = np.array([5400.0, 3600.0, 1800.0, 0.0])
    found = deep_change(doubt, told, Passed(TROPOSPHERE_TO_M * np.ones(4), speed_mps, elapsed_s))
    across = np.hypot(found.kept_ratio * told.deep_mps, found.grown_mps)
    along = np.hypot(found.kept_ratio * told.deep_along_mps, found.grown_along_mps)
    older = [aged(max(age_h, 0.1) + one / HOUR_S, 60.0) for one in elapsed_s]
    wanted = [
        math.hypot(o.deep_mps, o.deep_ratio * v) for o, v in zip(older, speed_mps, strict=True)
    ]
    np.testing.assert_allclose(across, [one.deep_mps for one in older], rtol=1e-9)
    np.testing.assert_allclose(along, wanted, rtol=1e-9)
    # and what the truth has changed by is what a fresh wind ages in the time: 2.0 m/s in an hour
    change = np.hypot((1.0 - found.kept_ratio) * told.deep_mps, found.grown_mps)
    assert change[1] == pytest.approx(2.01, rel=0.01)
    change = np.hypot((1.0 - found.kept_ratio) * told.deep_along_mps, found.grown_along_mps)
    assert change[1] == pytest.approx(2.01 * math.hypot(1.0, 10.0 / 35.6), rel=0.01)
    assert (found.kept_ratio[-1], found.grown_mps[-1], found.grown_along_mps[-1]) == (1.0, 0.0, 0.0)
    assert found.depth_m == pytest.approx(2797.0 * (1.5 / 12.0) ** 0.2)


def test_a_doubt_stated_narrower_changes_less_and_none_not_at_all() -> None:
    law, speed_mps = aged(3.0), np.full(1, 20.0)
    passed = Passed(np.full(1, TROPOSPHERE_TO_M), speed_mps, np.full(1, 3600.0))
    for share in (0.0, 0.5):
        doubt = replace(law, growth_ratio=share)
        told = known(law, speed_mps)
        less = told._replace(
            deep_mps=share * told.deep_mps, deep_along_mps=share * told.deep_along_mps
        )
        narrow, whole = deep_change(doubt, less, passed), deep_change(law, told, passed)
        for name in ("grown_mps", "grown_along_mps"):
            wanted = share * getattr(whole, name)
            assert getattr(narrow, name) == pytest.approx(wanted, abs=1e-9)


def test_no_share_of_the_speed_stays_none_on_the_way_home() -> None:
    law, speed_mps = replace(aged(3.0), deep_ratio=0.0), np.full(1, 40.0)
    passed = Passed(np.full(1, TROPOSPHERE_TO_M), speed_mps, np.full(1, 3600.0))
    for share in (0.0, 0.5):
        doubt = replace(law, speed_growth_ratio=share)
        found = deep_change(doubt, known(doubt, speed_mps), passed)
        along = found.grown_along_mps**2 - found.grown_mps**2
        whole = deep_change(law, known(law, speed_mps), passed)
        of_speed = whole.grown_along_mps**2 - whole.grown_mps**2
        assert of_speed > 0.5
        assert along == pytest.approx(share**2 * of_speed, abs=1e-9)


def test_the_shallow_error_is_renewed_in_its_time() -> None:
    doubt = WindDoubt(renewal_s=1800.0)
    np.testing.assert_allclose(
        kept_ratio(doubt, np.array([0.0, 1800.0, 3600.0])), [1.0, math.exp(-1), math.exp(-2)]
    )


def test_the_deep_doubt_widens_outside_the_levels_and_in_wide_gaps() -> None:
    doubt = WindDoubt(deep_mps=3.0, deep_ratio=0.1, deep_depth_m=2000.0, shallow_mps=1.2)
    doubt = replace(doubt, slower_ratio=0.06)
    levels = np.array([1000.0, 2000.0, 12_000.0])
    heights = np.array([500.0, 1500.0, 7000.0, 13_000.0, 16_000.0])
    found = by_layer(doubt, heights, np.full(5, 40.0), levels)
    # 3 m/s; along the wind a tenth of 40 m/s comes to it, as variances
    known, along, none = (
        size * going_over(heights, BY_AGE.size_ratio) for size in (3.0, 5.0, 12.5)
    )
    share = np.array([0.25, 0.0, 1.0, 0.5, 1.0])
    np.testing.assert_allclose(found.deep_mps, known + share * (none - known))
    np.testing.assert_allclose(found.deep_along_mps, along + share * (none - along))
    np.testing.assert_allclose(
        found.slower_ratio, 0.06 * going_over(heights, BY_AGE.size_ratio) ** 2
    )
    depth_m = 2000.0 * going_over(heights, BY_AGE.depth_ratio)  # and over more where none is known
    np.testing.assert_allclose(found.deep_depth_m, depth_m + share * (8000.0 - depth_m))
    np.testing.assert_allclose(found.shallow_mps, 1.2)
    wide = by_layer(replace(doubt, beyond_mps=1.0), heights, np.full(5, 40.0), levels)
    np.testing.assert_allclose(wide.deep_along_mps, along)
    np.testing.assert_allclose(wide.deep_mps, known)  # never narrower than where it is known


DEPTHS_M = np.array([350.0, 1800.0, 3000.0])


@pytest.fixture(scope="module")
def errors() -> FloatArray:
    """Return errors of three depths in 398 layers and 10 000 draws, (398, 10 000, 3)."""
    rng = np.random.default_rng(11)
    return correlated(rng.standard_normal((398, 10_000, 3)), DEPTHS_M, STEP_M)


def test_spread_is_one_in_every_layer(errors: FloatArray) -> None:
    # 10 000 draws: the sample's own standard deviation is 0.7 %
    sd = errors.std(axis=1)
    assert np.abs(sd - 1.0).max() < 0.05
    assert sd.mean() == pytest.approx(1.0, abs=0.005)


def test_correlation_falls_by_the_depth_from_every_layer(errors: FloatArray) -> None:
    # First-order autoregression: exp(-dz / depth). A sample's correlation is good to 0.01.
    unit = (errors - errors.mean(axis=1, keepdims=True)) / errors.std(axis=1, keepdims=True)
    for j, depth_m in enumerate(DEPTHS_M):
        for apart in (1, 3, 10, 30):
            found = (unit[apart:, :, j] * unit[:-apart, :, j]).mean(axis=1)
            wanted = math.exp(-apart * STEP_M / depth_m)
            assert np.abs(found - wanted).max() < 0.05, (depth_m, apart)


def test_a_drift_through_many_layers_averages_a_shallow_error_out(errors: FloatArray) -> None:
    # The mean over a thickness Z of an error of depth L: sd sqrt(2 x (1 - x (1 - exp(-1/x)))),
    # x = L / Z (Taylor 1921, from memory): 0.190 of 350 m and 0.374 of 1.8 km over 19 km.
    x = DEPTHS_M / (190 * STEP_M)
    wanted = np.sqrt(2.0 * x * (1.0 - x * (1.0 - np.exp(-1.0 / x))))
    assert errors[:190].mean(axis=0).std(axis=0) == pytest.approx(wanted, rel=0.05)


def test_errors_of_one_draw_do_not_depend_on_the_others() -> None:
    z = np.random.default_rng(2).standard_normal((81, 50, 3))
    alone = correlated(z[:, :7].copy(), DEPTHS_M, STEP_M)
    np.testing.assert_array_equal(correlated(z, DEPTHS_M, STEP_M)[:, :7], alone)


@pytest.mark.parametrize("depth", [0.0, -3.0, math.nan])
def test_a_depth_that_is_no_depth_is_refused(depth: float) -> None:
    with pytest.raises(InputError, match=r"depth_m is .* m; allowed: more than 0 m"):
        correlated(np.zeros((3, 1, 1)), np.array([depth]), STEP_M)


def test_a_wind_that_is_held_beyond_the_levels_misses_as_real_ones_do() -> None:
    """99 open soundings cut at 18 km: the wind held to 25 km misses in the mean by 7.7 m/s."""
    middle_m = np.arange(18_050.0, 25_000.0, STEP_M)
    levels_m = np.array([0.0, 3_000.0, 9_000.0, 18_000.0])
    found = by_layer(aged(3.0), middle_m, np.full(len(middle_m), 10.0), levels_m)
    z = np.random.default_rng(3).standard_normal((len(middle_m), 4000, 1))
    errors = found.deep_mps[:, None] * correlated(z, found.deep_depth_m[:, None], STEP_M)[..., 0]
    assert errors.mean(axis=0).std() == pytest.approx(7.7, rel=0.15)
