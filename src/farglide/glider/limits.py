"""Bounds of flight: airspeeds, stall, top speed, load, turn, Mach and Reynolds number."""

import math
from typing import Final

from farglide.constants import (
    AIR_GAS_CONSTANT_JPKGK,
    AIR_HEAT_RATIO,
    SEA_LEVEL_DENSITY_KGPM3,
    SEA_LEVEL_PRESSURE_PA,
    SEA_LEVEL_TEMPERATURE_K,
    STANDARD_GRAVITY_MPS2,
)
from farglide.errors import ContradictionError, InputError, check_range
from farglide.kernel import compiled

# 340.294 m/s; ISO 2533:1975, table 1
SEA_LEVEL_SOUND_MPS: Final = math.sqrt(
    AIR_HEAT_RATIO * AIR_GAS_CONSTANT_JPKGK * SEA_LEVEL_TEMPERATURE_K
)


def tas_mps(eas_mps: float, air_kgpm3: float) -> float:
    """Return the true airspeed: EAS / sqrt(density / 1.225).

    >>> round(tas_mps(10.3, 0.01841), 0)
    84.0
    """
    return float(_tas_mps(_speed("eas_mps", eas_mps), _air(air_kgpm3)))


def eas_mps(tas_mps: float, air_kgpm3: float) -> float:
    """Return the equivalent airspeed: TAS x sqrt(density / 1.225)."""
    return float(_eas_mps(_speed("tas_mps", tas_mps), _air(air_kgpm3)))


def dynamic_pressure_pa(tas_mps: float, air_kgpm3: float) -> float:
    """Return the dynamic pressure, rho V^2 / 2."""
    return float(_dynamic_pressure_pa(_speed("tas_mps", tas_mps), _air(air_kgpm3)))


def reynolds(tas_mps: float, chord_m: float, air_kgpm3: float, viscosity_pas: float) -> float:
    """Return the Reynolds number of the chord, rho V c / mu.

    >>> round(reynolds(12.0, 0.18, 1.225, 1.7894e-5), -2)
    147900.0
    """
    check_range("chord_m", chord_m, "m", (0.005, 5.0), "Give metres.")
    check_range("viscosity_pas", viscosity_pas, "Pa s", (5.0e-6, 5.0e-5))
    speed_mps = _speed("tas_mps", tas_mps)
    return float(_reynolds(speed_mps, float(chord_m), _air(air_kgpm3), float(viscosity_pas)))


def cas_to_mach(cas_mps: float, pressure_pa: float) -> float:
    """Return the Mach number behind a calibrated airspeed.

    Valid: below Mach 1. Source: isentropic pitot equation with a heat ratio of 1.4; ISO 2533 sea
    level.
    """
    check_range("cas_mps", cas_mps, "m/s", (0.0, SEA_LEVEL_SOUND_MPS))
    check_range("pressure_pa", pressure_pa, "Pa", (50.0, 1.1e5), "Give pascals: 1 hPa is 100 Pa.")
    impact_pa = SEA_LEVEL_PRESSURE_PA * _impact_ratio(cas_mps / SEA_LEVEL_SOUND_MPS)
    mach = math.sqrt(5.0 * ((impact_pa / pressure_pa + 1.0) ** (2.0 / 7.0) - 1.0))
    if mach > 1.0:
        raise ContradictionError(
            f"cas_mps {cas_mps:g} m/s at {pressure_pa:g} Pa would be Mach {mach:.2f}: the pitot "
            "equation holds below Mach 1 only. Check speed and pressure."
        )
    return mach


def cas_to_tas_mps(cas_mps: float, pressure_pa: float, sound_mps: float) -> float:
    """Return the true airspeed behind a calibrated airspeed, compressibility included.

    Valid: below Mach 1. Source: isentropic pitot equation.

    >>> round(cas_to_tas_mps(12.0, 1171.9, 301.8), 1)
    97.7
    """
    check_range("sound_mps", sound_mps, "m/s", (240.0, 380.0))
    return cas_to_mach(cas_mps, pressure_pa) * sound_mps


