"""The turn against a hand-solved balance in the standard atmosphere."""

import math

import pytest

from farglide.air.standard import standard_air
from farglide.constants import STANDARD_GRAVITY_MPS2
from farglide.errors import InputError
from farglide.glider.limits import turn_load, turn_radius_m, turning_eas_mps


def test_turn_radius_at_30_km() -> None:
    """30 deg of bank at 30 km geopotential with C_L 0.68, 0.68 kg, 0.15 m2: 1420 m.

    By hand, no source. The path angle is the glider's own in that turn: drag
    0.034 (200 000 / Re)^0.4 + k C_L^2, aspect ratio 5.2, e 0.78, chord 0.17 m: 11.9 deg. At 30 km
    geometric the air is 2.2 % denser and the radius 1388 m.
    """
    air = standard_air(30_000.0)
    cos_bank, glide_rad = math.cos(math.radians(30.0)), 0.0
    for _ in range(20):
        lift_n = 0.68 * STANDARD_GRAVITY_MPS2 * math.cos(glide_rad) / cos_bank
        true_mps = math.sqrt(2.0 * lift_n / (air.rho_kgpm3 * 0.15 * 0.68))
        number = air.rho_kgpm3 * true_mps * 0.17 / air.viscosity_pas
        drag = 0.034 * (200_000.0 / number) ** 0.4 + 0.68**2 / (math.pi * 5.2 * 0.78)
        glide_rad = math.atan(drag / (0.68 * cos_bank))
    radius_m = turn_radius_m(0.68 / 0.15, 0.68, air.rho_kgpm3, 30.0, math.degrees(glide_rad))
    assert radius_m == pytest.approx(1420.0, abs=20.0)
    # the same circle from its forces: radius = V^2 cos^2 / (g tan(bank) cos)
    speed_mps = true_mps * math.cos(glide_rad)
    sideways_mps2 = STANDARD_GRAVITY_MPS2 * math.tan(math.radians(30.0)) * math.cos(glide_rad)
    assert radius_m == pytest.approx(speed_mps**2 / sideways_mps2, rel=1e-6)


def test_impossible_turns_are_refused() -> None:
    with pytest.raises(InputError, match="does not turn"):
        turn_radius_m(4.5, 0.68, 0.0184, 0.0, 10.0)
    with pytest.raises(InputError, match="mass / area"):
        turn_radius_m(0.0, 0.68, 0.0184, 30.0, 10.0)
    with pytest.raises(InputError, match="bank_deg"):
        turn_radius_m(4.5, 0.68, 0.0184, 90.0, 10.0)
    with pytest.raises(InputError, match="below the horizon"):
        turn_radius_m(4.5, 0.68, 0.0184, 30.0, -5.0)
    with pytest.raises(InputError, match="air_kgpm3"):
        turn_radius_m(4.5, 0.68, 0.0, 30.0, 10.0)
    with pytest.raises(InputError, match="lift"):
        turn_radius_m(4.5, 0.0, 0.0184, 30.0, 10.0)


def test_a_turn_bears_its_load_at_the_root_of_it() -> None:
    """60 deg of bank: two weights at 1.414 times the speed. From memory, every textbook has it."""
    assert turn_load(0.0) == 1.0
    assert turn_load(60.0) == pytest.approx(2.0)
    assert turning_eas_mps(10.0, turn_load(60.0)) == pytest.approx(14.142, abs=1e-3)
    with pytest.raises(InputError, match=r"bank_deg .*bank from level wings"):
        turn_load(85.0)
    with pytest.raises(InputError, match="load "):
        turning_eas_mps(10.0, 0.9)
