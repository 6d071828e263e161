"""Leak fit: the gas that a hole lets out, and a grid that hands its shapes on."""

import numpy as np
import pytest

from farglide.errors import InputError
from farglide.track.climbfit import Timed
from farglide.track.drift import Been
from farglide.track.leakfit import LEAKS_RATIO, RATIOS_PS, Losses, Slowed, leaks_of, losses_of

T_S = 30.0 * np.arange(121.0)
BEEN = Been(T_S, 5.0 * T_S, 0 * T_S, 0 * T_S)


def test_gas_is_lost_as_the_root_of_the_density() -> None:
    even = losses_of(BEEN, np.full(121, 1.225), np.array([0.0, 1800.0, 3600.0]))
    np.testing.assert_allclose(even.from_s, 120.0 * np.arange(30))
    np.testing.assert_allclose(even.left_ratio[:, 0, 1], np.exp(-1800.0 * RATIOS_PS), rtol=1e-6)
    np.testing.assert_allclose(even.left_ratio[:, 15, 1], 1.0)  # begins only then
    thin = losses_of(BEEN, np.full(121, 1.225 / 4.0), np.array([3600.0]))
    np.testing.assert_allclose(thin.left_ratio[:, 0, 0], np.exp(-1800.0 * RATIOS_PS), rtol=1e-6)


def timed(n: int) -> Timed:
    at = 90.0 * np.arange(float(n))
    return Timed(5.0 * at, np.full(n, 450.0), np.full(n, 90.0), at + 45.0)


def slowed(n: int) -> Slowed:
    left = np.linspace(0.2, 1.0, 9)
    return Slowed(left, np.tile(np.sqrt(left) * 5.0, (n, 1)))


def test_too_little_of_a_climb_tells_nothing() -> None:
    said = np.full((20, 2), 450.0)
    losses = Losses(np.zeros(1), np.ones((len(RATIOS_PS), 1, 2)))
    found = leaks_of(timed(2), said, losses, slowed(2))
    assert found.chance_ratio == LEAKS_RATIO
    assert found.weight.sum() == pytest.approx(1.0)


def test_shapes_that_do_not_fit_are_refused() -> None:
    losses = Losses(np.zeros(1), np.ones((len(RATIOS_PS), 1, 3)))
    with pytest.raises(InputError, match=r"stretches is .*; allowed: as many as were timed, 2"):
        leaks_of(timed(2), np.full((20, 2), 450.0), losses, slowed(2))
