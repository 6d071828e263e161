"""Release: from rest on the line through the drop and the pull-out to a steady glide."""

from typing import Final, NamedTuple

import numpy as np

from farglide.air.between import air_at
from farglide.air.column import Column, Layers
from farglide.constants import SEA_LEVEL_DENSITY_KGPM3, STANDARD_GRAVITY_MPS2
from farglide.errors import InputError
from farglide.glider.polar import Polar, _zero_lift
from farglide.kernel import compiled

_STEPS_TO_PULL: Final = 10.0
_LONGEST_S: Final = 300.0


class Drop(NamedTuple):
    """How the glider falls and is pulled out, as the kernels read it."""

    drop_drag: float  # C_D while it falls
    pull_eas_mps: float
    pull_load: float
    level_angle_rad: float


class Pullout(NamedTuple):
    """From the drop to the steady glide; NaN where the path never comes level.

    Losses are heights below the release, times after it.
    """

    level_lost_m: float  # when the path first comes up to the level angle
    level_s: float
    level_tas_mps: float
    peak_mach: float
    peak_eas_mps: float
    steady_lost_m: float  # when the speed has come down to the steady glide's
    steady_s: float
    steady_distance_m: float
    air_lost_m: float  # when there was enough air to pull
    air_s: float


@compiled
def _rates(
    craft: tuple[Polar, Drop, float],
    layers: Layers,
    state: tuple[float, float, float],
    phase: np.int64,
) -> tuple[float, float]:
    """Return dV/dt and d(angle)/dt; the angle is that of the path below the horizon.

    `state`: speed, angle, height; `phase`: 0 falling, 1 and 2 pulling, 3 holding the path level.
    Source: point-mass equations, dV/dt = g sin a - D/m and V da/dt = g cos a - n g, with the load
    factor n held below what the largest lift coefficient gives.
    """
    polar, drop, glide_factor = craft
    v_mps, angle_rad, amsl_m = state
    air = air_at(layers, amsl_m)
    rho, gravity = air.rho_kgpm3, air.gravity_mps2
    mass_kg = polar.weight_n / STANDARD_GRAVITY_MPS2
    q_area = 0.5 * rho * v_mps * v_mps * polar.area_m2
    if phase == 0:
        return gravity * np.sin(angle_rad) - q_area * drop.drop_drag / mass_kg, 0.0
    wanted = drop.pull_load if phase < 3 else 1.0
    load = min(wanted, q_area * polar.lift_max / (mass_kg * gravity))
    lift = load * mass_kg * gravity / q_area
    zero_lift = _zero_lift(polar, rho * v_mps * polar.chord_m / air.viscosity_pas)
    drag_n = q_area * (zero_lift + polar.induced_drag * lift * lift) / glide_factor
    turn = (gravity * np.cos(angle_rad) - load * gravity) / v_mps
    return gravity * np.sin(angle_rad) - drag_n / mass_kg, turn if phase < 3 else 0.0


@compiled
def _advance(
    craft: tuple[Polar, Drop, float],
    layers: Layers,
    state: tuple[float, float, float],
    phase_step: tuple[np.int64, float],
) -> tuple[float, float, float, float]:
    """Return speed, angle, height and level distance after one step.

    Source: the classical Runge-Kutta step of fourth order, e.g. Press et al., Numerical Recipes,
    17.1; distances by Simpson's rule on the same stages.
    """
    v, a, z = state
    phase, step_s = phase_step
    half_s = 0.5 * step_s
    dv1, da1 = _rates(craft, layers, state, phase)
    v2, a2 = v + half_s * dv1, a + half_s * da1
    z2 = z - half_s * v * np.sin(a)
    dv2, da2 = _rates(craft, layers, (v2, a2, z2), phase)
    v3, a3 = v + half_s * dv2, a + half_s * da2
    z3 = z - half_s * v2 * np.sin(a2)
    dv3, da3 = _rates(craft, layers, (v3, a3, z3), phase)
    v4, a4 = v + step_s * dv3, a + step_s * da3
    z4 = z - step_s * v3 * np.sin(a3)
    dv4, da4 = _rates(craft, layers, (v4, a4, z4), phase)
    sixth_s = step_s / 6.0
    down = v * np.sin(a) + 2.0 * (v2 * np.sin(a2) + v3 * np.sin(a3)) + v4 * np.sin(a4)
    along = v * np.cos(a) + 2.0 * (v2 * np.cos(a2) + v3 * np.cos(a3)) + v4 * np.cos(a4)
    return (
        v + sixth_s * (dv1 + 2.0 * (dv2 + dv3) + dv4),
        a + sixth_s * (da1 + 2.0 * (da2 + da3) + da4),
        z - sixth_s * down,
        sixth_s * along,
    )


