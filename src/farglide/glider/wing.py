"""Wing: the measures of a glider, and the drag law that they make."""

from typing import NamedTuple

import numpy as np

from farglide.errors import InputError
from farglide.glider.limits import WING_RANGES


class Polar(NamedTuple):
    """What makes the glider's drag, C_D = C_D0(Re) + k C_L^2, as the kernels read it.

    C_D0 is `zero_lift_drag` at and above `reference_reynolds` and grows below it as
    (reference / Re) ** exponent. Source of the quadratic form: any text of flight mechanics, e.g.
    Anderson, Introduction to Flight, 6.1; of the growth: its form and the default exponent from
    memory, held against section data of Selig et al.,
    Summary of Low-Speed Airfoil Data 1 (1995), see docs/why/0003.
    """

    weight_n: float
    area_m2: float
    chord_m: float
    zero_lift_drag: float
    induced_drag: float  # k = 1 / (pi AR e)
    reference_reynolds: float
    reynolds_exponent: float
    lift_max: float


def polar_of(wing: "Wing") -> Polar:
    """Return the kernel form of a wing's measures."""
    return Polar(
        weight_n=wing.mass_kg * wing.gravity_mps2,
        area_m2=wing.area_m2,
        chord_m=wing.chord_m,
        zero_lift_drag=wing.zero_lift_drag,
        induced_drag=1.0 / (np.pi * wing.aspect_ratio * wing.span_efficiency),
        reference_reynolds=wing.reference_reynolds,
        reynolds_exponent=wing.reynolds_exponent,
        lift_max=wing.lift_max,
    )


class Wing(NamedTuple):
    """A glider's measures. Checked by `checked_wing`."""

    mass_kg: float
    area_m2: float
    chord_m: float
    aspect_ratio: float
    span_efficiency: float
    zero_lift_drag: float
    reference_reynolds: float = 200_000.0
    reynolds_exponent: float = 0.4
    lift_max: float = 0.9
    gravity_mps2: float = 9.80665


def checked_wing(wing: Wing) -> Wing:
    """Return the wing when each measure is in its range.

    >>> checked_wing(Wing(0.68, 0.15, 0.17, 5.2, 0.78, 0.034)).lift_max
    0.9
    """
    for name, (low, high) in WING_RANGES.items():
        value = getattr(wing, name)
        if not low <= value <= high:
            raise InputError(name, value, f"{low} to {high}")
    return wing
