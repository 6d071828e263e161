"""Model levels against analytic air; the open file is in test_open_forecasts.py."""

import numpy as np
import pytest

from farglide.constants import AIR_GAS_CONSTANT_JPKGK, STANDARD_GRAVITY_MPS2
from farglide.errors import SourceError
from farglide.sources.grids.modellevels import (
    at_pressures,
    full_pa,
    heights_gpm,
    hybrid_levels,
    virtual_k,
)

SCALE = AIR_GAS_CONSTANT_JPKGK / STANDARD_GRAVITY_MPS2


def coefficients(n: int) -> tuple[float, ...]:
    """Return half levels that bend with the ground below 200 hPa, evenly in the logarithm."""
    p_pa = np.concatenate([[0.0], np.geomspace(10.0, 100_000.0, n)])
    b = np.clip((p_pa - 20_000.0) / 80_000.0, 0.0, None)
    return (*(p_pa - 100_000.0 * b).tolist(), *b.tolist())


def numbers(n: int, n_taken: int) -> tuple[float, ...]:
    return tuple(float(n - k) for k in range(n_taken))


def test_air_of_one_temperature_is_a_logarithm_high() -> None:
    levels = hybrid_levels("a.grib", coefficients(90), numbers(90, 90))
    ground_pa = np.array([[95_000.0, 101_000.0], [60_000.0, 88_000.0]])
    half_pa = levels.half_pa(ground_pa)
    np.testing.assert_allclose(half_pa[0], ground_pa)
    warm = np.full((90, 2, 2), 250.0)
    found = heights_gpm(half_pa, warm, np.full((2, 2), 100.0))
    # The layer's mean pressure is not quite where the formula puts the full level: second order in
    # the thickness of a layer, a tenth of a scale height here.
    exact = 100.0 + SCALE * 250.0 * np.log(ground_pa / full_pa(half_pa))
    np.testing.assert_allclose(found[:-1], exact[:-1], atol=7.0)
    assert (np.diff(found, axis=0) > 0.0).all()


def test_the_error_falls_with_the_square_of_the_layers() -> None:
    errors = []
    for n in (50, 100, 200):
        levels = hybrid_levels("a.grib", coefficients(n), numbers(n, n))
        half_pa = levels.half_pa(np.array(100_000.0))
        t_k = 220.0 + 50.0 * full_pa(half_pa) / 100_000.0
        found = heights_gpm(half_pa, t_k, np.array(0.0))
        # T linear in p: z = R/g (220 ln(p0/p) + 50 (p0 - p) / 100 000).
        p_pa = full_pa(half_pa)
        exact = SCALE * (220.0 * np.log(1e5 / p_pa) + 50.0 * (1e5 - p_pa) / 1e5)
        errors.append(float(np.abs(found - exact)[p_pa > 2000.0].max()))
    assert errors[0] / errors[1] == pytest.approx(4.0, rel=0.15)
    assert errors[1] / errors[2] == pytest.approx(4.0, rel=0.15)


def test_the_highest_level_lies_the_logarithm_of_two_above_its_half_level() -> None:
    levels = hybrid_levels("a.grib", coefficients(20), numbers(20, 20))
    half_pa = levels.half_pa(np.array(100_000.0))
    assert half_pa[-1] == 0.0
    found = heights_gpm(half_pa, np.full(20, 250.0), np.array(0.0))
    exact = SCALE * 250.0 * np.log(1e5 / half_pa[-2])
    assert found[-1] - exact == pytest.approx(SCALE * 250.0 * np.log(2.0))


def test_moist_air_is_taken_as_warmer() -> None:
    warm = virtual_k(np.array([300.0], np.float32), np.array([0.01], np.float32))
    assert warm[0] == pytest.approx(300.0 * (1.0 + 0.01 * (1.0 / 0.62198 - 1.0)))
    assert virtual_k(np.array([300.0], np.float32), None)[0] == 300.0


def test_planes_at_pressures_are_linear_in_the_logarithm() -> None:
    p_pa = np.array([1e5, 5e4, 1e4, 1e3])[:, None, None] * np.array([[1.0, 0.7]])
    plane = {"t_k": np.log(p_pa) * 3.0}
    wanted = np.array([9e4, 7e4, 3e4, 1e3, 500.0])
    found = at_pressures(p_pa, plane, wanted)["t_k"]
    expected = np.broadcast_to(3.0 * np.log(wanted)[:, None, None], found.shape).copy()
    expected[0, 0, 1] = np.nan  # below the lowest of the second column
    expected[4] = np.nan
    np.testing.assert_allclose(found, expected, rtol=1e-6)


def test_levels_up_to_a_part_are_taken_from_the_lowest() -> None:
    levels = hybrid_levels("a.grib", coefficients(20), numbers(20, 8))
    assert len(levels.standard_pa) == 8
    assert levels.standard_pa[0] > levels.standard_pa[-1] > 100.0


@pytest.mark.parametrize(
    ("given", "taken", "reason"),
    [
        ((), (1.0,), "tells no coefficients of their pressures"),
        ((1.0, 2.0, 3.0), (1.0,), "tells no coefficients"),
        (coefficients(5), (4.0, 3.0), "levels 3 to 4 of 5, not all from 5 up"),
        (coefficients(5), (5.0, 3.0), "levels 3 to 5 of 5, not all from 5 up"),
        ((0.0, 2.0, 1.0, 0.0, 0.0, 0.0), (2.0, 1.0), "pressures do not fall upwards"),
    ],
)
def test_levels_that_cannot_be_summed_are_refused(
    given: tuple[float, ...], taken: tuple[float, ...], reason: str
) -> None:
    with pytest.raises(SourceError, match=reason):
        hybrid_levels("a.grib", given, taken)
