"""Air errors: sizes and depths as stated on both ways, and what changes between the two."""

import math

import numpy as np
import pytest

from farglide.sim.core.airerrors import AirDoubts, AirErrors, Along, fill_air_errors, no_air_errors

N_DRAWS, N_LAYERS = 10_000, 60
SHALLOW, DEEP = np.linspace(1.0, 2.0, N_LAYERS), np.linspace(2.0, 5.0, N_LAYERS)
GROWN, KEPT = np.linspace(1.5, 0.0, N_LAYERS), np.linspace(0.2, 1.0, N_LAYERS)
SAME = np.linspace(0.8, 1.0, N_LAYERS)
DEEP_M, GROWN_M = np.full(N_LAYERS, 1800.0), np.full(N_LAYERS, 1100.0)
CALM = Along(np.zeros(N_LAYERS), np.zeros(N_LAYERS))
SIZES = SHALLOW, DEEP, DEEP, np.zeros(N_LAYERS), CALM, KEPT, SAME, GROWN, GROWN, 0.2
DOUBTS = AirDoubts(*SIZES, DEEP_M, GROWN_M, 350.0, 1000.0, 100.0)
HOME = np.sqrt(SHALLOW**2 + (SAME * DEEP) ** 2 + GROWN**2)


@pytest.fixture(scope="module")
def errors() -> AirErrors:
    out = no_air_errors(N_DRAWS, N_LAYERS)
    z = np.random.default_rng(4).standard_normal((N_DRAWS, DOUBTS.n_numbers))
    fill_air_errors(DOUBTS, z, out)
    return out


def r(a: np.ndarray, b: np.ndarray) -> float:  # type: ignore[type-arg]
    return float(np.corrcoef(a, b)[0, 1])


def test_sizes_add_as_variances_in_every_layer(errors: AirErrors) -> None:
    out = np.hypot(SHALLOW, DEEP)
    for found, wanted in (
        (errors.out_east_mps, out),
        (errors.out_north_mps, out),
        (errors.home_east_mps, HOME),
        (errors.home_north_mps, HOME),
        (errors.rise_mps, np.full(N_LAYERS, 0.2)),
    ):
        assert found.dtype == np.float32
        np.testing.assert_allclose(found.std(axis=0), wanted, rtol=0.05)


def test_the_way_home_shares_what_did_not_change(errors: AirErrors) -> None:
    for out, home in (
        (errors.out_east_mps, errors.home_east_mps),
        (errors.out_north_mps, errors.home_north_mps),
    ):
        shared = SAME * DEEP**2 + KEPT * SHALLOW**2
        wanted = shared / np.hypot(SHALLOW, DEEP) / HOME
        found = [r(out[:, k], home[:, k]) for k in range(N_LAYERS)]
        np.testing.assert_allclose(found, wanted, atol=0.02)
        # at the top there is no time between the two
        np.testing.assert_allclose(out[:, -1], home[:, -1], rtol=1e-5, atol=1e-5)


def test_layers_hang_together_by_both_depths(errors: AirErrors) -> None:
    for apart in (3, 10, 30):
        k = 10 + apart
        shallow = SHALLOW[10] * SHALLOW[k] * math.exp(-apart / 3.5)
        deep = math.exp(-apart / 18.0)
        out = (DEEP[10] * DEEP[k] * deep + shallow) / (
            math.hypot(SHALLOW[10], DEEP[10]) * math.hypot(SHALLOW[k], DEEP[k])
        )
        assert r(errors.out_east_mps[:, 10], errors.out_east_mps[:, k]) == pytest.approx(
            out, abs=0.04
        )
        renewed = KEPT[10] * KEPT[k] + math.sqrt((1.0 - KEPT[10] ** 2) * (1.0 - KEPT[k] ** 2))
        both = SAME[10] * SAME[k] * DEEP[10] * DEEP[k] * deep + renewed * shallow
        both += GROWN[10] * GROWN[k] * math.exp(-apart / 11.0)
        assert r(errors.home_north_mps[:, 10], errors.home_north_mps[:, k]) == pytest.approx(
            both / HOME[10] / HOME[k], abs=0.04
        )
        assert r(errors.rise_mps[:, 10], errors.rise_mps[:, k]) == pytest.approx(
            math.exp(-apart / 10.0), abs=0.04
        )


def test_east_north_and_up_are_drawn_apart(errors: AirErrors) -> None:
    columns = [errors.out_east_mps[:, 5], errors.home_north_mps[:, 5], errors.rise_mps[:, 5]]
    assert np.abs(np.corrcoef(columns) - np.eye(3)).max() < 0.04


def test_air_as_the_column_has_it_has_no_errors() -> None:
    for one in no_air_errors(3, 7):
        assert one.shape == (3, 7)
        assert not one.any()


def test_errors_are_larger_along_the_wind_and_the_wind_is_slower() -> None:
    """Winds to the north-east at the bottom, turning to the north-west at the top."""
    toward = np.linspace(0.25, 0.75, N_LAYERS) * np.pi
    along = Along(np.cos(toward), np.sin(toward))
    doubts = DOUBTS._replace(
        shallow_mps=0.0 * SHALLOW,
        deep_along_mps=2.0 * DEEP,
        grown_along_mps=2.0 * GROWN,
        slower_mps=np.full(N_LAYERS, 4.0),
        along=along,
    )
    out = no_air_errors(N_DRAWS, N_LAYERS)
    z = np.random.default_rng(5).standard_normal((N_DRAWS, doubts.n_numbers))
    fill_air_errors(doubts, z, out)
    ways = (out.out_east_mps, out.out_north_mps), (out.home_east_mps, out.home_north_mps)
    for (east, north), size in zip(ways, (DEEP, np.hypot(SAME * DEEP, GROWN)), strict=True):
        ahead, aside = (
            east * along.east + north * along.north,
            east * along.north - north * along.east,
        )
        np.testing.assert_allclose(ahead.std(axis=0), 2.0 * size, rtol=0.05)
        np.testing.assert_allclose(aside.std(axis=0), size, rtol=0.05)
        np.testing.assert_allclose(ahead.mean(axis=0), -4.0, atol=0.4)
        np.testing.assert_allclose(aside.mean(axis=0), 0.0, atol=0.2)
        assert max(abs(r(ahead[:, k], aside[:, k])) for k in range(N_LAYERS)) < 0.04
    # at the top there is no time between the two
    np.testing.assert_allclose(out.out_east_mps[:, -1], out.home_east_mps[:, -1], atol=1e-5)
