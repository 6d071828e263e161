"""Wind errors: unit variance in every layer, correlated as exp(-dz / depth)."""

import math

import numpy as np
import pytest

from farglide.air.column import Column, Sounding, WindDoubt, build_column
from farglide.air.doubt import KNOT_M, _at_layer, correlated, knots_of, n_knots
from farglide.errors import InputError
from farglide.kernel import door

DEPTH_M = 3000.0
_on_layer = door(_at_layer)


@pytest.fixture(scope="module")
def column() -> Column:
    n = 5
    made = Sounding(
        gph_m=np.linspace(0.0, 40_000.0, n),
        p_pa=np.array([101_325.0, 26_436.0, 5474.9, 1172.0, 277.0]),
        t_k=np.full(n, 230.0),
        relative_humidity_ratio=np.full(n, np.nan),
        u_mps=np.zeros(n),
        v_mps=np.zeros(n),
        lat_deg=45.0,
        lon_deg=0.0,
        t_s=0.0,
        origin="made up",
    )
    return build_column(made, 240.0, WindDoubt())


@pytest.fixture(scope="module")
def errors(column: Column) -> np.ndarray[tuple[int, int], np.dtype[np.float64]]:
    rng = np.random.default_rng(11)
    return correlated(rng.standard_normal((10_000, n_knots(column))), DEPTH_M)  # type: ignore[return-value]


def on_layers(column: Column, errors: np.ndarray) -> np.ndarray:  # type: ignore[type-arg]
    knots = knots_of(column, DEPTH_M)
    lower = errors[:, knots.cell] * knots.lower_weight
    return np.asarray(lower + errors[:, knots.cell + 1] * knots.upper_weight)


def test_spread_is_one_at_every_layer(column: Column, errors: np.ndarray) -> None:  # type: ignore[type-arg]
    # 10 000 draws: the sample's own standard deviation is 0.7 %.
    sd = on_layers(column, errors).std(axis=0)
    assert len(sd) == 398
    assert np.abs(sd - 1.0).max() < 0.05
    assert sd.mean() == pytest.approx(1.0, abs=0.005)


def test_variance_is_exactly_one_between_knots(column: Column) -> None:
    # w0^2 + w1^2 + 2 w0 w1 r with r the correlation of neighbouring knots.
    knots = knots_of(column, DEPTH_M)
    r = math.exp(-KNOT_M / DEPTH_M)
    w0, w1 = knots.lower_weight, knots.upper_weight
    np.testing.assert_allclose(w0**2 + w1**2 + 2.0 * w0 * w1 * r, 1.0, rtol=1e-12)


def test_correlation_over_one_depth_is_one_over_e(errors: np.ndarray) -> None:  # type: ignore[type-arg]
    # Knots 3 km apart; each pair's sample correlation is good to 0.009, their mean to 0.003.
    apart = round(DEPTH_M / KNOT_M)
    pairs = [
        np.corrcoef(errors[:, k], errors[:, k + apart])[0, 1]
        for k in range(errors.shape[1] - apart)
    ]
    assert float(np.mean(pairs)) == pytest.approx(math.exp(-1.0), rel=0.05)


def test_correlation_between_layers_follows_the_law(column: Column, errors: np.ndarray) -> None:  # type: ignore[type-arg]
    # One and two depths apart. In the middle of a cell of 500 m two weighted knots hang together up
    # to 0.034 more than the law (see the exact test below); that much and the sample's 0.02.
    layers = on_layers(column, errors)
    for apart in (30, 60):
        for k in range(0, 330, 37):
            r = np.corrcoef(layers[:, k], layers[:, k + apart])[0, 1]
            assert r == pytest.approx(math.exp(-apart * 100.0 / DEPTH_M), abs=0.055)


def test_the_exact_correlation_of_layers_is_within_0_034_of_the_law(column: Column) -> None:
    knots = knots_of(column, DEPTH_M)
    n = n_knots(column)
    between = np.exp(-np.abs(np.subtract.outer(range(n), range(n))) * KNOT_M / DEPTH_M)
    weights = np.zeros((len(knots.cell), n))
    rows = np.arange(len(knots.cell))
    weights[rows, knots.cell] = knots.lower_weight
    weights[rows, knots.cell + 1] = knots.upper_weight
    r = weights @ between @ weights.T
    law = np.exp(-np.abs(np.subtract.outer(rows, rows)) * 100.0 / DEPTH_M)
    assert np.abs(r - law).max() < 0.08  # nearest neighbours, one smooth cell
    assert np.abs((r - law)[np.abs(np.subtract.outer(rows, rows)) >= 30]).max() < 0.034


def test_the_kernel_reads_what_the_weights_say(column: Column, errors: np.ndarray) -> None:  # type: ignore[type-arg]
    knots = knots_of(column, DEPTH_M)
    wanted = on_layers(column, errors[:3])
    for k in (0, 1, 4, 5, 200, 397):
        assert _on_layer(knots, errors[2], k) == pytest.approx(wanted[2, k], rel=1e-12)


def test_knots_span_any_column(column: Column) -> None:
    knots = knots_of(column, DEPTH_M)
    assert knots.cell.max() + 1 == n_knots(column) - 1
    assert knots.cell.min() == 0


def test_errors_of_one_draw_do_not_depend_on_the_others() -> None:
    z = np.random.default_rng(2).standard_normal((50, 81))
    np.testing.assert_array_equal(correlated(z, DEPTH_M)[:7], correlated(z[:7].copy(), DEPTH_M))


@pytest.mark.parametrize("depth", [0.0, -3.0, math.nan])
def test_a_depth_that_is_no_depth_is_refused(depth: float) -> None:
    with pytest.raises(InputError, match=r"depth_m is .* m; allowed: more than 0 m"):
        correlated(np.zeros((1, 3)), depth)
