"""Speeds, loads and turns against the standard atmosphere and hand-solved balances."""

import math

import pytest

from farglide.air.standard import StandardAir, standard_air
from farglide.constants import NOMINAL_EARTH_RADIUS_M, STANDARD_GRAVITY_MPS2
from farglide.errors import ContradictionError, InputError
from farglide.glider.limits import (
    bank_load,
    cas_to_mach,
    cas_to_tas_mps,
    dive_eas_mps,
    drop_to_speed_m,
    drop_to_speed_s,
    dynamic_pressure_pa,
    eas_mps,
    pull_load,
    reynolds,
    stall_eas_mps,
    tas_mps,
    top_eas_mps,
    turn_radius_m,
)

KNOT_MPS = 1852.0 / 3600.0
FOOT_M = 0.3048
# the example glider of all rows below: 1.5 kg, 0.30 m2, C_D0 0.030
MASS_KG, AREA_M2, ZERO_LIFT_DRAG = 1.5, 0.30, 0.030


def _air_at(geometric_m: float) -> StandardAir:
    return standard_air(
        NOMINAL_EARTH_RADIUS_M * geometric_m / (NOMINAL_EARTH_RADIUS_M + geometric_m)
    )


@pytest.mark.parametrize(
    ("feet", "ratio", "percent_per_1000_ft"),
    # 1 / sqrt(sigma) of the US Standard Atmosphere 1976 at a pressure altitude: the "2 % per
    # 1000 ft" of the classroom does not hold aloft
    [(20_000.0, 1.3700, 1.85), (30_000.0, 1.6349, 2.12), (60_000.0, 3.2593, 3.77)],
)
def test_true_airspeed_over_equivalent(
    feet: float, ratio: float, percent_per_1000_ft: float
) -> None:
    true_mps = tas_mps(1.0, standard_air(feet * FOOT_M).rho_kgpm3)
    assert true_mps == pytest.approx(ratio, rel=1e-3)
    assert (true_mps - 1.0) / (feet / 1000.0) * 100.0 == pytest.approx(
        percent_per_1000_ft, abs=0.005
    )


def test_airspeed_there_and_back() -> None:
    for air_kgpm3 in (1.225, 0.0889, 0.0184):
        assert eas_mps(tas_mps(10.3, air_kgpm3), air_kgpm3) == pytest.approx(10.3, rel=1e-12)
        pressure_pa = dynamic_pressure_pa(tas_mps(10.3, air_kgpm3), air_kgpm3)
        assert pressure_pa == pytest.approx(0.5 * 1.225 * 10.3**2, rel=1e-12)


@pytest.mark.parametrize(
    ("cas_mps", "gph_m", "true_mps", "mach"),
    # isentropic pitot equation in the US Standard Atmosphere 1976
    [(12.0, 10_000.0, 20.67, 0.0690), (12.0, 30_000.0, 97.69, 0.3237)],
)
def test_calibrated_airspeed_of_a_glider(
    cas_mps: float, gph_m: float, true_mps: float, mach: float
) -> None:
    air = standard_air(gph_m)
    assert cas_to_tas_mps(cas_mps, air.p_pa, air.sound_mps) == pytest.approx(true_mps, rel=1e-3)
    assert cas_to_mach(cas_mps, air.p_pa) == pytest.approx(mach, rel=1e-3)


def test_calibrated_airspeed_of_an_airliner() -> None:
    # 250 kt CAS at FL350 = 427 kt TAS, Mach 0.741
    air = standard_air(35_000.0 * FOOT_M)
    true_mps = cas_to_tas_mps(250.0 * KNOT_MPS, air.p_pa, air.sound_mps)
    assert true_mps / KNOT_MPS == pytest.approx(427.0, rel=1e-3)
    assert cas_to_mach(250.0 * KNOT_MPS, air.p_pa) == pytest.approx(0.741, rel=1e-3)


def test_slow_air_has_no_compressibility() -> None:
    air = standard_air(0.0)
    assert cas_to_tas_mps(12.0, air.p_pa, air.sound_mps) == pytest.approx(12.0, rel=1e-9)
    high = standard_air(10_000.0)
    expected = tas_mps(3.0, high.rho_kgpm3)  # Mach 0.02: the two laws meet
    assert cas_to_tas_mps(3.0, high.p_pa, high.sound_mps) == pytest.approx(expected, rel=1e-4)


