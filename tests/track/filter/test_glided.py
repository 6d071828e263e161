"""Glided: winds and glide ratios put into stretches by hand come out again."""

import numpy as np
import pytest

from farglide.arrays import FloatArray
from farglide.errors import InputError
from farglide.track.filter.glided import (
    DEPTH_M,
    Believed,
    Stretches,
    glided,
    hangs_ratio,
    weights_of,
)

N = 8
LOG_SPEED = np.log(np.linspace(20.0, 60.0, 40))
TOLD_MPS = 30.0


def stretches(
    heading_rad: FloatArray, wind_mps: FloatArray, log_factor: float, flown_mps: float = TOLD_MPS
) -> Stretches:
    """Return stretches flown exactly at one speed, by a polar whose sink goes with the square."""
    nose = np.stack([np.sin(heading_rad), np.cos(heading_rad)], axis=1)
    n = len(heading_rad)
    rows = np.tile(LOG_SPEED, (n, 1))
    sink_mps = np.full(n, (flown_mps / 15.0) ** 2 / np.exp(log_factor))
    return Stretches(
        np.linspace(20e3, 17e3, n), flown_mps * nose + wind_mps, np.full(n, 0.1), sink_mps,
        np.full(n, 0.1), np.full(n, TOLD_MPS), rows, 2.0 * (rows - np.log(15.0)),
    )  # fmt: skip


def believed(wind_sd_mps: float = 4.0) -> Believed:
    return Believed(0.0, 0.1, np.full(N, wind_sd_mps))


def test_all_round_the_compass_wind_and_glide_come_out() -> None:
    wind = np.array([3.0, -4.0])
    still = believed()._replace(steady_rises_mps=0.0)
    found = glided(stretches(np.linspace(0.0, 2.0 * np.pi, N), wind, np.log(0.85)), still)
    assert found.wind_mps.mean(axis=0) == pytest.approx(wind, abs=0.8)
    assert found.log_factor == pytest.approx(np.log(0.85), abs=0.04)
    assert found.log_factor_sd < 0.06
    assert (found.wind_sd_mps < 2.0).all()


def test_on_one_heading_only_the_wind_along_it_is_learnt() -> None:
    wind = np.array([0.0, -4.0])  # from ahead, on a heading north
    found = glided(stretches(np.zeros(N), wind, 0.0), believed())
    along = found.wind_mps[:, 1]
    assert (along < -2.0).all()
    assert (along > -4.0).all()  # some of it may be a slower flight
    cross = glided(stretches(np.zeros(N), np.array([4.0, 0.0]), 0.0), believed())
    assert np.abs(cross.wind_mps[:, 0]).max() < 1.5
    assert (cross.wind_sd_mps > 2.5).all()


def test_winds_that_miss_by_more_than_was_believed_are_doubted_more() -> None:
    round_it, wind = np.linspace(0.0, 2.0 * np.pi, N), np.array([5.0, 0.0])
    found = glided(stretches(round_it, wind, 0.0), believed(1.0))
    assert found.wind_mps[:, 0].mean() > 3.5
    calm = glided(stretches(round_it, 0.0 * wind, 0.0), believed(1.0))
    assert np.abs(calm.wind_mps).max() < 0.1
    assert calm.wind_sd_mps.max() < 1.0


def test_what_is_flown_otherwise_than_told_moves_no_wind() -> None:
    for flown_mps in (39.0, 50.0):  # where 30 are told
        found = glided(stretches(np.zeros(N), np.zeros(2), 0.0, flown_mps), believed(1.5))
        assert np.abs(found.wind_mps).max() < 1.0
        assert found.log_factor == pytest.approx(0.0, abs=0.02)


@pytest.mark.parametrize("up_mps", [-1.0, -0.3, 0.3, 1.0])
def test_air_that_rises_all_along_is_told_within_how_far_it_is_believed_to(up_mps: float) -> None:
    """In a sink of 4 m/s it looks like another glide ratio, and nothing tells which it is."""
    some = stretches(np.linspace(0.0, 2.0 * np.pi, N), np.zeros(2), 0.0)
    risen = some._replace(sink_mps=some.sink_mps - up_mps)
    found = glided(risen, believed()._replace(steady_rises_mps=abs(up_mps)))
    assert np.sign(found.log_factor) == np.sign(up_mps)
    assert abs(found.log_factor) < 1.645 * found.log_factor_sd
    # independent: the best sum of 8 looks 3/7 km apart whose errors hang together over 1 km
    apart_km = np.abs(np.subtract.outer(np.arange(8), np.arange(8))) * 3.0 / 7.0
    looks = np.linalg.inv(up_mps**2 * np.exp(-apart_km)).sum() * (4.0 - up_mps) ** 2
    assert found.log_factor_sd >= (1.0 / 0.1**2 + looks) ** -0.5


def test_each_draw_is_moved_to_what_was_seen() -> None:
    wind = np.array([3.0, -4.0])
    glide = glided(stretches(np.linspace(0.0, 2.0 * np.pi, N), wind, np.log(0.85)), believed())
    chance = np.random.default_rng(1)
    root = np.linalg.cholesky(glide.covariance + 1e-12 * np.eye(2 * N + 1))
    draws = chance.standard_normal((4000, 2 * N + 1)) @ root.T
    noise = chance.standard_normal((4000, 2 * N))
    weights = weights_of(glide, draws[:, :-1], draws[:, -1], noise)
    moved = draws + weights @ (glide.slope @ glide.covariance)
    assert moved[:, -1].mean() == pytest.approx(glide.log_factor, abs=0.003)
    assert moved[:, -1].std() == pytest.approx(glide.log_factor_sd, rel=0.05)
    assert moved[:, :-1].mean(axis=0) == pytest.approx(glide.wind_mps.ravel(), abs=0.1)
    wide = moved[:, :-1].std(axis=0).reshape(N, 2)
    assert np.sqrt((wide**2).mean(axis=1)) == pytest.approx(glide.wind_sd_mps, rel=0.07)


def test_errors_hang_together_over_a_depth() -> None:
    assert hangs_ratio(np.array([1000.0]), np.array([1000.0 + DEPTH_M])) == pytest.approx(
        np.exp(-1.0)
    )


def test_nothing_tells_nothing() -> None:
    some = stretches(np.zeros(N), np.zeros(2), 0.0)
    none = Stretches(*(one[:0] for one in some))
    with pytest.raises(InputError, match="Wait for a minute of straight glide"):
        glided(none, Believed(0.0, 0.1, np.zeros(0)))


@pytest.mark.parametrize("faster", [1.0, 1.2, 1.3, 1.4, 1.6])
@pytest.mark.parametrize("wind_sd_mps", [1.5, 3.0])
def test_a_crew_that_flies_fast_on_one_heading_teaches_no_worse_glide(
    faster: float, wind_sd_mps: float
) -> None:
    """What is flown faster sinks faster; on one heading nothing else tells of it."""
    some = stretches(np.zeros(N), np.zeros(2), 0.0, faster * TOLD_MPS)
    found = glided(some, believed(wind_sd_mps))
    assert abs(found.log_factor) < 2.0 * found.log_factor_sd
