"""The demo's glider by hand: steady glides by repeated substitution, and the drop by small steps.

C_D = 0.034 max(1, 200 000 / Re)^0.4 + C_L^2 / (pi 5.2 0.78). Nothing here comes from the package.
"""

import math
from typing import Final, NamedTuple

import numpy as np

from .air import G0_MPS2, RHO0_KGPM3, Air, FloatArray, air

MASS_KG: Final = 0.68
AREA_M2: Final = 0.15
CHORD_M: Final = 0.17
INDUCED: Final = 1.0 / (math.pi * 5.2 * 0.78)
LIFT_MAX: Final = 0.85
TOP_EAS_MPS: Final = 32.0
TOP_MACH: Final = 0.55
WEIGHT_N: Final = MASS_KG * G0_MPS2
_SPEED_STEP_MPS: Final = 0.2


class Glides(NamedTuple):
    """Steady glides at one height: equivalent airspeeds, level speeds and sinks."""

    eas_mps: FloatArray
    level_mps: FloatArray
    sink_mps: FloatArray


def drag_coefficient(lift: FloatArray, reynolds: FloatArray, exponent: float = 0.4) -> FloatArray:
    grown = np.maximum(1.0, 200e3 / reynolds) ** exponent
    return 0.034 * grown + INDUCED * lift * lift


def steady(
    here: Air, eas_mps: FloatArray, glide_ratio: float = 1.0, exponent: float = 0.4
) -> Glides:
    """Return glides without the speed lost on the way down; `glide_ratio` scales the L/D."""
    tas = eas_mps * np.sqrt(RHO0_KGPM3 / here.rho)
    reynolds = here.rho * tas * CHORD_M / here.viscosity_pas
    pressure = 0.5 * RHO0_KGPM3 * eas_mps**2 * AREA_M2
    angle = np.zeros_like(eas_mps)
    for _ in range(25):
        lift = WEIGHT_N * np.cos(angle) / pressure
        drag = drag_coefficient(lift, reynolds, exponent) / glide_ratio
        angle = np.arctan(drag / lift)
    return Glides(eas_mps, tas * np.cos(angle), tas * np.sin(angle))


def flown_speeds_mps(amsl_m: float) -> FloatArray:
    """Return the speeds from 0.8 of the stall's lift to C_L 0.06, top speed or Mach limit."""
    here = air(amsl_m)
    slowest = math.sqrt(2.0 * WEIGHT_N / (RHO0_KGPM3 * AREA_M2 * 0.8 * LIFT_MAX))
    thinnest = math.sqrt(2.0 * WEIGHT_N / (RHO0_KGPM3 * AREA_M2 * 0.06))
    by_mach = TOP_MACH * here.sound_mps * math.sqrt(here.rho / RHO0_KGPM3)
    fastest = min(TOP_EAS_MPS, thinnest, by_mach)
    return np.append(np.arange(slowest, fastest, _SPEED_STEP_MPS), fastest)


def to_fly(amsl_m: float, tail_mps: float) -> tuple[float, float]:
    """Return the best equivalent airspeed and the way made good per height, in a tail wind."""
    glides = steady(air(amsl_m), flown_speeds_mps(amsl_m))
    gained = (glides.level_mps + tail_mps) / glides.sink_mps
    best = int(np.argmax(gained))
    return float(glides.eas_mps[best]), float(gained[best])


def slowed_share(amsl_m: float, eas_mps: float) -> float:
    """Return (V/g) dV/dh at a held EAS: by that share the sink is less, as speed is lost."""
    low, high = (eas_mps**2 * RHO0_KGPM3 / air(amsl_m + d).rho for d in (-50.0, 50.0))
    return 0.5 * (high - low) / 100.0 / G0_MPS2


class Dropped(NamedTuple):
    """When there is enough air and when it is level, after how much height, and how fast."""

    air_s: float
    air_lost_m: float
    level_s: float
    level_lost_m: float
    level_tas_mps: float
    peak_mach: float
    peak_eas_mps: float


def drop(amsl_m: float, step_s: float = 0.005) -> Dropped:
    """Return a drop from rest: C_D 0.10 until 13 m/s EAS, then 2 g up to 8 degrees below level.

    The pull is held by the greatest lift, and has the drag of a glide at that lift.
    """
    t, lost, speed, angle = 0.0, 0.0, 0.0, 0.5 * math.pi
    begun, peak_mach, peak_eas = (math.nan, math.nan), 0.0, 0.0
    while angle > math.radians(8.0):
        here = air(amsl_m - lost)
        eas = speed * math.sqrt(here.rho / RHO0_KGPM3)
        pressure = 0.5 * here.rho * speed**2 * AREA_M2
        if math.isnan(begun[0]) and eas >= 13.0:
            begun = (t, lost)
        lift, drag = 0.0, 0.10
        if not math.isnan(begun[0]):
            lift = min(2.0 * WEIGHT_N / pressure, LIFT_MAX)
            reynolds = np.array(here.rho * speed * CHORD_M / here.viscosity_pas)
            drag = float(drag_coefficient(np.array(lift), reynolds))
        turn = 0.0 if lift == 0.0 else (lift * pressure / MASS_KG - G0_MPS2 * math.cos(angle))
        lost += speed * math.sin(angle) * step_s
        angle -= turn / max(speed, 1e-6) * step_s
        speed += (G0_MPS2 * math.sin(angle) - drag * pressure / MASS_KG) * step_s
        t += step_s
        peak_mach, peak_eas = max(peak_mach, speed / here.sound_mps), max(peak_eas, eas)
    return Dropped(*begun, t, lost, speed, peak_mach, peak_eas)
