"""Learnt air: held against the textbook's conditional normal law over the numbers drawn."""

import numpy as np
import pytest

from farglide.arrays import FloatArray
from farglide.errors import InputError
from farglide.sim.core.airerrors import (
    AirDoubts,
    AirErrors,
    Along,
    fill_air_errors,
    no_air_errors,
)
from farglide.sim.core.learnt import (
    Measured,
    learnt,
    with_learnt,
)

N_LAYERS, N_DRAWS = 24, 6000
TOWARD = np.linspace(0.1, 1.4, N_LAYERS)
DOUBTS = AirDoubts(
    shallow_mps=np.linspace(0.8, 1.4, N_LAYERS),
    deep_mps=np.linspace(2.0, 5.0, N_LAYERS),
    deep_along_mps=np.linspace(3.0, 9.0, N_LAYERS),
    slower_mps=np.linspace(0.0, 2.0, N_LAYERS),
    along=Along(np.cos(TOWARD), np.sin(TOWARD)),
    shallow_kept_ratio=np.linspace(0.1, 1.0, N_LAYERS),
    deep_kept_ratio=np.linspace(0.8, 1.0, N_LAYERS),
    grown_mps=np.linspace(1.5, 0.0, N_LAYERS),
    grown_along_mps=np.linspace(2.5, 0.0, N_LAYERS),
    vertical_mps=0.2,
    deep_depth_m=np.linspace(1500.0, 700.0, N_LAYERS),
    grown_depth_m=np.full(N_LAYERS, 1100.0),
    shallow_depth_m=350.0,
    vertical_depth_m=1000.0,
    step_m=100.0,
)


def measured() -> Measured:
    """Return three stretches: one layer, two layers in unequal shares, and the next four."""
    share = np.zeros((3, N_LAYERS))
    share[0, 2], share[1, 5], share[1, 6], share[2, 7:11] = 1.0, 0.3, 0.7, 0.25
    off = np.array([[4.0, -3.0], [-2.0, 1.0], [6.0, 2.5]])
    return Measured(share, off, np.array([0.4, 0.3, 0.6]))


def askew() -> Measured:
    """Return the same stretches measured across a line well, and along it hardly at all."""
    covariance = np.zeros((3, 2, 2))
    for k, (turn, wide_mps) in enumerate([(0.3, 2.0), (1.2, 5.0), (2.5, 0.9)]):
        to = np.array([[np.cos(turn), -np.sin(turn)], [np.sin(turn), np.cos(turn)]])
        covariance[k] = to @ np.diag([wide_mps**2, 0.3**2]) @ to.T
    return measured()._replace(noise_mps2=covariance)


def rows(errors: AirErrors) -> FloatArray:
    """Return the draws' errors of both ways, (n_draws, 4 n_layers): up east, up north, home …."""
    return np.concatenate(errors[:4], axis=1).astype(np.float64)


def drawn(normals: FloatArray) -> AirErrors:
    out = no_air_errors(len(normals), N_LAYERS)
    fill_air_errors(DOUBTS, normals, out)
    return out


def by_the_book(found: Measured) -> tuple[FloatArray, FloatArray]:
    """Return mean and covariance of all errors given what was measured.

    The errors are linear in the numbers drawn: each number alone gives a column of that map.
    Source: conditional normal law, Anderson, An Introduction to Multivariate Statistical Analysis,
    theorem 2.5.1, from memory.
    """
    mean = rows(drawn(np.zeros((1, DOUBTS.n_numbers))))[0]
    unit = np.eye(DOUBTS.n_numbers)
    linear = (rows(drawn(unit)) - mean).T
    n = len(found.sd_mps)
    looked = np.zeros((2 * n, 4 * N_LAYERS))
    looked[0::2, :N_LAYERS] = found.share_ratio
    looked[1::2, N_LAYERS : 2 * N_LAYERS] = found.share_ratio
    before = linear @ linear.T
    noise = np.diag(np.repeat(found.sd_mps**2, 2))
    if found.noise_mps2 is not None:
        noise = np.zeros((2 * n, 2 * n))
        for k, block in enumerate(found.noise_mps2):
            noise[2 * k : 2 * k + 2, 2 * k : 2 * k + 2] = block
    seen = looked @ before @ looked.T + noise
    gain = before @ looked.T @ np.linalg.inv(seen)
    missed = found.off_mps.reshape(-1) - looked @ mean
    return mean + gain @ missed, before - gain @ looked @ before


@pytest.mark.parametrize("found", [measured(), askew()], ids=["alike", "askew"])
def test_mean_and_doubt_are_those_of_the_conditional_normal_law(found: Measured) -> None:
    mean, cov = by_the_book(found)
    for way, known in enumerate(learnt(DOUBTS, found)):
        of = slice(2 * way * N_LAYERS, 2 * (way + 1) * N_LAYERS)
        np.testing.assert_allclose(known.mean_mps, mean[of].reshape(2, N_LAYERS).T, atol=2e-5)
        variance = np.diag(cov)[of].reshape(2, N_LAYERS).mean(axis=0)
        np.testing.assert_allclose(known.sd_mps, np.sqrt(variance), rtol=1e-4)


