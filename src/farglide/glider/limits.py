"""Limits: what a glider's measures may be, for laws and flight file alike, and how it turns."""

import math
from typing import Final

from farglide.errors import InputError, check_range

WING_RANGES: Final[dict[str, tuple[float, float]]] = {
    "mass_kg": (0.03, 25.0),
    "area_m2": (0.005, 10.0),
    "chord_m": (0.02, 2.0),
    "aspect_ratio": (0.8, 40.0),
    "span_efficiency": (0.3, 1.0),
    "zero_lift_drag": (0.004, 0.3),
    "reference_reynolds": (1.0e4, 2.0e6),
    "reynolds_exponent": (0.0, 1.5),
    "lift_max": (0.3, 2.0),
    "gravity_mps2": (9.5, 9.9),
}


def turn_load(bank_deg: float) -> float:
    """Return the load factor of a level turn, n = 1 / cos(bank).

    Valid: banks of 0 to 80 deg. Source: balance of forces across the turn; from memory, every
    textbook of flight has it.

    >>> round(turn_load(60.0), 6)
    2.0
    """
    check_range("bank_deg", bank_deg, "deg", (0.0, 80.0), "This is the bank from level wings.")
    return 1.0 / math.cos(math.radians(bank_deg))


def turning_eas_mps(eas_mps: float, load: float) -> float:
    """Return the speed in a turn at the lift coefficient of a straight glide at `eas_mps`.

    Valid: loads of 1 to 8. Source: lift = load times weight goes as the square of the speed.

    >>> turning_eas_mps(10.0, 4.0)
    20.0
    """
    check_range("load", load, "", (1.0, 8.0))
    return eas_mps * math.sqrt(load)


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
    check_range("bank_deg", bank_deg, "deg", (0.0, 85.0))
    if bank_deg == 0.0:
        raise InputError("bank_deg", "0°", "more than 0°", "Without bank it does not turn.")
    check_range("glide_deg", glide_deg, "deg", (0.0, 89.0), "Count it positive below the horizon.")
    check_range("air_kgpm3", air_kgpm3, "kg/m3", (1.0e-4, 2.0))
    cos_glide, sin_bank = math.cos(math.radians(glide_deg)), math.sin(math.radians(bank_deg))
    return 2.0 * loading_kgpm2 * cos_glide * cos_glide / (air_kgpm3 * lift * sin_bank)
