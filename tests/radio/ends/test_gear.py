"""One end of a link: gain, loss, table and doubt against sums by hand."""

import math
from dataclasses import replace

import numpy as np
import pytest
from scipy.integrate import quad

from farglide.errors import InputError
from farglide.radio.antenna.beams import Yagi, even_beam_deg
from farglide.radio.antenna.helix import Helix
from farglide.radio.antenna.kinds import Antenna, Collinear, Dipole, Turnstile, pattern_of
from farglide.radio.antenna.measured import Measured
from farglide.radio.antenna.pattern import peak_dbi
from farglide.radio.antenna.shape import dipole_dbi
from farglide.radio.ends.end import ONLY_A_GAIN, End
from farglide.radio.ends.gear import (
    FAR_OFF_DB,
    N_SINES,
    EndGear,
    PolarisationGear,
    elevation_gain_db,
    end_gear,
    far_off,
    own_gain_dbi,
    own_pattern,
    pattern_at,
    polarisation_gear,
    tilt_at_deg,
)

TEN_TURNS = End(antenna=Helix(n_turns=10, spacing_wavelengths=0.236, circumference_wavelengths=1.0))
HANGING = End(antenna=Dipole(), pointing="down", aboard=True)


def made(end: End) -> EndGear:
    return end_gear(end, 99.0)  # the stated gain of the link counts for bare ends alone


def at(gear: EndGear, elevation_deg: float) -> float:
    """Return what the table has at an elevation."""
    sine = math.sin(math.radians(elevation_deg))
    return float(np.interp(sine, np.linspace(-1.0, 1.0, N_SINES), gear.table_db))


def test_of_a_bare_end_the_gain_counts_in_every_direction() -> None:
    gear = end_gear(replace(ONLY_A_GAIN, damage_db=4.0), 7.0)
    assert (gear.gain_dbi, gear.loss_db, gear.sd_db) == (7.0, 4.0, 0.0)
    assert not gear.table_db.any()
    assert gear.aim is None
    assert gear.width is None


def test_a_helix_brings_its_gain_and_its_aim() -> None:
    steady, by_hand = made(TEN_TURNS), made(replace(TEN_TURNS, aim_spread_deg=5.0))
    helix = TEN_TURNS.antenna
    assert isinstance(helix, Helix)
    assert steady.gain_dbi == pytest.approx(14.5, abs=0.05)  # Kraus, 8-5.3
    assert steady.loss_db == 0.0

    def weighted_db(off_deg: float) -> float:  # the lobe by the chance of the error, Rayleigh's
        chance = off_deg / 25.0 * math.exp(-off_deg * off_deg / 50.0)
        return -helix.shape_db(off_deg) * chance

    expected = quad(weighted_db, 0.0, 30.0)[0]
    assert by_hand.aim is not None
    assert by_hand.loss_db == by_hand.aim.mean_db == pytest.approx(expected, rel=0.01)
    # flatter at its top than the parabola through its half-power points, by a tenth
    assert by_hand.width is not None
    parabola_db = 24.0 * (5.0 / by_hand.width.level_deg) ** 2
    assert expected < parabola_db < 1.2 * expected
    assert by_hand.sd_db == pytest.approx(expected, rel=0.07)


def test_a_stated_gain_keeps_the_width() -> None:
    own, stated = made(TEN_TURNS), made(replace(TEN_TURNS, gain_dbi=13.0))
    assert stated.gain_dbi == pytest.approx(13.0)
    assert stated.width == pytest.approx(own.width)
    even_deg = math.sqrt(31_000.0 / 10.0**1.2)
    assert even_beam_deg(12.0) == pytest.approx(even_deg)
    twelve = End(antenna=Yagi(level_deg=even_deg, upright_deg=even_deg), gain_dbi=12.0)
    assert made(twelve).width == pytest.approx((even_deg, even_deg), abs=0.2)


@pytest.mark.parametrize("elevation_deg", [0.0, 20.0, 45.0, 70.0])
def test_a_hanging_dipole_hardly_speaks_straight_down(elevation_deg: float) -> None:
    # the dipole of test_shape.py, peak 2.15 dBi; 25 dB down is the filled null of 30
    gear = made(HANGING)
    assert gear.gain_dbi == pytest.approx(2.15, abs=0.005)
    expected = dipole_dbi(90.0 - elevation_deg) - dipole_dbi(90.0)
    assert at(gear, elevation_deg) == pytest.approx(expected, abs=0.06)
    assert at(gear, 90.0) < -25.0
    assert gear.sd_db == pytest.approx(0.0, abs=1e-9)
    assert gear.level_db == at(gear, 0.0)


def test_an_antenna_aboard_looks_down_where_one_on_the_ground_looks_up() -> None:
    half = End(antenna=Turnstile(gain_dbi=3.0, ripple_db=0.0), aboard=True)
    below, above = made(replace(half, pointing="down")), made(replace(half, pointing="up"))
    assert at(below, 60.0) == pytest.approx(0.0, abs=1e-9)
    assert at(above, 60.0) == pytest.approx(-15.0 * 60.0 / 90.0, abs=0.05)  # fades to its back
    ground = made(replace(half, pointing="up", aboard=False))
    assert at(ground, 60.0) == pytest.approx(0.0, abs=1e-9)


def test_a_swing_fills_the_null_and_widens_the_doubt() -> None:
    still, swung = (made(replace(HANGING, swing_deg=swing)) for swing in (0.0, 25.0))
    assert at(swung, 90.0) == pytest.approx(dipole_dbi(25.0) - dipole_dbi(90.0), abs=0.1)
    assert at(swung, 0.0) < at(still, 0.0)
    assert swung.sd_db > still.sd_db + 0.2


