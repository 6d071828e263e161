"""Wind doubt: a law of age, distance and lead time, and errors that hang together in height."""

import math
from collections.abc import Callable
from dataclasses import replace
from typing import NamedTuple

import numpy as np
import pytest
from numpy.typing import NDArray

from farglide.air.doubt import (
    FIT_AGE_S,
    FIT_DISTANCE_M,
    FIT_LEAD_S,
    Apart,
    LayerDoubt,
    Passed,
    WindDoubt,
    by_layer,
    correlated,
    deep_change,
    is_beyond_fit,
    kept_ratio,
    wind_doubt,
)
from farglide.air.stratosphere import BY_AGE, BY_DISTANCE, TROPOSPHERE_TO_M, going_over
from farglide.errors import InputError

HOUR_S, KM_M = 3600.0, 1000.0
STEP_M = 100.0
FloatArray = NDArray[np.float64]
Ways = Callable[[float], Apart]


def aged(age_h: float, away_km: float = 0.0) -> WindDoubt:
    return wind_doubt(Apart(age_s=age_h * HOUR_S, distance_m=away_km * KM_M))


def known(deep_mps: FloatArray) -> LayerDoubt:
    return LayerDoubt(deep_mps, deep_mps, np.full(len(deep_mps), 2000.0))


WAYS: dict[str, tuple[Ways, FloatArray]] = {
    "age": (lambda h: Apart(age_s=h * HOUR_S), np.linspace(0.1, 120.0, 6000)),
    "distance": (lambda km: Apart(distance_m=km * KM_M), np.linspace(5.0, 900.0, 3000)),
    "lead": (lambda h: Apart(lead_s=h * HOUR_S), np.linspace(0.0, 240.0, 20_000)),
}


@pytest.mark.parametrize("way", WAYS)
def test_the_doubt_only_grows_and_without_a_step(way: str) -> None:
    apart, values = WAYS[way]
    found = [wind_doubt(apart(float(one))) for one in values]
    for name in ("deep_mps", "deep_ratio", "shallow_mps"):
        sizes = np.array([getattr(one, name) for one in found])
        assert (np.diff(sizes) >= 0.0).all(), name
    for name in ("deep_mps", "deep_ratio", "deep_depth_m", "shallow_mps"):
        sizes = np.array([getattr(one, name) for one in found])
        assert np.abs(np.diff(sizes)).max() < 0.02 * sizes.max(), name
    deep = np.array([one.deep_mps for one in found])
    assert (np.diff(deep) > 0.0).all()  # beyond the fit as well: never held at its edge


def test_age_and_distance_add_as_variances() -> None:
    fresh, old, far, both = (aged(*one) for one in ((0, 0), (9, 0), (0, 130), (9, 130)))
    added = old.deep_mps**2 + far.deep_mps**2 - fresh.deep_mps**2
    assert both.deep_mps**2 == pytest.approx(added, rel=1e-12)
    forecast = wind_doubt(Apart(age_s=9 * HOUR_S, lead_s=48 * HOUR_S))
    near = wind_doubt(Apart(lead_s=48 * HOUR_S))
    assert forecast.deep_mps**2 - near.deep_mps**2 == pytest.approx(
        old.deep_mps**2 - fresh.deep_mps**2, rel=1e-12
    )


def test_up_in_the_stratosphere_age_and_distance_add_as_variances_too() -> None:
    fresh, old, far, both = (aged(*one) for one in ((0, 0), (9, 0), (0, 250), (9, 250)))
    high = [(one.deep_mps * one.aloft.size_ratio) ** 2 for one in (fresh, old, far, both)]
    assert high[3] == pytest.approx(high[1] + high[2] - high[0], rel=1e-12)
    lead = wind_doubt(Apart(age_s=1e5, distance_m=0.0, lead_s=1e5)).aloft
    assert lead == pytest.approx(BY_AGE, abs=0.01)  # 5 km away: as good as age alone
    assert aged(0.0, 2000.0).aloft == pytest.approx(BY_DISTANCE, abs=0.01)