def top_eas_mps(top_eas_mps: float, top_mach: float, sound_mps: float, air_kgpm3: float) -> float:
    """Return the highest equivalent airspeed allowed here: by structure or by Mach number.

    >>> round(top_eas_mps(32.0, 0.55, 301.7, 0.01841), 1)
    20.3
    """
    check_range("top_eas_mps", top_eas_mps, "m/s", (1.0, 200.0))
    check_range("top_mach", top_mach, "", (0.05, 1.0))
    check_range("sound_mps", sound_mps, "m/s", (240.0, 380.0))
    air = _air(air_kgpm3)
    return float(_top_eas_mps(float(top_eas_mps), float(top_mach), float(sound_mps), air))


def stall_eas_mps(mass_kg: float, area_m2: float, lift_max: float, load: float = 1.0) -> float:
    """Return the equivalent airspeed of the stall at a load factor.

    Source: lift = load x weight at the largest lift coefficient.

    >>> round(stall_eas_mps(0.68, 0.15, 0.85), 1)
    9.2
    """
    _check_wing(mass_kg, area_m2)
    check_range("lift_max", lift_max, "", (0.1, 4.0))
    check_range("load", load, "g", (0.0, 50.0))
    weight_n = float(mass_kg) * STANDARD_GRAVITY_MPS2
    return float(_stall_eas_mps(weight_n, float(area_m2), float(lift_max), float(load)))


def dive_eas_mps(mass_kg: float, area_m2: float, zero_lift_drag: float) -> float:
    """Return the equivalent airspeed at which a vertical dive without lift settles.

    Valid: no compressibility in it, so beyond Mach 0.6 it only shows that the glider gets there.
    Source: drag = weight.
    """
    _check_wing(mass_kg, area_m2)
    check_range("zero_lift_drag", zero_lift_drag, "", (0.001, 2.0))
    weight_n = float(mass_kg) * STANDARD_GRAVITY_MPS2
    return float(_stall_eas_mps(weight_n, float(area_m2), float(zero_lift_drag), 1.0))


def bank_load(bank_deg: float, glide_deg: float = 0.0) -> float:
    """Return the load factor of a steady banked glide: cos(glide angle) / cos(bank).

    >>> round(bank_load(60.0), 6)
    2.0
    """
    bank_rad = _bank(bank_deg)
    check_range("glide_deg", glide_deg, "deg", (0.0, 89.0), "Count it positive below the horizon.")
    return float(_bank_load(bank_rad, math.cos(math.radians(glide_deg))))


def pull_load(speed_mps: float, radius_m: float, gravity_mps2: float) -> float:
    """Return the load factor at the bottom of a circular pull: 1 + V^2 / (g R)."""
    check_range("radius_m", radius_m, "m", (0.1, 1.0e6))
    check_range("gravity_mps2", gravity_mps2, "m/s2", (9.0, 10.0))
    return 1.0 + _speed("speed_mps", speed_mps) ** 2 / (gravity_mps2 * radius_m)


def turn_radius_m(
    loading_kgpm2: float, lift: float, air_kgpm3: float, bank_deg: float, glide_deg: float
) -> float:
    """Return the radius over the ground, in still air, of a steady gliding turn.

    `loading_kgpm2` is mass / wing area, `lift` the lift coefficient, `glide_deg` the path angle
    below the horizon in the turn: tan = C_D / (C_L cos bank).
    Source: L sin(bank) = m V^2 cos^2(glide) / r with L = rho V^2 S C_L / 2.
    """
    check_range("loading_kgpm2", loading_kgpm2, "kg/m2", (0.05, 100.0), "This is mass / area.")
    check_range("lift", lift, "", (0.01, 4.0))
    bank_rad = _bank(bank_deg)
    if bank_rad == 0.0:
        raise InputError("bank_deg", "0 deg", "more than 0 deg", "Without bank it does not turn.")
    check_range("glide_deg", glide_deg, "deg", (0.0, 89.0), "Count it positive below the horizon.")
    cos_glide = math.cos(math.radians(glide_deg))
    air = _air(air_kgpm3)
    return float(_turn_radius_m(float(loading_kgpm2), float(lift), air, bank_rad, cos_glide))


