"""Patterns of ends, and stated gains held against the antennas' own."""

import math

import numpy as np
import pytest

from farglide.errors import InputError
from farglide.radio.antenna.helix import Helix
from farglide.radio.antenna.kinds import Antenna, Collinear, Dipole, Yagi, pattern_of
from farglide.radio.antenna.measured import Measured
from farglide.radio.antenna.pattern import peak_dbi
from farglide.radio.ends.end import ONLY_A_GAIN, End
from farglide.radio.ends.gear import (
    FAR_OFF_DB,
    far_off,
    own_gain_dbi,
    own_pattern,
    pattern_at,
)

ROWS = ((0.0, 2.0), (30.0, 1.0), (60.0, -1.0), (90.0, -4.0), (120.0, -8.0), (150.0, -12.0),
        (180.0, -15.0))  # fmt: skip
HELIX = Helix(n_turns=10, spacing_wavelengths=0.236, circumference_wavelengths=1.0)


def test_a_stated_gain_lifts_the_pattern_and_keeps_its_shape() -> None:
    own, stated = pattern_of(HELIX), pattern_at(End(antenna=HELIX, gain_dbi=13.0))
    assert peak_dbi(stated) == pytest.approx(13.0)
    shift_db = 13.0 - peak_dbi(own)
    assert np.allclose(stated.level_dbi, own.level_dbi + shift_db)
    assert stated.upright_dbi is stated.level_dbi  # alike all round
    assert stated.floor_dbi == pytest.approx(own.floor_dbi + shift_db)


def test_both_planes_of_a_fan_are_lifted_and_without_a_gain_nothing_is() -> None:
    fan = Yagi(level_deg=30.0, upright_deg=60.0)
    own, stated = pattern_at(End(antenna=fan)), pattern_at(End(antenna=fan, gain_dbi=11.0))
    assert np.array_equal(own.level_dbi, pattern_of(fan).level_dbi)
    shift_db = 11.0 - 10.0 * math.log10(31_000.0 / 1800.0)  # F.1336
    assert np.allclose(stated.upright_dbi - own.upright_dbi, shift_db)
    assert np.allclose(stated.level_dbi - own.level_dbi, shift_db)


def test_a_measured_antenna_has_its_rows_once_they_are_read() -> None:
    read = End(antenna=Measured(level=ROWS), pattern_paths=("whip.csv",))
    assert own_gain_dbi(read) == pytest.approx(2.0)
    assert peak_dbi(own_pattern(read)) == pytest.approx(2.0)
    with pytest.raises(InputError, match=r"whip\.csv, not read.*when a flight is gathered"):
        own_pattern(End(pattern_paths=("whip.csv",)))


@pytest.mark.parametrize("end", [ONLY_A_GAIN, End(pattern_paths=("whip.csv",))])
def test_where_nothing_says_a_gain_there_is_none(end: End) -> None:
    assert math.isnan(own_gain_dbi(end))
    assert far_off(end) == ""


@pytest.mark.parametrize(
    ("antenna", "own_dbi", "whence"),
    [
        (Dipole(), 2.15, "the formula of this dipole gives 2.2 dBi."),
        (HELIX, 14.52, "the formula of this helix gives 14.5 dBi."),  # Kraus, 8-5.3
        (Measured(level=ROWS), 2.0, "its file gives 2.0 dBi."),
    ],
)
def test_more_than_three_decibels_off_is_asked_about(
    antenna: Antenna, own_dbi: float, whence: str
) -> None:
    near_dbi, far_dbi = own_dbi + FAR_OFF_DB - 0.1, own_dbi - FAR_OFF_DB - 0.1
    assert far_off(End(antenna=antenna)) == ""
    assert far_off(End(antenna=antenna, gain_dbi=near_dbi)) == ""
    assert far_off(End(antenna=antenna, gain_dbi=far_dbi)) == f"is {far_dbi:g} dBi, but {whence}"


def test_a_collinear_is_what_it_is_said_to_be() -> None:
    assert own_gain_dbi(End(antenna=Collinear(gain_dbi=6.0), gain_dbi=6.0)) == pytest.approx(6.0)
