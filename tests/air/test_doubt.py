"""Wind doubt: a law of age, distance and lead time, and errors that hang together in height."""

import math
from collections.abc import Callable
from typing import NamedTuple

import numpy as np
import pytest
from numpy.typing import NDArray

from farglide.air.doubt import (
    FIT_AGE_S,
    FIT_DISTANCE_M,
    FIT_LEAD_S,
    Apart,
    WindDoubt,
    is_beyond_fit,
    wind_doubt,
)
from farglide.air.stratosphere import BY_AGE, BY_DISTANCE
from farglide.errors import InputError

HOUR_S, KM_M = 3600.0, 1000.0
STEP_M = 100.0
FloatArray = NDArray[np.float64]
Ways = Callable[[float], Apart]


def aged(age_h: float, away_km: float = 0.0) -> WindDoubt:
    return wind_doubt(Apart(age_s=age_h * HOUR_S, distance_m=away_km * KM_M))


WAYS: dict[str, tuple[Ways, FloatArray]] = {
    "age": (lambda h: Apart(age_s=h * HOUR_S), np.linspace(0.1, 120.0, 6000)),
    "distance": (lambda km: Apart(distance_m=km * KM_M), np.linspace(5.0, 900.0, 3000)),
    "lead": (lambda h: Apart(lead_s=h * HOUR_S), np.linspace(0.0, 240.0, 20_000)),
}


@pytest.mark.parametrize("way", WAYS)
def test_the_doubt_only_grows_and_without_a_step(way: str) -> None:
    apart, values = WAYS[way]
    found = [wind_doubt(apart(float(one))) for one in values]
    for name in ("deep_mps", "deep_ratio", "shallow_mps", "slower_ratio"):
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


def test_a_strong_wind_told_is_partly_the_sounding_s_own_error() -> None:
    # half of the variance of a difference is each sounding's: regression towards the mean
    old, far = aged(12.0), aged(0.0, 250.0)
    for one in (old, far):
        assert one.slower_ratio == pytest.approx(0.5 * one.deep_mps**2 / 13.5**2)
    lead = wind_doubt(Apart(lead_s=72 * HOUR_S))
    assert lead.slower_ratio == pytest.approx(aged(0.0).slower_ratio)  # a model's lead is no sample
    assert aged(1e4).slower_ratio == 0.5


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
    shallow, deep = doubt.shallow_mps**2, doubt.deep_mps**2 + 0.5 * (10.0 * doubt.deep_ratio) ** 2
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
    # in a wind of 10 m/s; half of what it adds along itself falls on a component
    size = math.hypot(doubt.shallow_mps, doubt.deep_mps, math.sqrt(0.5) * 10.0 * doubt.deep_ratio)
    assert size == pytest.approx(mps, rel=0.15)


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
        ("speed_growth_ratio", -1.0),
        ("slower_ratio", 1.01),
    ],
)
def test_doubts_that_cannot_be_are_refused(name: str, value: float) -> None:
    with pytest.raises(InputError, match=name):
        WindDoubt(**{name: value})


@pytest.mark.parametrize("name", ["age_s", "distance_m", "lead_s"])
@pytest.mark.parametrize("value", [-1.0, math.nan, math.inf])
def test_winds_cannot_be_less_than_here_and_now(name: str, value: float) -> None:
    with pytest.raises(InputError, match=rf"{name} is .*; allowed: 0 to "):
        Apart(**{name: value})


@pytest.mark.parametrize(("name", "value"), [("age_s", 3e11), ("age_s", 9e11), ("lead_s", 3e11)])
def test_winds_of_another_millennium_are_refused_by_their_age(name: str, value: float) -> None:
    with pytest.raises(InputError, match="Look at the dates") as caught:
        Apart(**{name: value})
    assert (caught.value.name, caught.value.value) == (name, value)


def test_the_farthest_winds_that_are_allowed_have_a_doubt() -> None:
    farthest = Apart(age_s=1e10, distance_m=2.1e7, lead_s=1e9)
    assert 100.0 < wind_doubt(farthest).deep_mps < 1000.0