@pytest.mark.parametrize(
    ("geometric_m", "number"),
    # Re = rho V c / mu at EAS 12 m/s on 0.18 m, US Standard Atmosphere 1976
    [(0.0, 1.479e5), (20_000.0, 5.014e4), (30_000.0, 2.199e4)],
)
def test_reynolds_number_falls_with_height(geometric_m: float, number: float) -> None:
    air = _air_at(geometric_m)
    true_mps = tas_mps(12.0, air.rho_kgpm3)
    value = reynolds(true_mps, 0.18, air.rho_kgpm3, air.viscosity_pas)
    assert value == pytest.approx(number, rel=0.005)


def test_stall_speed_by_hand() -> None:
    # 0.68 kg, 0.15 m2, C_L 0.85: sqrt(2 x 6.6685 / (1.225 x 0.15 x 0.85)) = 9.24 m/s EAS
    assert stall_eas_mps(0.68, 0.15, 0.85) == pytest.approx(9.24, abs=0.005)
    twice = stall_eas_mps(0.68, 0.15, 0.85, 2.0)
    assert twice == pytest.approx(math.sqrt(2.0) * stall_eas_mps(0.68, 0.15, 0.85), rel=1e-12)
    assert stall_eas_mps(0.68, 0.15, 0.85, 0.0) == 0.0


@pytest.mark.parametrize(
    ("geometric_m", "true_mps", "height_m", "seconds"),
    # drop from rest to the stall speed at C_L 1.0, drag ignored: V, V^2 / 2 g, V / g. The stall
    # takes standard gravity, the fall local gravity, as the table these rows come from did
    [
        (0.0, 8.95, 4.1, 0.91),
        (10_000.0, 15.40, 12.1, 1.58),
        (20_000.0, 33.21, 56.6, 3.41),
        (30_000.0, 72.98, 274.2, 7.51),
    ],
)
def test_drop_until_the_wing_carries(
    geometric_m: float, true_mps: float, height_m: float, seconds: float
) -> None:
    local = NOMINAL_EARTH_RADIUS_M / (NOMINAL_EARTH_RADIUS_M + geometric_m)
    gravity_mps2 = STANDARD_GRAVITY_MPS2 * local**2
    stall = tas_mps(stall_eas_mps(MASS_KG, AREA_M2, 1.0), _air_at(geometric_m).rho_kgpm3)
    assert stall == pytest.approx(true_mps, rel=0.005)
    assert drop_to_speed_m(stall, gravity_mps2) == pytest.approx(height_m, rel=0.005)
    assert drop_to_speed_s(stall, gravity_mps2) == pytest.approx(seconds, rel=0.005)


def test_vertical_dive() -> None:
    # sqrt(2 W / (rho0 S C_D0)) = 51.66 m/s EAS; 191.7 m/s, M 0.65 at 20 km; 421.4, M 1.40 at 30 km
    dive_mps = dive_eas_mps(MASS_KG, AREA_M2, ZERO_LIFT_DRAG)
    assert dive_mps == pytest.approx(51.66, rel=1e-3)
    for geometric_m, true_mps, mach in ((20_000.0, 191.7, 0.65), (30_000.0, 421.4, 1.40)):
        air = _air_at(geometric_m)
        assert tas_mps(dive_mps, air.rho_kgpm3) == pytest.approx(true_mps, rel=0.005)
        assert tas_mps(dive_mps, air.rho_kgpm3) / air.sound_mps == pytest.approx(mach, rel=0.005)


def test_dive_over_best_glide() -> None:
    # vertical terminal EAS = V_best sqrt(2 (L/D)max): ratio 5.320 for aspect ratio 9, e 0.85
    k = 1.0 / (math.pi * 9.0 * 0.85)
    best_mps = stall_eas_mps(MASS_KG, AREA_M2, math.sqrt(ZERO_LIFT_DRAG / k))
    assert best_mps == pytest.approx(9.71, abs=0.005)
    dive_mps = dive_eas_mps(MASS_KG, AREA_M2, ZERO_LIFT_DRAG)
    assert dive_mps / best_mps == pytest.approx(5.320, rel=1e-3)


def test_top_speed_is_structure_low_and_mach_high() -> None:
    low, high = _air_at(500.0), _air_at(30_000.0)
    assert top_eas_mps(32.0, 0.55, low.sound_mps, low.rho_kgpm3) == 32.0
    # by hand: 0.55 x 301.7 / 8.157 = 20.34 m/s (sound and density at 30 km: ISO 2533:1975)
    capped = top_eas_mps(32.0, 0.55, high.sound_mps, high.rho_kgpm3)
    assert capped == pytest.approx(20.34, abs=0.01)
    assert tas_mps(capped, high.rho_kgpm3) / high.sound_mps == pytest.approx(0.55, rel=1e-12)