def test_a_forecast_lacks_the_waves_of_a_sounding_of_its_own() -> None:
    # half of the variance of a difference of two soundings is that of each
    sounding, forecast = aged(24.0), wind_doubt(Apart(lead_s=0.0))
    assert forecast.shallow_mps**2 == pytest.approx(0.5 * sounding.shallow_mps**2)


def test_beyond_the_fit_is_told_and_depths_stay() -> None:
    far, edge = wind_doubt(Apart(distance_m=4e6)), wind_doubt(Apart(distance_m=FIT_DISTANCE_M))
    assert far.deep_depth_m == pytest.approx(edge.deep_depth_m, rel=0.02)
    assert not is_beyond_fit(Apart(age_s=FIT_AGE_S, distance_m=FIT_DISTANCE_M, lead_s=FIT_LEAD_S))
    assert is_beyond_fit(Apart(age_s=FIT_AGE_S + 1.0))
    assert is_beyond_fit(Apart(distance_m=FIT_DISTANCE_M + 1.0))
    assert is_beyond_fit(Apart(lead_s=FIT_LEAD_S + 1.0))


def test_winds_said_to_be_here_and_now_are_doubted_as_the_nearest_pairs() -> None:
    # under 1 h and 5 km apart, a component: 1.0 m/s (29 real pairs, few weather situations)
    here, near = aged(0.0), aged(0.1, 5.0)
    assert here == near
    assert math.hypot(here.deep_mps, here.shallow_mps) == pytest.approx(1.0, abs=0.2)


@pytest.mark.parametrize("age_h", [0.0, 3.0, 12.0])
def test_on_the_way_home_the_error_is_that_of_winds_so_much_older(age_h: float) -> None:
    doubt, speed_mps = aged(age_h, 60.0), np.array([0.0, 10.0, 40.0, 40.0])
    deep_mps = np.hypot(doubt.deep_mps, doubt.deep_ratio * speed_mps)
    elapsed_s = np.array([5400.0, 3600.0, 1800.0, 0.0])
    found = deep_change(
        doubt, known(deep_mps), Passed(TROPOSPHERE_TO_M * np.ones(4), speed_mps, elapsed_s)
    )
    size = np.hypot(found.kept_ratio * deep_mps, found.grown_mps)
    older = [aged(max(age_h, 0.1) + one / HOUR_S, 60.0) for one in elapsed_s]
    wanted = [
        math.hypot(o.deep_mps, o.deep_ratio * v) for o, v in zip(older, speed_mps, strict=True)
    ]
    np.testing.assert_allclose(size, wanted, rtol=1e-9)
    # and what the truth has changed by is what a fresh wind ages in the time: 1.9 m/s in an hour
    change = np.hypot((1.0 - found.kept_ratio) * deep_mps, found.grown_mps)
    assert change[1] == pytest.approx(1.91 * math.hypot(1.0, 10.0 / 37.7), rel=0.01)
    assert (found.kept_ratio[-1], found.grown_mps[-1]) == (1.0, 0.0)
    assert found.depth_m == pytest.approx(3110.0 * (1.5 / 12.0) ** 0.2)


def test_a_doubt_stated_narrower_changes_less_and_none_not_at_all() -> None:
    law, speed_mps = aged(3.0), np.full(1, 20.0)
    passed = Passed(np.full(1, TROPOSPHERE_TO_M), speed_mps, np.full(1, 3600.0))
    for share in (0.0, 0.5):
        doubt = replace(law, growth_ratio=share)
        deep_mps = share * np.hypot(law.deep_mps, law.deep_ratio * speed_mps)
        narrow = deep_change(doubt, known(deep_mps), passed)
        whole_mps = np.hypot(law.deep_mps, law.deep_ratio * speed_mps)
        whole = deep_change(law, known(whole_mps), passed)
        assert narrow.grown_mps == pytest.approx(share * whole.grown_mps, abs=1e-9)


class Found(NamedTuple):
    """What differences of two real soundings are: size of a component, and how they hang together.

    Source: real flights against later or neighbouring ones, 29 pairs in a few weather situations;
    correlations over 0.5, 1 and 3 km of height, by classes of age.
    """

    age_h: float
    away_km: float
    mps: tuple[float, float]
    correlation: tuple[float, float, float]


