"""Bulge: the one edge of a bare round earth against brute force and against level profiles."""

import math

import numpy as np
import pytest

from farglide.radio.path.bulge import bulge_root_m, nearest_m
from farglide.radio.path.diffraction import bullington_loss_db, knife_edge_loss_db
from farglide.radio.path.parts import Heights
from farglide.radio.path.space import wavelength_m

EARTH_M = 8.5e6
HEIGHTS = [(3.0, 3.0), (0.1, 900.0), (3.0, 50.0), (30.0, 3.0), (10.0, 3000.0), (2000.0, 0.5)]


def roots_m(distance_m: float, heights_m: tuple[float, float], at_m: np.ndarray) -> np.ndarray:
    left = distance_m - at_m
    above = 0.5 * at_m * left / EARTH_M - (heights_m[0] * left + heights_m[1] * at_m) / distance_m
    return np.asarray(above * np.sqrt(2.0 * distance_m / (at_m * left)))


@pytest.mark.parametrize("heights_m", HEIGHTS)
@pytest.mark.parametrize("km", [2.0, 10.0, 40.0, 120.0])
def test_it_is_nearest_where_brute_force_finds_it(
    km: float, heights_m: tuple[float, float]
) -> None:
    distance_m = 1e3 * km
    u = np.geomspace(1e-6, 1e6, 200_001)
    everywhere = roots_m(distance_m, heights_m, distance_m * u / (1.0 + u))
    at_m = nearest_m(distance_m, heights_m, EARTH_M)
    assert 0.0 < at_m < distance_m
    found = float(roots_m(distance_m, heights_m, np.array(at_m)))
    assert found == pytest.approx(float(everywhere.max()), rel=1e-4, abs=1e-6)


@pytest.mark.parametrize("heights_m", HEIGHTS)
@pytest.mark.parametrize("km", [10.0, 40.0, 120.0, 250.0])
def test_its_loss_is_that_of_a_level_profile(km: float, heights_m: tuple[float, float]) -> None:
    distance_m = np.linspace(0.0, 1e3 * km, 40_001)
    level = distance_m, np.zeros_like(distance_m)
    nu = bulge_root_m(1e3 * km, heights_m, EARTH_M) / math.sqrt(wavelength_m(433e6))
    edge = knife_edge_loss_db(nu)
    # ITU-R P.526: what Bullington's construction makes of its one edge
    whole = edge + (1.0 - math.exp(-edge / 6.0)) * (10.0 + 0.02 * km)
    expected = bullington_loss_db(433e6, level, heights_m, EARTH_M)
    assert whole == pytest.approx(expected, abs=0.02)


def test_at_the_horizon_both_constructions_meet() -> None:
    sight_m = math.sqrt(2.0 * EARTH_M) * (math.sqrt(10.0) + math.sqrt(300.0))
    shares = 1.0 + np.linspace(-1e-4, 1e-4, 201)
    roots = [bulge_root_m(sight_m * share, Heights(10.0, 300.0), EARTH_M) for share in shares]
    assert (np.diff(roots) > 0.0).all()
    assert np.abs(roots).max() < 0.01
