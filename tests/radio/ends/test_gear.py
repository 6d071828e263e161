"""One end of a link: gain, loss, table and doubt against sums by hand."""

import math
from dataclasses import replace

import numpy as np
import pytest
from scipy.integrate import quad

from farglide.radio.antenna.helix import Helix, helix_db
from farglide.radio.antenna.kinds import Dipole, Turnstile, Yagi, even_beam_deg
from farglide.radio.antenna.pointing import mean_pointing_loss_db
from farglide.radio.antenna.shape import dipole_dbi
from farglide.radio.ends.end import ONLY_A_GAIN, End
from farglide.radio.ends.gear import N_SINES, EndGear, end_gear

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
    assert steady.gain_dbi == pytest.approx(14.5, abs=0.05)  # Kraus, 8-5.3
    assert steady.loss_db == 0.0

    def weighted_db(off_deg: float) -> float:  # the lobe by the chance of the error, Rayleigh's
        chance = off_deg / 25.0 * math.exp(-off_deg * off_deg / 50.0)
        return -helix_db(off_deg, 10, 0.236) * chance

    expected = quad(weighted_db, 0.0, 30.0)[0]
    assert by_hand.aim is not None
    assert by_hand.loss_db == by_hand.aim.mean_db == pytest.approx(expected, rel=0.01)
    # flatter at its top than the parabola through its half-power points, by a tenth
    assert by_hand.width is not None
    parabola_db = mean_pointing_loss_db(5.0, by_hand.width.level_deg)
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
