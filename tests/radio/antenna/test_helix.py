"""Helices against the examples of Kraus and integrals of their own shape."""

import math

import numpy as np
import pytest
from scipy.optimize import brentq

from farglide.errors import InputError
from farglide.radio.antenna.helix import Helix, HelixArray, row_db
from farglide.radio.antenna.kinds import pattern_of
from farglide.radio.antenna.pattern import gain_towards_dbi, peak_dbi

TEN_TURNS = Helix(n_turns=10, spacing_wavelengths=0.236, circumference_wavelengths=1.0)
FOUR = HelixArray(helix=TEN_TURNS, n_level=2, n_upright=2, apart_wavelengths=1.5)


def test_gain_of_one_and_of_four() -> None:
    # Kraus, Antennas, example 8-5.3: n = 10, S = 0.236, C = 1: 14.5 dBi; an array of 4: 20.5 dBi
    assert TEN_TURNS.gain_dbi == pytest.approx(14.5, abs=0.05)
    assert FOUR.gain_dbi == pytest.approx(20.5, abs=0.05)
    assert peak_dbi(pattern_of(TEN_TURNS)) == pytest.approx(14.5, abs=0.05)
    assert peak_dbi(pattern_of(FOUR)) == pytest.approx(20.5, abs=0.05)


def test_beamwidth_of_the_formula_and_of_the_shape() -> None:
    # 52 / (C sqrt(n S)) with n S = 2.36: 33.8 deg (Kraus, Antennas, from memory); the shape itself
    # is 3 deg wider
    shape_deg = 2.0 * brentq(lambda angle: TEN_TURNS.shape_db(angle) + 3.0103, 1.0, 35.0)
    assert shape_deg - 52.0 / 1.536229 == pytest.approx(3.25, abs=0.1)


@pytest.mark.parametrize("angle_deg", [0.0, 7.0, 25.0, 61.0, 95.0, 140.0, 180.0])
def test_shape_is_the_sum_of_its_turns(angle_deg: float) -> None:
    # one turn as cos(angle), each next one later by S cos(angle) in space and by the slow wave
    # along the wire, S + 1 + 1 / 2n wavelengths a turn (end-fire of increased directivity)
    cosine = math.cos(math.radians(angle_deg))
    delay = 2.0 * math.pi * (0.236 * cosine - (0.236 + 1.0 + 1.0 / 20.0))
    field = abs(np.exp(1j * delay * np.arange(10)).sum() * cosine)
    best = abs(np.exp(-2j * math.pi / 20.0 * np.arange(10)).sum())
    expected_db = max(20.0 * math.log10(field / best), -30.0)
    assert TEN_TURNS.shape_db(angle_deg) == pytest.approx(expected_db, abs=1e-9)


@pytest.mark.parametrize("n_members", [1, 2, 4])
@pytest.mark.parametrize("angle_deg", [0.0, 5.0, 20.0, 41.81031489577862, 80.0])
def test_row_is_the_sum_of_its_members(n_members: int, angle_deg: float) -> None:
    turn = 2.0 * math.pi * 1.5 * math.sin(math.radians(angle_deg))  # 41.8 deg: a grating lobe
    field = abs(np.exp(1j * turn * np.arange(n_members)).sum()) / n_members
    expected_db = max(20.0 * math.log10(max(field, 1e-9)), -30.0)
    assert row_db(angle_deg, n_members, 1.5) == pytest.approx(expected_db, abs=1e-6)


def _directivity_dbi(n_level: int, n_upright: int) -> float:
    """Return 4 pi over the integral of helix times both rows."""
    off_axis = np.linspace(0.0, math.pi, 721)[:, np.newaxis]
    roll = np.linspace(0.0, 2.0 * math.pi, 120, endpoint=False)[np.newaxis, :]
    power = np.power(
        10.0, [[0.1 * TEN_TURNS.shape_db(float(angle))] for angle in np.degrees(off_axis[:, 0])]
    )
    for n_members, share in ((n_level, np.cos(roll)), (n_upright, np.sin(roll))):
        turn = 2.0 * math.pi * 1.5 * np.sin(off_axis) * share
        power = power * abs(sum(np.exp(1j * turn * k) for k in range(n_members)) / n_members) ** 2
    mean = np.trapezoid(power.mean(axis=1) * np.sin(off_axis[:, 0]), off_axis[:, 0]) / 2.0
    return float(-10.0 * np.log10(mean))


def test_formula_of_one_agrees_with_its_integral_and_four_promise_more() -> None:
    assert _directivity_dbi(1, 1) == pytest.approx(TEN_TURNS.gain_dbi, abs=0.3)
    assert FOUR.gain_dbi - _directivity_dbi(2, 2) == pytest.approx(0.7, abs=0.05)


def test_a_row_narrows_its_own_plane_only() -> None:
    row = pattern_of(HelixArray(helix=TEN_TURNS, n_level=2, n_upright=1, apart_wavelengths=1.5))
    one = pattern_of(TEN_TURNS)
    added_db = 10.0 * math.log10(2.0)
    upright = gain_towards_dbi(row, 12.0, 90.0)
    assert upright == pytest.approx(gain_towards_dbi(one, 12.0) + added_db, abs=0.01)
    level = gain_towards_dbi(row, 12.0)
    assert level - upright == pytest.approx(row_db(12.0, 2, 1.5), abs=0.01)
    assert level < upright - 4.0


def test_helices_of_an_array_are_counted() -> None:
    six = HelixArray(helix=TEN_TURNS, n_level=2, n_upright=3, apart_wavelengths=1.5)
    assert six.n_helices == 6


def test_impossible_helices_are_refused() -> None:
    with pytest.raises(InputError, match="n_turns is 3"):
        Helix(n_turns=3, spacing_wavelengths=0.236, circumference_wavelengths=1.0)
    with pytest.raises(InputError, match="radiates along its axis"):
        Helix(n_turns=10, spacing_wavelengths=0.12, circumference_wavelengths=0.5)
    with pytest.raises(InputError, match=r"pitch of the helix is 26.*°"):
        Helix(n_turns=10, spacing_wavelengths=0.5, circumference_wavelengths=1.0)
    with pytest.raises(InputError, match="gains do not add up"):
        HelixArray(helix=TEN_TURNS, n_level=2, n_upright=2, apart_wavelengths=0.7)
    with pytest.raises(InputError, match="n_level is 0"):
        HelixArray(helix=TEN_TURNS, n_level=0, n_upright=2, apart_wavelengths=1.5)
    with pytest.raises(InputError, match="n_upright is 9"):
        HelixArray(helix=TEN_TURNS, n_level=2, n_upright=9, apart_wavelengths=1.5)
