"""Antennas by their data sheets: peak gains, floors, and what is refused."""

import math

import numpy as np
import pytest

from farglide.errors import ContradictionError, InputError
from farglide.radio.antenna.beams import Beam, Dish, PatchAntenna, Yagi, even_beam_deg
from farglide.radio.antenna.kinds import (
    Antenna,
    Collinear,
    Dipole,
    Lobed,
    Monopole,
    Turnstile,
    pattern_of,
)
from farglide.radio.antenna.pattern import Pattern, gain_around_dbi, gain_towards_dbi, peak_dbi


@pytest.mark.parametrize(
    ("antenna", "peak"),
    [
        (Dipole(), 2.15),  # 1.64, textbook
        (Monopole(), 5.16),  # dipole + 3.01 dB
        (Beam(level_deg=30.0, upright_deg=60.0), 12.36),  # F.1336-5, 31000 / (a b)
        (Beam(level_deg=30.0, upright_deg=60.0, gain_dbi=11.0), 11.0),
        (Dish(diameter_m=1.0, frequency_hz=1280e6), 20.31),  # F.699-7, 7.7 + 20 log(D / lambda)
        (Collinear(gain_dbi=6.0, frequency_hz=869.5e6), 6.0),
        (Turnstile(gain_dbi=2.0, ripple_db=3.0), 0.5),
    ],
)
def test_peak_gains(antenna: Antenna, peak: float) -> None:
    assert peak_dbi(pattern_of(antenna)) == pytest.approx(peak, abs=0.006)


@pytest.mark.parametrize(
    ("elevation_deg", "printed_dbi"),
    # trap of the whip overhead: -5.4 dBi at 60 deg of elevation, -11.5 at 75 (computed)
    [(60.0, -5.4), (75.0, -11.5)],
)
def test_upright_whip_hardly_hears_what_is_overhead(
    elevation_deg: float, printed_dbi: float
) -> None:
    whip = pattern_of(Dipole())
    found_dbi = gain_towards_dbi(whip, 90.0 - elevation_deg)
    assert found_dbi == pytest.approx(printed_dbi, abs=0.05)
    assert gain_towards_dbi(whip, 0.0) == pytest.approx(2.15 - 30.0, abs=0.005)


def test_monopole_has_a_null_above_and_nothing_below() -> None:
    # dipole and image: 2.15 + 3.01 dBi; nulls 30 dB down are common practice, no source
    pattern = pattern_of(Monopole())
    assert gain_towards_dbi(pattern, 0.0) == pattern.floor_dbi
    assert gain_towards_dbi(pattern, 91.0) == pattern.floor_dbi
    assert pattern.floor_dbi == pytest.approx(5.16 - 30.0, abs=0.005)


def test_beam_is_3_db_down_at_half_each_width() -> None:
    pattern = pattern_of(Beam(level_deg=30.0, upright_deg=60.0, gain_dbi=12.0))
    assert gain_towards_dbi(pattern, 15.0) == pytest.approx(9.0, abs=0.01)
    assert gain_towards_dbi(pattern, 30.0, 90.0) == pytest.approx(9.0, abs=0.01)


def test_floor_of_a_beam() -> None:
    stated = pattern_of(Beam(level_deg=30.0, upright_deg=60.0, gain_dbi=12.0, side_lobe_db=14.0))
    assert gain_towards_dbi(stated, 180.0) == -2.0
    usual = pattern_of(Beam(level_deg=50.0, upright_deg=60.0, gain_dbi=10.0))
    assert gain_towards_dbi(usual, 180.0) == -10.0
    narrow = pattern_of(Beam(level_deg=10.0, upright_deg=10.0, gain_dbi=24.0))
    assert gain_towards_dbi(narrow, 180.0) == pytest.approx(-8.4, abs=1e-9)


def _radiated_db(pattern: Pattern) -> float:
    off_axis = np.linspace(0.0, math.pi, 721)
    rolls = np.linspace(0.0, math.pi, 24, endpoint=False)
    power = [
        np.mean([10.0 ** (0.1 * gain_around_dbi(pattern, float(off), float(r))) for r in rolls])
        for off in off_axis
    ]
    return 10.0 * math.log10(np.trapezoid(np.array(power) * np.sin(off_axis), off_axis) / 2.0)


@pytest.mark.parametrize("widths_deg", [(70.0, 70.0), (30.0, 60.0), (10.0, 20.0), (5.0, 5.0)])
def test_beam_and_its_usual_floor_radiate_what_they_are_fed(
    widths_deg: tuple[float, float],
) -> None:
    """The gain of F.1336-5 and the floor together: wide beams lose 1 dB, none makes power."""
    level_deg, upright_deg = widths_deg
    radiated_db = _radiated_db(pattern_of(Beam(level_deg=level_deg, upright_deg=upright_deg)))
    assert -1.0 < radiated_db < 0.15


def test_turnstile_is_even_in_front_and_falls_behind() -> None:
    pattern = pattern_of(Turnstile(gain_dbi=2.0, ripple_db=3.0, edge_deg=100.0, back_db=16.0))
    assert {gain_towards_dbi(pattern, angle) for angle in (0.0, 45.0, 99.5)} == {0.5}
    assert gain_towards_dbi(pattern, 140.0) == pytest.approx(0.5 - 8.0, abs=1e-9)
    assert gain_towards_dbi(pattern, 180.0) == pytest.approx(0.5 - 16.0, abs=1e-9)
    even = pattern_of(Turnstile(gain_dbi=1.0, ripple_db=2.0, edge_deg=180.0))
    assert {gain_towards_dbi(even, angle) for angle in (0.0, 90.0, 180.0)} == {0.0}