@pytest.mark.parametrize("found", [measured(), askew()], ids=["alike", "askew"])
def test_draws_have_that_mean_and_covariance(found: Measured) -> None:
    rng = np.random.default_rng(8)
    errors = drawn(rng.standard_normal((N_DRAWS, DOUBTS.n_numbers)))
    moved = rows(with_learnt(DOUBTS, errors, found, rng.standard_normal((N_DRAWS, 6))))
    mean, cov = by_the_book(found)
    sd = np.sqrt(np.diag(cov))
    assert np.abs((moved.mean(axis=0) - mean) / sd).max() < 5.0 / np.sqrt(N_DRAWS)
    # of a correlation from n draws the error is 1 over the root of n: 5 of them
    ratio = (np.cov(moved.T) - cov) / np.outer(sd, sd)
    assert np.abs(ratio).max() < 5.0 * np.sqrt(2.0 / N_DRAWS)


def test_where_measuring_is_exact_each_draw_has_the_wind_that_came() -> None:
    rng = np.random.default_rng(9)
    errors = drawn(rng.standard_normal((50, DOUBTS.n_numbers)))
    exact = measured()._replace(sd_mps=np.full(3, 1e-4))
    moved = with_learnt(DOUBTS, errors, exact, rng.standard_normal((50, 6)))
    east, north = (one @ exact.share_ratio.T for one in moved[:2])
    np.testing.assert_allclose(east, np.tile(exact.off_mps[:, 0], (50, 1)), atol=2e-3)
    np.testing.assert_allclose(north, np.tile(exact.off_mps[:, 1], (50, 1)), atol=2e-3)
    assert moved.rise_mps is errors.rise_mps


def test_the_deep_part_is_learnt_upward_and_the_shallow_one_is_not() -> None:
    """One exact layer: above it the deep error's share decays by its depth, less the shallow's."""
    even = DOUBTS._replace(
        deep_depth_m=np.full(N_LAYERS, 1000.0), slower_mps=np.zeros(N_LAYERS),
        shallow_mps=np.full(N_LAYERS, 1.0), deep_mps=np.full(N_LAYERS, 3.0),
        deep_along_mps=np.full(N_LAYERS, 3.0), shallow_depth_m=10.0,
        deep_kept_ratio=np.ones(N_LAYERS),
    )  # fmt: skip
    share = np.zeros((1, N_LAYERS))
    share[0, 3] = 1.0
    found = learnt(even, Measured(share, np.array([[5.0, 0.0]]), np.array([1e-6]))).home
    above = np.arange(4, N_LAYERS)
    wanted = 5.0 * 9.0 / 10.0 * np.exp(-(above - 3) / 10.0)
    np.testing.assert_allclose(found.mean_mps[4:, 0], wanted, rtol=0.01)
    np.testing.assert_allclose(found.mean_mps[:, 1], 0.0, atol=1e-9)
    assert (np.diff(found.known_ratio[4:]) < 0.0).all()


def test_more_that_is_measured_moves_a_draw_and_redraws_none() -> None:
    rng = np.random.default_rng(10)
    errors, noise = (
        drawn(rng.standard_normal((20, DOUBTS.n_numbers))),
        rng.standard_normal((20, 6)),
    )
    whole = measured()
    part = whole.rows(np.arange(2))
    first = with_learnt(DOUBTS, errors, part, noise[:, :4])
    # told in the third stretch just what a draw expects there, it stays as it was
    seen = (
        first.out_east_mps[0] @ whole.share_ratio[2],
        first.out_north_mps[0] @ whole.share_ratio[2],
    )
    off = whole.off_mps.copy()
    off[2] = np.array(seen) + whole.sd_mps[2] * noise[0, 4:]
    second = with_learnt(DOUBTS, errors, whole._replace(off_mps=off), noise)
    np.testing.assert_allclose(second.home_east_mps[0], first.home_east_mps[0], atol=1e-4)
    assert np.abs(second.home_east_mps[1] - first.home_east_mps[1]).max() > 0.01


def test_nothing_measured_is_nothing_learnt() -> None:
    none = Measured(np.zeros((0, N_LAYERS)), np.zeros((0, 2)), np.zeros(0))
    errors = drawn(np.random.default_rng(3).standard_normal((4, DOUBTS.n_numbers)))
    assert with_learnt(DOUBTS, errors, none, np.zeros((4, 0))) is errors
    found = learnt(DOUBTS, none).home
    assert not found.known_ratio.any()
    linear = rows(drawn(np.eye(DOUBTS.n_numbers))) - rows(drawn(np.zeros((1, DOUBTS.n_numbers))))
    variance = (linear**2).sum(axis=0)[2 * N_LAYERS :].reshape(2, N_LAYERS).mean(axis=0)
    np.testing.assert_allclose(found.sd_mps, np.sqrt(variance), rtol=1e-5)


@pytest.mark.parametrize(
    ("name", "value", "said"),
    [
        ("share_ratio", np.zeros((3, 5)), r"share_ratio is of shape \(3, 5\); allowed: \(3, 24\)"),
        ("off_mps", np.full((3, 2), np.nan), r"off_mps is of shape \(3, 2\); allowed: .* finite"),
        ("sd_mps", np.array([1.0, 0.0, 1.0]), r"sd_mps is 0 m/s; allowed: more than 0 m/s"),
    ],
)
def test_what_is_no_measurement_is_refused(name: str, value: FloatArray, said: str) -> None:
    with pytest.raises(InputError, match=said):
        learnt(DOUBTS, measured()._replace(**{name: value}))


def test_too_few_numbers_are_refused() -> None:
    errors = drawn(np.zeros((2, DOUBTS.n_numbers)))
    with pytest.raises(InputError, match=r"normals is \(2, 4\); allowed: \(2, 6\), two a stretch"):
        with_learnt(DOUBTS, errors, measured(), np.zeros((2, 4)))
