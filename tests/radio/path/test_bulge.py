"""Bulge: the one edge of a bare round earth against brute force and against level profiles."""

import math

import numpy as np
import pytest
from numpy.typing import NDArray

from farglide.errors import InputError
from farglide.radio.path.bulge import bulge_root_m, clear_amsl_m, nearest_m
from farglide.radio.path.diffraction import bullington_db, knife_edge_loss_db
from farglide.radio.path.parts import Heights, Profile, WaveOverEarth
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
    level = Profile(distance_m, np.zeros_like(distance_m))
    wave_m = wavelength_m(433e6)
    nu = bulge_root_m(1e3 * km, heights_m, EARTH_M) / math.sqrt(wave_m)
    edge = knife_edge_loss_db(nu)
    # ITU-R P.526: what Bullington's construction makes of its one edge
    whole = edge + (1.0 - math.exp(-edge / 6.0)) * (10.0 + 0.02 * km)
    expected = bullington_db(level, Heights(*heights_m), WaveOverEarth(wave_m, EARTH_M))
    assert whole == pytest.approx(expected, abs=0.02)


def test_at_the_horizon_both_constructions_meet() -> None:
    sight_m = math.sqrt(2.0 * EARTH_M) * (math.sqrt(10.0) + math.sqrt(300.0))
    shares = 1.0 + np.linspace(-1e-4, 1e-4, 201)
    roots = [bulge_root_m(sight_m * share, Heights(10.0, 300.0), EARTH_M) for share in shares]
    assert (np.diff(roots) > 0.0).all()
    assert np.abs(roots).max() < 0.01


FloatArray = NDArray[np.float64]
EARTH_M_SIGHT = 4.0 / 3.0 * 6_371_000.0
FIELDS = ((0.0, 0.0, 240.0), (18.8, -11.8, 255.0), (30.1, -27.9, 265.0), (47.6, -33.5, 285.0))
KNAP, GAP = (18.0, -15.1, 470.0), (12.6, -9.9, 500.0)


def ground_m(x: FloatArray, y: FloatArray) -> FloatArray:
    """Return the demo's ground: swells, a ridge 16 km along the drift, a round hill, fields."""
    along = 0.7660 * x - 0.6428 * y
    ridge = 250.0 * np.exp(-(((along - 16.0) / 1.5) ** 2))
    hill = 216.0 * np.exp(-(((x - KNAP[0]) ** 2 + (y - KNAP[1]) ** 2) / 0.8**2))
    found = 250.0 + 15.0 * np.sin(x / 5.0) * np.cos(y / 7.0) + ridge + hill
    for east, north, amsl_m in FIELDS:
        found = np.where(np.hypot(x - east, y - north) < 0.6, amsl_m, found)
    return found


def lost_agl_m(
    stand: tuple[float, float, float], field: int, ratio: float, earth_m: float = EARTH_M_SIGHT
) -> float:
    """Return the least clear height over a field; the first 300 m round a stand count as clear."""
    east, north, amsl_m = FIELDS[field]
    whole = math.hypot(east - stand[0], north - stand[1])
    km = np.linspace(0.0, whole, 2001)
    x = stand[0] + (east - stand[0]) * km / whole
    y = stand[1] + (north - stand[1]) * km / whole
    ground = np.where(km < 0.3, -400.0, ground_m(x, y))
    clear = clear_amsl_m(2370e6, Profile(1e3 * km, ground), stand[2] + 3.0, earth_m, ratio)
    return max(clear - amsl_m, 0.0)


@pytest.mark.parametrize(
    ("ratio", "earth_m", "expected_m"),
    # computed by tests/by_hand: 391 m, 343 by the grazing line, 321 on a flat earth
    [(0.6, EARTH_M_SIGHT, 391.0), (0.0, EARTH_M_SIGHT, 343.0), (0.0, 1e12, 321.0)],
)
def test_the_picture_from_the_round_hill_is_lost_over_home(
    ratio: float, earth_m: float, expected_m: float
) -> None:
    assert lost_agl_m(KNAP, 0, ratio, earth_m) == pytest.approx(expected_m, abs=1.0)


def test_from_the_ridge_home_is_seen_nearly_to_the_ground() -> None:
    # tests/by_hand: 6 m, 7.5 m with points of 10 m: the crest is cut by the points of the profile
    assert lost_agl_m(GAP, 0, 0.6) == pytest.approx(6.0, abs=2.0)


@pytest.mark.parametrize("field", [1, 2])
def test_the_round_hill_sees_the_fields_near_it_to_the_ground(field: int) -> None:
    assert lost_agl_m(KNAP, field, 0.6) < 8.0


def test_one_edge_by_hand() -> None:
    # an edge of 100 m in the middle of 20 km over flat earth, antenna at 10 m: 190 m behind it
    along = (np.array([0.0, 10e3, 20e3]), np.array([0.0, 100.0, 0.0]))
    assert clear_amsl_m(1e9, along, 10.0, 1e15, 0.0) == pytest.approx(190.0)
    # with the zone of 38.7 m: the line must pass 100 + 0.6 x 38.7 at the edge
    zone = math.sqrt(0.299792458 * 10e3 * 10e3 / 20e3)
    assert clear_amsl_m(1e9, along, 10.0, 1e15) == pytest.approx(10.0 + 2.0 * (90.0 + 0.6 * zone))
    # there the edge takes nothing
    clear = clear_amsl_m(1e9, along, 10.0, 1e15)
    below = 100.0 - 0.5 * (10.0 + clear)
    nu = below * math.sqrt(2.0 / wavelength_m(1e9) * (1.0 / 10e3 + 1.0 / 10e3))  # ITU-R P.526
    assert knife_edge_loss_db(nu) < 0.1


def test_what_is_no_profile_is_refused() -> None:
    good = (np.array([0.0, 1e3, 2e3]), np.zeros(3))
    with pytest.raises(InputError, match="three or more"):
        clear_amsl_m(1e9, Profile(good[0][:2], good[1][:2]), 2.0, EARTH_M_SIGHT)
    with pytest.raises(InputError, match="rising from 0"):
        clear_amsl_m(1e9, Profile(good[0] + 1.0, good[1]), 2.0, EARTH_M_SIGHT)
    with pytest.raises(InputError, match="Fill holes"):
        clear_amsl_m(1e9, Profile(good[0], np.array([0.0, np.nan, 0.0])), 2.0, EARTH_M_SIGHT)
    with pytest.raises(InputError, match="clear_ratio"):
        clear_amsl_m(1e9, good, 2.0, EARTH_M_SIGHT, 2.0)