def test_far_lobes_of_a_large_dish_are_no_nulls() -> None:
    # F.699-7 at 100 wavelengths: 10 - 10 log 100 = -10 dBi, 57.7 dB below the peak
    dish = pattern_of(Dish(diameter_m=5.1683, frequency_hz=5800e6))
    assert gain_towards_dbi(dish, 90.0) == pytest.approx(-10.0, abs=0.01)
    assert peak_dbi(dish) == pytest.approx(47.7, abs=0.01)


def test_a_lobed_antenna_has_no_back() -> None:
    around = pattern_of(Lobed(gain_dbi=1.0, ripple_db=2.0))
    assert [gain_towards_dbi(around, angle) for angle in (0.0, 90.0, 180.0)] == [0.0, 0.0, 0.0]
    half = pattern_of(Turnstile(gain_dbi=1.0, ripple_db=2.0))
    assert gain_towards_dbi(half, 180.0) == pytest.approx(-15.0)


def test_a_yagi_and_a_patch_are_beams_by_other_names() -> None:
    for kind in (Yagi, PatchAntenna):
        found = pattern_of(kind(level_deg=30.0, upright_deg=60.0))
        assert np.array_equal(
            found.level_dbi, pattern_of(Beam(level_deg=30.0, upright_deg=60.0)).level_dbi
        )


@pytest.mark.parametrize("gain_dbi", [3.0, 9.0, 14.0])
def test_an_even_beam_stands_for_its_gain(gain_dbi: float) -> None:
    even_deg = even_beam_deg(gain_dbi)
    assert Beam(level_deg=even_deg, upright_deg=even_deg).peak_dbi == pytest.approx(gain_dbi)
    assert even_beam_deg(-3.0) == 150.0  # no beam is wider


def test_impossible_antennas_are_refused() -> None:
    with pytest.raises(InputError, match=r"ground_radius_wavelengths is 0.25.*take a dipole"):
        Monopole(ground_radius_wavelengths=0.25)
    with pytest.raises(InputError, match="level_deg is 0°"):
        Beam(level_deg=0.0, upright_deg=30.0)
    with pytest.raises(InputError, match="upright_deg is 200°"):
        Beam(level_deg=30.0, upright_deg=200.0)
    with pytest.raises(InputError, match="gain_dbi is 80 dBi"):
        Beam(level_deg=30.0, upright_deg=30.0, gain_dbi=80.0)
    with pytest.raises(InputError, match="Count below the peak"):
        Beam(level_deg=30.0, upright_deg=30.0, side_lobe_db=-20.0)
    with pytest.raises(ContradictionError, match=r"gain 20 dBi with beams of 30 x 30°.*16.6"):
        Beam(level_deg=30.0, upright_deg=30.0, gain_dbi=20.0)
    with pytest.raises(InputError, match=r"433\u2009920\u2009000 Hz.*as a beam"):
        Dish(diameter_m=3.0, frequency_hz=433.92e6)
    with pytest.raises(InputError, match=r"diameter_m is 100 m"):
        Dish(diameter_m=100.0, frequency_hz=1e9)
    with pytest.raises(InputError, match=r"0\.3 m, 1\.28 wavelengths"):
        Dish(diameter_m=0.3, frequency_hz=1280e6)
    with pytest.raises(InputError, match=r"gain_dbi is 0 dBi.*2.15 dBi"):
        Collinear(gain_dbi=0.0, frequency_hz=869.5e6)
    with pytest.raises(InputError, match="lobe_factor is 7"):
        Collinear(gain_dbi=6.0, frequency_hz=869.5e6, lobe_factor=7.0)
    with pytest.raises(InputError, match="give its gain alone"):
        Collinear(gain_dbi=6.0, frequency_hz=14e6)
    with pytest.raises(InputError, match=r"allowed: -10 to 5 dBi.*is this a beam"):
        Turnstile(gain_dbi=9.0, ripple_db=1.0)
    with pytest.raises(InputError, match="crest to trough"):
        Turnstile(gain_dbi=2.0, ripple_db=-1.0)
    with pytest.raises(InputError, match="edge_deg is 20°"):
        Turnstile(gain_dbi=2.0, ripple_db=1.0, edge_deg=20.0)
    with pytest.raises(InputError, match="Count below the front"):
        Turnstile(gain_dbi=2.0, ripple_db=1.0, back_db=-15.0)


@pytest.mark.parametrize(
    ("elevation_deg", "weaker_db"),
    # ITU-R F.1336-4, 2.2: 6 dBi has -8.33 and -9.63 dBi with k 0.7, -12.32 and -16.84 with k 0
    [(20.0, 0.0), (45.0, 3.99), (90.0, 7.21)],
)
def test_a_collinear_at_5_8_ghz_is_weaker_off_its_beam(
    elevation_deg: float, weaker_db: float
) -> None:
    low, high = (pattern_of(Collinear(gain_dbi=6.0, frequency_hz=f)) for f in (2.4e9, 5.8e9))
    found = [gain_towards_dbi(pattern, 90.0 - elevation_deg) for pattern in (low, high)]
    assert found[0] - found[1] == pytest.approx(weaker_db, abs=0.02)
    stated = pattern_of(Collinear(gain_dbi=6.0, frequency_hz=5.8e9, lobe_factor=0.7))
    assert gain_towards_dbi(stated, 90.0 - elevation_deg) == pytest.approx(found[0])