def test_damage_is_lost_everywhere_and_a_skew_leans() -> None:
    hurt, whole = made(replace(HANGING, damage_db=9.0, damage_skew_deg=40.0)), made(HANGING)
    assert hurt.loss_db == 9.0
    assert at(hurt, 90.0) == pytest.approx(dipole_dbi(40.0) - dipole_dbi(90.0), abs=0.1)
    assert hurt.sd_db > whole.sd_db
    level = replace(HANGING, pointing="level")  # it shows every side of itself already
    assert made(replace(level, damage_skew_deg=0.01)).sd_db == pytest.approx(
        made(level).sd_db, abs=0.01
    )


def test_a_bent_beam_keeps_what_it_has_at_the_angle_of_the_skew() -> None:
    beam = End(antenna=Yagi(level_deg=40.0, upright_deg=40.0), damage_skew_deg=20.0)
    assert made(beam).loss_db == pytest.approx(3.0, abs=0.05)


def test_a_beam_that_nobody_aims_has_a_width_and_a_table() -> None:
    gear = made(replace(TEN_TURNS, pointing="down", aboard=True))
    assert gear.width is not None
    assert gear.aim is None
    assert at(gear, 90.0) == pytest.approx(0.0, abs=1e-9)
    assert gear.level_db < -10.0


def crossed(one: str, other: str, swing_deg: float | None = None) -> PolarisationGear:
    aloft = End(polarisation=one, aboard=True, swing_deg=swing_deg)
    found = polarisation_gear(aloft, End(polarisation=other))
    assert found is not None
    assert polarisation_gear(End(polarisation=other), aloft) == pytest.approx(found, abs=1e-9)
    return found


@pytest.mark.parametrize(
    ("one", "other", "swing_deg", "mean_db", "worst_db"),
    # 10 log 2 of circle and line, 20 log 2 the mean over all rolls of two lines (see
    # test_polarisation.py); crosses are held at 30 dB, common practice, no source
    [
        ("linear upright", "right circular", None, 3.01, 3.01),
        ("linear upright", "linear upright", None, 6.02, 30.0),
        ("linear upright", "linear upright", 0.0, 0.0, 0.0),
        ("right circular", "right circular", None, 0.0, 0.0),
        ("right circular", "left circular", None, 30.0, 30.0),
        ("linear level", "linear upright", 0.0, 30.0, 30.0),
    ],
)
def test_mean_and_worst(
    one: str, other: str, swing_deg: float | None, mean_db: float, worst_db: float
) -> None:
    found = crossed(one, other, swing_deg)
    assert found.mean_db == pytest.approx(mean_db, abs=0.01)
    assert found.worst_db == pytest.approx(worst_db, abs=0.01)


def test_a_swing_has_the_mean_over_its_tilts() -> None:
    found = crossed("linear upright", "linear upright", 30.0)
    sides = np.linspace(0.0, 2.0 * math.pi, 100_000, endpoint=False)
    lost_db = -20.0 * np.log10(np.cos(np.radians(30.0) * np.sin(sides)))
    assert found.mean_db == pytest.approx(float(lost_db.mean()), abs=0.01)
    assert found.sd_db == pytest.approx(float(lost_db.std()), abs=0.01)
    assert found.worst_db == pytest.approx(1.25, abs=0.01)  # cos^2 of 30 degrees
    assert found.best_db == 0.0


def test_axial_ratios_open_the_wrong_hand() -> None:
    sender = End(polarisation="right circular", aboard=True, axial_ratio_db=3.0)
    found = polarisation_gear(sender, End(polarisation="left circular", axial_ratio_db=3.0))
    assert found is not None
    # two circles 3 dB off let 9.6 dB less than all through at best: the best case of the pair
    assert 9.6 < found.mean_db < found.worst_db == 30.0
    assert found.best_db == pytest.approx(9.6, abs=0.05)


def test_where_one_is_not_stated_nothing_is_known() -> None:
    assert polarisation_gear(End(), End(polarisation="linear level")) is None
    assert polarisation_gear(End(polarisation="linear level"), End()) is None


@pytest.mark.parametrize(
    ("polarisation", "tilt_deg"),
    [("linear level", 0.0), ("linear upright", 90.0), ("left circular", 45.0), ("unstated", 45.0)],
)
def test_tilts(polarisation: str, tilt_deg: float) -> None:
    assert tilt_at_deg(End(polarisation=polarisation)) == tilt_deg


SINES = np.linspace(-1.0, 1.0, N_SINES)


@pytest.mark.parametrize("elevation_deg", [0.0, 30.0, 60.0])
def test_a_whip_has_its_law_at_every_elevation(elevation_deg: float) -> None:
    table = elevation_gain_db(pattern_of(Dipole()), 2.15)
    assert table.shape == (N_SINES,)
    found = float(np.interp(math.sin(math.radians(elevation_deg)), SINES, table))
    assert found == pytest.approx(dipole_dbi(90.0 - elevation_deg) - 2.15, abs=0.05)
    assert table == pytest.approx(table[::-1])


def test_upside_looks_the_other_way() -> None:
    half = pattern_of(Turnstile(gain_dbi=3.0, ripple_db=0.0))
    on_the_ground, aloft = (elevation_gain_db(half, 3.0, upside=up) for up in (False, True))
    assert aloft == pytest.approx(on_the_ground[::-1])
    assert on_the_ground[-1] == pytest.approx(0.0)  # straight above, in its own half
    assert aloft[-1] == pytest.approx(-15.0)


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
    collinear = Collinear(gain_dbi=6.0, frequency_hz=869.5e6)
    assert own_gain_dbi(End(antenna=collinear, gain_dbi=6.0)) == pytest.approx(6.0)