@compiled
def _part_until(
    drop: Drop,
    glide_eas_mps: float,
    phase: np.int64,
    was: tuple[float, float],
    now: tuple[float, float],
) -> float:
    """Return the share of the last step until its phase ended, or more than 1 if it goes on.

    `was`, `now`: EAS and path angle. A phase ends with enough air to pull, at the level angle, on
    the horizon, and at the glide's speed.
    """
    part = 2.0
    if phase == 0 and now[0] >= drop.pull_eas_mps:
        part = (drop.pull_eas_mps - was[0]) / (now[0] - was[0])
    elif phase == 1 and now[1] <= drop.level_angle_rad:
        part = (was[1] - drop.level_angle_rad) / (was[1] - now[1])
    elif phase == 2 and now[1] <= 0.0:
        part = was[1] / (was[1] - now[1])
    elif phase == 3 and now[0] <= glide_eas_mps:
        part = (was[0] - glide_eas_mps) / max(was[0] - now[0], 1e-9)
    return max(part, 0.0)


@compiled
def _pull_out(
    craft: tuple[Polar, Drop, float], layers: Layers, amsl_m: float, glide_eas_mps: float
) -> Pullout:
    """Return the pull-out of a glider dropped at rest, flown on to its glide at `glide_eas_mps`."""
    drop = craft[1]
    v, a, z, x, t = 0.01, 0.5 * np.pi, amsl_m, 0.0, 0.0
    pull_tas = drop.pull_eas_mps * np.sqrt(SEA_LEVEL_DENSITY_KGPM3 / air_at(layers, z).rho_kgpm3)
    step = min(max(pull_tas / (9.8 * _STEPS_TO_PULL), 0.03), 0.8)
    eas, peak_mach, peak_eas = 0.0, 0.0, 0.0
    air = (np.nan, np.nan)
    level = (np.nan, np.nan, np.nan)
    phase = np.int64(0)  # a bare 0 is a type of its own to the compiler: all laws twice
    while t < _LONGEST_S and z > layers.base_amsl_m:
        was = (v, a, z, x, t, eas)
        h = step if phase < 3 else 3.0 * step
        v, a, z, dx = _advance(craft, layers, (v, a, z), (phase, h))
        x, t = x + dx, t + h
        here = air_at(layers, z)
        eas = v * np.sqrt(here.rho_kgpm3 / SEA_LEVEL_DENSITY_KGPM3)
        peak_mach, peak_eas = max(peak_mach, v / here.sound_mps), max(peak_eas, eas)
        part = _part_until(drop, glide_eas_mps, phase, (was[5], was[1]), (eas, a))
        if part > 1.0:
            continue
        # fly the part of the step again rather than cut it straight: 1 m of height at 30 km
        v, a, z, dx = _advance(craft, layers, (was[0], was[1], was[2]), (phase, part * h))
        x, t = was[3] + dx, was[4] + part * h
        eas = was[5] + part * (eas - was[5])
        if phase == 0:
            air = (amsl_m - z, t)
        elif phase == 1:
            level = (amsl_m - z, t, v)
        elif phase == 3:
            steady = (amsl_m - z, t, x)
            return Pullout(level[0], level[1], level[2], peak_mach, peak_eas, *steady, *air)
        phase += 1
    nothing = (np.nan, np.nan, np.nan)
    return Pullout(level[0], level[1], level[2], peak_mach, peak_eas, *nothing, *air)


def pull_out(
    polar: Polar, drop: Drop, column: Column, amsl_m: float, glide_eas_mps: float
) -> Pullout:
    """Return what a release at this height costs until the glide is steady.

    Valid: heights inside the column, pull speed above the stall, load 1.05 to 8.
    Source: point-mass equations of motion; see `_rates`.
    """
    edges = column.edges_amsl_m
    if not edges[0] < amsl_m <= edges[-1]:
        raise InputError("amsl_m", f"{amsl_m} m", f"{edges[0]:.0f} to {edges[-1]:.0f} m")
    if not 1.05 <= drop.pull_load <= 8.0:
        raise InputError("pull_load", drop.pull_load, "1.05 to 8 g")
    stall_mps = float(
        np.sqrt(2.0 * polar.weight_n / (SEA_LEVEL_DENSITY_KGPM3 * polar.area_m2 * polar.lift_max))
    )
    allowed = f"above the stall at {stall_mps:.2f} m/s, to 150 m/s"
    if not stall_mps < drop.pull_eas_mps <= 150.0:
        remedy = "Pulled slower, the wing stalls and nothing comes level."
        raise InputError("pull_eas_mps", f"{drop.pull_eas_mps} m/s", allowed, remedy)
    if not stall_mps < glide_eas_mps <= 150.0:
        raise InputError("glide_eas_mps", f"{glide_eas_mps} m/s", allowed)
    if not 0.0 <= drop.drop_drag <= 3.0:
        raise InputError("drop_drag", drop.drop_drag, "0 to 3")
    if not 0.0 <= drop.level_angle_rad <= 0.8:
        raise InputError("level_angle_rad", f"{drop.level_angle_rad} rad", "0 to 0.8 rad")
    return Pullout(*_pull_out((polar, drop, 1.0), column.layers, amsl_m, glide_eas_mps))
