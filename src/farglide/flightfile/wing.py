"""Wing: what follows from a glider's few numbers, so that they may stand in for missing ones."""

import math
from typing import Final

from farglide.constants import SEA_LEVEL_DENSITY_KGPM3, STANDARD_GRAVITY_MPS2
from farglide.flightfile.reading.keys import Numbers
from farglide.glider.limits import WING_RANGES

_SLOWEST_LIFT_RATIO: Final = 0.8  # share of the greatest lift that is flown steadily
_SEA_LEVEL_KINEMATIC_M2PS: Final = 1.4607e-5  # ISO 2533:1975, table 1
_KORN: Final = 0.87
_THICKNESS: Final = 0.10  # over the chord: common practice, no source


def level_stall_eas_mps(mass_kg: float, area_m2: float, lift_max: float) -> float:
    """Return the equivalent airspeed of the stall in level flight.

    >>> round(level_stall_eas_mps(0.68, 0.15, 0.85), 1)
    9.2
    """
    weight_n = mass_kg * STANDARD_GRAVITY_MPS2
    return math.sqrt(2.0 * weight_n / (SEA_LEVEL_DENSITY_KGPM3 * area_m2 * lift_max))


def induced_drag_factor(aspect_ratio: float, span_efficiency: float) -> float:
    """Return k of C_D = C_D0 + k C_L^2, k = 1 / (pi A e)."""
    return 1.0 / (math.pi * aspect_ratio * span_efficiency)


def stall_of(glider: Numbers) -> float:
    """Return the equivalent airspeed at which a glider stalls."""
    mass_kg, area_m2, lift_max = (glider[key].value for key in ("mass_kg", "area_m2", "lift_max"))
    return level_stall_eas_mps(mass_kg, area_m2, lift_max)


def critical_mach(lift_max: float) -> float:
    """Return the Mach number at which the air over a plain wing first reaches sound: a guess.

    Drag rises at 0.87 - t/c - C_L / 10 on a straight wing (Korn's relation, 0.87 for common
    aerofoils), and sound is first reached (0.1 / 80)^(1/3) = 0.108 below (Lock's rule, 20 (M -
    M_crit)^4 of drag). Both from memory, as in lecture notes on configuration aerodynamics. Taken
    is a wing a tenth of its chord thick, flown slow in thin air, at 0.8 of its greatest lift.

    >>> round(critical_mach(0.85), 3)
    0.594
    """
    rise_mach = _KORN - _THICKNESS - 0.1 * _SLOWEST_LIFT_RATIO * lift_max
    return rise_mach - math.pow(0.1 / 80.0, 1.0 / 3.0)


def flattest_eas_mps(glider: Numbers) -> float:
    """Return the equivalent airspeed of the flattest glide near sea level."""
    return _flattest(glider, glider["zero_lift_drag"].value)[0]


def flattest_ratio(glider: Numbers) -> float:
    """Return how far the glider gets near sea level for each metre of height, flown flattest."""
    return _flattest(glider, glider["zero_lift_drag"].value)[1]


def drag_of_glide(glider: Numbers, ratio: float) -> float:
    """Return the drag coefficient without lift with which the flattest glide has this ratio.

    Held to the range of that coefficient, so that a glide out of reach shows in the best ratio.
    """
    low, high = WING_RANGES["zero_lift_drag"]
    for _ in range(40):  # to 1e-12 of the range
        middle = math.sqrt(low * high)
        low, high = (middle, high) if _flattest(glider, middle)[1] > ratio else (low, middle)
    return math.sqrt(low * high)


def _flattest(glider: Numbers, drag: float) -> tuple[float, float]:
    """Return speed and ratio of the flattest glide near sea level with a drag without lift.

    Least drag of a V^(2-n) + b V^-2, n the Reynolds exponent below the reference and 0 above, gives
    C_L^2 = (1 - n/2) C_D0 / k. C_D0 depends on the speed that it sets, so a few rounds are walked.
    Lift is held to 0.8 of its greatest.
    """
    mass, area, chord = (glider[key].value for key in ("mass_kg", "area_m2", "chord_m"))
    k = induced_drag_factor(glider["aspect_ratio"].value, glider["span_efficiency_ratio"].value)
    lift_max = glider["lift_max"].value
    reference, n = glider["reference_reynolds"].value, glider["reynolds_exponent"].value
    speed, lift, grown = level_stall_eas_mps(mass, area, lift_max), lift_max, 1.0
    for _ in range(20):
        reynolds = speed * chord / _SEA_LEVEL_KINEMATIC_M2PS
        is_low = reynolds < reference
        grown = (reference / reynolds) ** n if is_low else 1.0
        share = (1.0 - n / 2.0) * grown if is_low else 1.0
        lift = min(math.sqrt(share * drag / k), _SLOWEST_LIFT_RATIO * lift_max)
        speed = level_stall_eas_mps(mass, area, lift)
    return speed, lift / (grown * drag + k * lift**2)
