"""Ranges: what a glider's measures may be, for the laws and for the flight file alike."""

from typing import Final

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