def test_load_in_a_bank_and_in_a_pull() -> None:
    assert bank_load(0.0) == 1.0
    assert bank_load(60.0) == pytest.approx(2.0, rel=1e-12)  # 1 / cos(bank)
    assert bank_load(30.0, 12.0) == pytest.approx(
        math.cos(math.radians(12.0)) / 0.8660254, rel=1e-7
    )
    # n = 1 + V^2 / (g R): 40 m/s on 40 m, 5.079
    assert pull_load(40.0, 40.0, STANDARD_GRAVITY_MPS2) == pytest.approx(5.079, abs=0.005)


def test_turn_radius_at_30_km() -> None:
    """30 deg of bank at 30 km geopotential with C_L 0.68, 0.68 kg, 0.15 m2: 1420 m.

    The path angle is the glider's own in that turn: drag 0.034 (200 000 / Re)^0.4 + k C_L^2,
    aspect ratio 5.2, e 0.78, chord 0.17 m: 11.9 deg. At 30 km geometric the air is 2.2 % denser
    and the radius 1388 m.
    """
    air = standard_air(30_000.0)
    cos_bank, glide_rad = math.cos(math.radians(30.0)), 0.0
    for _ in range(20):
        lift_n = 0.68 * STANDARD_GRAVITY_MPS2 * math.cos(glide_rad) / cos_bank
        true_mps = math.sqrt(2.0 * lift_n / (air.rho_kgpm3 * 0.15 * 0.68))
        number = reynolds(true_mps, 0.17, air.rho_kgpm3, air.viscosity_pas)
        drag = 0.034 * (200_000.0 / number) ** 0.4 + 0.68**2 / (math.pi * 5.2 * 0.78)
        glide_rad = math.atan(drag / (0.68 * cos_bank))
    radius_m = turn_radius_m(0.68 / 0.15, 0.68, air.rho_kgpm3, 30.0, math.degrees(glide_rad))
    assert radius_m == pytest.approx(1420.0, abs=20.0)
    # the same circle from its forces: radius = V^2 cos^2 / (g tan(bank) cos)
    speed_mps = true_mps * math.cos(glide_rad)
    sideways_mps2 = STANDARD_GRAVITY_MPS2 * math.tan(math.radians(30.0)) * math.cos(glide_rad)
    assert radius_m == pytest.approx(speed_mps**2 / sideways_mps2, rel=1e-6)


def test_impossible_values_are_refused() -> None:
    with pytest.raises(InputError, match="eas_mps"):
        tas_mps(-1.0, 1.225)
    with pytest.raises(InputError, match="air_kgpm3"):
        eas_mps(10.0, 0.0)
    with pytest.raises(InputError, match="tas_mps"):
        dynamic_pressure_pa(math.nan, 1.225)
    with pytest.raises(InputError, match="chord_m"):
        reynolds(10.0, 17.0, 1.225, 1.8e-5)
    with pytest.raises(InputError, match="viscosity_pas"):
        reynolds(10.0, 0.17, 1.225, 18.0)
    with pytest.raises(InputError, match="1 hPa is 100 Pa"):
        cas_to_mach(12.0, 11.7)
    with pytest.raises(ContradictionError, match=r"Mach 2\.\d"):
        cas_to_mach(120.0, 1171.9)
    with pytest.raises(InputError, match="sound_mps"):
        cas_to_tas_mps(12.0, 1171.9, 1000.0)
    with pytest.raises(InputError, match="top_mach"):
        top_eas_mps(32.0, 0.0, 300.0, 0.02)
    with pytest.raises(InputError, match="Give kilograms"):
        stall_eas_mps(0.0, 0.15, 0.85)
    with pytest.raises(InputError, match="square metres"):
        stall_eas_mps(0.68, 1500.0, 0.85)
    with pytest.raises(InputError, match="load"):
        stall_eas_mps(0.68, 0.15, 0.85, -1.0)
    with pytest.raises(InputError, match="zero_lift_drag"):
        dive_eas_mps(0.68, 0.15, 0.0)
    with pytest.raises(InputError, match="bank_deg"):
        bank_load(90.0)
    with pytest.raises(InputError, match="below the horizon"):
        bank_load(30.0, -5.0)
    with pytest.raises(InputError, match="does not turn"):
        turn_radius_m(4.5, 0.68, 0.0184, 0.0, 10.0)
    with pytest.raises(InputError, match="mass / area"):
        turn_radius_m(0.0, 0.68, 0.0184, 30.0, 10.0)
    with pytest.raises(InputError, match="radius_m"):
        pull_load(40.0, 0.0, 9.8)
    with pytest.raises(InputError, match="gravity_mps2"):
        drop_to_speed_m(40.0, 1.6)
