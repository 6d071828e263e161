"""The fit of the wind's doubt finds the law that made the errors."""

from itertools import product

import numpy as np
import pytest
from bench.odds.classes import free_fit, votes
from bench.odds.fit_wind import BEGIN, all_moments, climb_misses, fit_law
from bench.odds.law import At, WindLaw, column_law, parts_of
from bench.odds.made_up import LEVELS_M, flown
from bench.odds.moments import moments_of
from bench.odds.pairs import Pair, pair_of

from farglide.air.stratosphere import TROPOSPHERE_TO_M

# Near 80 km it says what the figures of fresh pairs say, which every fit takes with it.
TRUE = WindLaw(1.5, 6.0, 0.9, 2500.0, 5.0, 1.6, 2500.0, 25.0, 25.0, 0.7, 0.6, 0.8, 0.4)
SPEED_MPS = 12.0


def at(age_h: float, away_km: float, height_m: float, is_along: float = 0.0) -> At:
    return At(*(np.array([one]) for one in (age_h, away_km, SPEED_MPS, height_m, is_along)))


def made_pairs(n_each: int, seed: int, law: WindLaw = TRUE) -> list[Pair]:
    """Return pairs whose differences are drawn from the law, in several classes; wind from west."""
    rng, found = np.random.default_rng(seed), []
    wind = np.array([np.full(len(LEVELS_M), SPEED_MPS), np.zeros(len(LEVELS_M))])
    for age_h, lat in ((6.0, 0.0), (12.0, 0.0), (24.0, 0.0), (0.0, 2.0), (0.0, 3.6)):
        forecast = flown(SPEED_MPS)
        pair = pair_of(forecast, flown(0.0, t_h=age_h, lat=lat))
        said = column_law(law, pair.age_h, pair.distance_km, wind, LEVELS_M)
        roots = np.linalg.cholesky(said.covariance)
        for _ in range(n_each):
            missed = said.mean_mps + np.einsum("cij,cj->ci", roots, rng.normal(size=wind.shape))
            u, v = wind - missed
            found.append(pair_of(forecast, flown(u, v, t_h=age_h, lat=lat)))
    return found


@pytest.fixture(scope="module")
def pairs() -> list[Pair]:
    return made_pairs(40, 1)


def test_the_law_that_made_the_errors_is_found(pairs: list[Pair]) -> None:
    moments = all_moments(pairs)
    found = fit_law(moments, votes(moments), BEGIN)
    for age_h, away_km in ((6.0, 0.0), (12.0, 0.0), (24.0, 0.0), (0.0, 221.0), (0.0, 398.0)):
        for height_m, is_along in product((6000.0, 22_000.0), (0.0, 1.0)):
            sizes = [
                np.sqrt(sum(parts_of(law, at(age_h, away_km, height_m, is_along))[:3])[0])
                for law in (found, TRUE)
            ]
            assert sizes[0] == pytest.approx(sizes[1], rel=0.08)
    slower = [parts_of(law, at(24.0, 0.0, 6000.0, 1.0)).slower_mps[0] for law in (found, TRUE)]
    assert slower[0] == pytest.approx(slower[1], abs=0.25)
    assert slower[1] > 0.5
    assert found.age_depth_m == pytest.approx(TRUE.age_depth_m, rel=0.25)
    assert found.distance_depth_m == pytest.approx(TRUE.distance_depth_m, rel=0.25)


def test_under_the_true_law_a_climb_misses_by_one_standard_deviation(pairs: list[Pair]) -> None:
    # 400 misses of sd 1: their root mean square is 1 within 3 x 0.035.
    assert np.sqrt((climb_misses(TRUE, pairs) ** 2).mean()) == pytest.approx(1.0, abs=0.1)


def test_a_free_fit_finds_the_deep_error_of_one_class() -> None:
    alike = TRUE._replace(
        doubled_mps=1e9, climate_mps=1e6, age_high_ratio=1.0, age_high_depth_ratio=1.0
    )  # a class knows no heights
    rows = moments_of([pair for pair in made_pairs(40, 1, alike) if pair.age_h == 24.0])
    found = free_fit(rows, np.ones(len(rows.n_layers)))
    true = parts_of(alike, at(24.0, 0.0, TROPOSPHERE_TO_M))
    assert found.total_mps == pytest.approx(np.sqrt(sum(true[:3])[0]), rel=0.08)
    assert found.deep_depth_m == pytest.approx(float(true.age_depth_m[0]), rel=0.3)


def test_variances_of_age_and_distance_add() -> None:
    asked = At(np.array([12.0, 0.0, 12.0]), np.array([0.0, 250.0, 250.0]), *np.zeros((3, 3)))
    parts = parts_of(TRUE, asked)
    deep = parts.by_age + parts.by_distance
    assert deep[2] == pytest.approx(deep[0] + deep[1], rel=1e-2)
    assert np.sqrt(deep[2]) == pytest.approx(np.hypot(6.0, 5.0), rel=1e-2)