@pytest.mark.parametrize(
    "found",
    [
        Found(0.1, 5.0, (0.8, 1.2), (0.22, 0.00, 0.03)),
        Found(4.5, 5.0, (4.4, 5.1), (0.48, 0.23, 0.08)),
        Found(21.0, 5.0, (5.0, 8.5), (0.78, 0.60, 0.27)),
    ],
)
def test_differences_of_real_soundings_are_as_the_law_says(found: Found) -> None:
    doubt = aged(found.age_h, found.away_km)
    shallow, deep = doubt.shallow_mps**2, doubt.deep_mps**2 + (10.0 * doubt.deep_ratio) ** 2
    low, high = found.mps
    # weather to weather the size differs by 35 % (one sd)
    assert 0.75 * low < math.sqrt(shallow + deep) < 1.25 * high
    for lag_m, wanted in zip((500.0, 1000.0, 3000.0), found.correlation, strict=True):
        hangs = shallow * math.exp(-lag_m / doubt.shallow_depth_m)
        hangs += deep * math.exp(-lag_m / doubt.deep_depth_m)
        # Never less than found: the pairs are of all heights, the law's depth is that below 12 km.
        assert wanted - 0.05 < hangs / (shallow + deep) < wanted + 0.35, lag_m


@pytest.mark.parametrize(("away_km", "mps"), [(80.0, 2.35), (300.0, 6.1), (400.0, 7.1)])
def test_differences_of_neighbouring_soundings_are_as_the_law_says(
    away_km: float, mps: float
) -> None:
    # 38 to 151 km: real pairs of under an hour; beyond: a network of one hour, 164 pairs
    doubt = aged(0.1, away_km)
    size = math.hypot(doubt.shallow_mps, doubt.deep_mps, 10.0 * doubt.deep_ratio)
    assert size == pytest.approx(mps, rel=0.15)


def test_the_shallow_error_is_renewed_in_its_time() -> None:
    doubt = WindDoubt(renewal_s=1800.0)
    np.testing.assert_allclose(
        kept_ratio(doubt, np.array([0.0, 1800.0, 3600.0])), [1.0, math.exp(-1), math.exp(-2)]
    )


def test_the_deep_doubt_widens_outside_the_levels_and_in_wide_gaps() -> None:
    doubt = WindDoubt(deep_mps=3.0, deep_ratio=0.1, deep_depth_m=2000.0, shallow_mps=1.2)
    levels = np.array([1000.0, 2000.0, 12_000.0])
    heights = np.array([500.0, 1500.0, 7000.0, 13_000.0, 16_000.0])
    found = by_layer(doubt, heights, np.full(5, 40.0), levels)
    known = 5.0 * going_over(
        heights, BY_AGE.size_ratio
    )  # 3 m/s and a tenth of 40 m/s, as variances
    share = np.array([0.25, 0.0, 1.0, 0.5, 1.0])
    np.testing.assert_allclose(found.deep_mps, known + share * (10.0 - known))
    np.testing.assert_allclose(found.deep_depth_m, 2000.0 * going_over(heights, BY_AGE.depth_ratio))
    np.testing.assert_allclose(found.shallow_mps, 1.2)
    wide = by_layer(replace(doubt, beyond_mps=1.0), heights, np.full(5, 40.0), levels)
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


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("shallow_mps", -0.1),
        ("deep_ratio", math.nan),
        ("beyond_mps", 1001.0),
        ("deep_depth_m", 5.0),
        ("shallow_depth_m", math.nan),
        ("renewal_s", 0.0),
        ("growth_ratio", -1.0),
    ],
)
def test_doubts_that_cannot_be_are_refused(name: str, value: float) -> None:
    with pytest.raises(InputError, match=name):
        WindDoubt(**{name: value})


@pytest.mark.parametrize("name", ["age_s", "distance_m", "lead_s"])
@pytest.mark.parametrize("value", [-1.0, math.nan, math.inf])
def test_winds_cannot_be_less_than_here_and_now(name: str, value: float) -> None:
    with pytest.raises(InputError, match=rf"{name} is .*; allowed: 0 .* or more"):
        Apart(**{name: value})