def drop_to_speed_m(speed_mps: float, gravity_mps2: float) -> float:
    """Return the height lost from rest until this speed, drag ignored: V^2 / 2 g."""
    check_range("gravity_mps2", gravity_mps2, "m/s2", (9.0, 10.0))
    return _speed("speed_mps", speed_mps) ** 2 / (2.0 * gravity_mps2)


def drop_to_speed_s(speed_mps: float, gravity_mps2: float) -> float:
    """Return the time from rest until this speed, drag ignored: V / g."""
    check_range("gravity_mps2", gravity_mps2, "m/s2", (9.0, 10.0))
    return _speed("speed_mps", speed_mps) / gravity_mps2


@compiled
def _tas_mps(eas_mps: float, rho_kgpm3: float) -> float:
    return eas_mps * math.sqrt(SEA_LEVEL_DENSITY_KGPM3 / rho_kgpm3)


@compiled
def _eas_mps(tas_mps: float, rho_kgpm3: float) -> float:
    return tas_mps * math.sqrt(rho_kgpm3 / SEA_LEVEL_DENSITY_KGPM3)


@compiled
def _dynamic_pressure_pa(tas_mps: float, rho_kgpm3: float) -> float:
    return 0.5 * rho_kgpm3 * tas_mps * tas_mps


@compiled
def _reynolds(tas_mps: float, chord_m: float, rho_kgpm3: float, viscosity_pas: float) -> float:
    return rho_kgpm3 * tas_mps * chord_m / viscosity_pas


@compiled
def _top_eas_mps(top_eas_mps: float, top_mach: float, sound_mps: float, rho_kgpm3: float) -> float:
    return min(top_eas_mps, _eas_mps(top_mach * sound_mps, rho_kgpm3))


@compiled
def _stall_eas_mps(weight_n: float, area_m2: float, lift_max: float, load: float) -> float:
    return math.sqrt(2.0 * load * weight_n / (SEA_LEVEL_DENSITY_KGPM3 * area_m2 * lift_max))


@compiled
def _bank_load(bank_rad: float, cos_glide: float) -> float:
    return cos_glide / math.cos(bank_rad)


@compiled
def _turn_radius_m(
    loading_kgpm2: float, lift: float, rho_kgpm3: float, bank_rad: float, cos_glide: float
) -> float:
    return 2.0 * loading_kgpm2 * cos_glide * cos_glide / (rho_kgpm3 * lift * math.sin(bank_rad))


def _impact_ratio(mach: float) -> float:
    """Return the pitot's impact pressure over the static pressure."""
    return math.pow(1.0 + 0.2 * mach**2, 3.5) - 1.0


def _speed(name: str, speed_mps: float) -> float:
    check_range(name, speed_mps, "m/s", (0.0, 1000.0))
    return float(speed_mps)


def _air(air_kgpm3: float) -> float:
    check_range("air_kgpm3", air_kgpm3, "kg/m3", (1.0e-4, 2.0))
    return float(air_kgpm3)


def _bank(bank_deg: float) -> float:
    check_range("bank_deg", bank_deg, "deg", (0.0, 85.0))
    return math.radians(bank_deg)


def _check_wing(mass_kg: float, area_m2: float) -> None:
    check_range("mass_kg", mass_kg, "kg", (0.01, 1000.0), "Give kilograms.")
    check_range("area_m2", area_m2, "m2", (0.005, 100.0), "Give square metres.")
