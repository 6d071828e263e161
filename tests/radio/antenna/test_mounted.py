"""Mounted patterns: closed forms, kept power, and directions turned one by one."""

import math

import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from farglide.errors import InputError
from farglide.radio.antenna.beams import Beam, Dish
from farglide.radio.antenna.helix import Helix
from farglide.radio.antenna.kinds import Dipole, pattern_of
from farglide.radio.antenna.mounted import aim_loss, axis_dbi, half_power, mounted
from farglide.radio.antenna.pattern import Pattern, gain_around_dbi

TEN_TURNS = Helix(n_turns=10, spacing_wavelengths=0.236, circumference_wavelengths=1.0)


def test_an_upright_antenna_that_stands_still_is_itself() -> None:
    whip = pattern_of(Dipole())
    found = mounted(whip, "up")
    assert found.pattern.level_dbi == pytest.approx(whip.level_dbi, abs=1e-9)
    assert found.sd_db == pytest.approx(np.zeros(181), abs=1e-9)
    turned = mounted(pattern_of(TEN_TURNS), "down").pattern
    assert turned.level_dbi[::-1] == pytest.approx(pattern_of(TEN_TURNS).level_dbi, abs=1e-9)


def test_a_level_dipole_over_headings_against_the_law() -> None:
    # straight up it is always seen broadside; at the horizon under every angle from its wire
    found = mounted(pattern_of(Dipole()), "level")
    assert found.pattern.level_dbi[0] == pytest.approx(2.15, abs=0.01)
    assert found.sd_db[0] == pytest.approx(0.0, abs=1e-9)

    def power(angle: float) -> float:
        return 1.6409 * (math.cos(0.5 * math.pi * math.cos(angle)) / math.sin(angle)) ** 2

    assert found.sd_db[90] > 3.0
    # the gain rises with the angle from the wire: half of the headings see more than 45 degrees
    assert found.pattern.level_dbi[90] == pytest.approx(
        10.0 * math.log10(power(math.pi / 4.0)), abs=0.1
    )


def test_half_of_the_sides_of_a_lean_lie_nearer() -> None:
    """A round pattern that falls by a tenth of a decibel for each degree off its level."""
    angle_deg = np.linspace(0.0, 180.0, 181)
    falling = -0.1 * np.abs(angle_deg - 90.0)
    found = mounted(Pattern(falling, falling, -9.0), "up", 20.0)
    # at the horizon a side at an angle s from the line of sight tilts it by asin(sin 20 cos s)
    middle_deg = math.degrees(math.asin(math.sin(math.radians(20.0)) * math.cos(math.pi / 4.0)))
    assert found.pattern.level_dbi[90] == pytest.approx(-0.1 * middle_deg, abs=0.01)
    assert found.pattern.level_dbi[0] == pytest.approx(
        -7.0, abs=0.01
    )  # straight up, 20 degrees off


@pytest.mark.parametrize("from_up_deg", [30.0, 90.0])
def test_a_leaning_level_fan_is_turned_direction_by_direction(from_up_deg: float) -> None:
    """Headings and sides drawn by chance, the line of sight turned into the antenna's own axes."""
    pattern = pattern_of(Beam(level_deg=100.0, upright_deg=40.0))
    found = mounted(pattern, "level", 25.0)
    rng = np.random.default_rng(5)
    seen = np.array([math.sin(math.radians(from_up_deg)), 0.0, math.cos(math.radians(from_up_deg))])
    gains = []
    for heading, side in rng.uniform(0.0, 2.0 * math.pi, (6000, 2)):
        level = Rotation.from_euler("z", -heading)
        lean = Rotation.from_rotvec(
            math.radians(25.0) * np.array([-math.sin(side), math.cos(side), 0.0])
        )
        ahead, right, up = level.apply(lean.apply(seen))
        gains.append(gain_around_dbi(pattern, math.acos(ahead), math.atan2(up, right)))
    cell = round(from_up_deg * (len(found.pattern.level_dbi) - 1) / 180.0)
    assert found.pattern.level_dbi[cell] == pytest.approx(np.median(gains), abs=0.5)
    assert found.sd_db[cell] == pytest.approx(np.std(gains), abs=0.3)


@pytest.mark.parametrize("aim_deg", [0.0, 2.0, 5.0, 12.0])
@pytest.mark.parametrize("width_deg", [20.0, 44.0])
def test_the_mean_loss_of_an_aim_is_that_of_the_closed_form(
    aim_deg: float, width_deg: float
) -> None:
    beam = Beam(level_deg=width_deg, upright_deg=width_deg, side_lobe_db=20.0)
    found = aim_loss(pattern_of(beam), aim_deg)
    # the square of the error is exponential; the parabola with its floor over it
    bare_db = 24.0 * (aim_deg / width_deg) ** 2
    expected = bare_db * -math.expm1(-20.0 / bare_db) if bare_db else 0.0
    # the chords of the table lie up to 12 (0.5 deg / width)^2 below the parabola
    chord_db = 12.0 * (0.5 / width_deg) ** 2
    assert found.mean_db == pytest.approx(expected, rel=0.01, abs=chord_db)
    # without a floor, deviation and mean are one
    if 0.0 < expected < 2.0:
        assert found.sd_db == pytest.approx(expected, rel=0.03, abs=chord_db)


def test_unlike_planes_share_the_loss() -> None:
    # 12 sd^2 (1 / a^2 + 1 / b^2) for two beamwidths, far from the floor
    found = aim_loss(pattern_of(Beam(level_deg=30.0, upright_deg=60.0)), 4.0)
    assert found.mean_db == pytest.approx(12.0 * 16.0 * (1.0 / 900.0 + 1.0 / 3600.0), rel=0.03)


def test_a_bad_aim_of_a_hollow_pattern_costs_nothing() -> None:
    hollow = Pattern(*(np.linspace(-3.0, 6.0, 181),) * 2, -3.0)
    assert aim_loss(hollow, 10.0).mean_db == 0.0
    assert axis_dbi(hollow) == -3.0


def test_widths_are_those_stated() -> None:
    fan = pattern_of(Beam(level_deg=30.0, upright_deg=60.0))
    assert half_power(fan) == pytest.approx((30.0, 60.0), abs=0.2)
    # 70 wavelengths over the diameter, F.699
    dish = pattern_of(Dish(diameter_m=1.0, frequency_hz=1280e6))
    assert half_power(dish)[0] == pytest.approx(16.22, abs=0.2)
    even = Pattern(*(np.zeros(181),) * 2, 0.0)
    assert half_power(even) == (360.0, 360.0)


def test_what_is_out_of_range_is_refused() -> None:
    with pytest.raises(InputError, match="up, down, level"):
        mounted(pattern_of(Dipole()), "left")  # type: ignore[arg-type]
    with pytest.raises(InputError, match="Count from upright"):
        mounted(pattern_of(Dipole()), "up", 100.0)
    with pytest.raises(InputError, match="one standard deviation"):
        aim_loss(pattern_of(Dipole()), 31.0)
