"""Release: from rest on the line through the drop and the pull-out to a steady glide."""

from typing import Final, NamedTuple

import numpy as np

from farglide.air.between import air_at
from farglide.air.column import AirColumn
from farglide.air.layers import Layers
from farglide.constants import SEA_LEVEL_DENSITY_KGPM3, STANDARD_GRAVITY_MPS2
from farglide.errors import InputError
from farglide.glider.polar import _zero_lift, polar_stall_eas_mps
from farglide.glider.wing import Polar
from farglide.kernel import compiled, inner, merged

_STEPS_TO_PULL: Final = 10.0
_LONGEST_S: Final = 300.0


class Drop(NamedTuple):
    """How the glider falls and is pulled out, as the kernels read it."""

    drop_drag: float  # C_D while it falls
    pull_eas_mps: float
    pull_load: float
    level_angle_rad: float


class Dropped(NamedTuple):
    """One glider as it is let go."""

    polar: Polar
    drop: Drop
    glide_factor: float


class Start(NamedTuple):
    """Where it is let go, and how fast it falls already."""

    amsl_m: float
    fall_mps: float = 0.0


class Path(NamedTuple):
    """Where a falling glider is and goes."""

    tas_mps: float
    angle_rad: float  # of the path below the horizon
    amsl_m: float


class Going(NamedTuple):
    """How fast a falling glider goes, and how steeply."""

    eas_mps: float
    angle_rad: float  # of the path below the horizon


class Slope(NamedTuple):
    """Sine and cosine of a path's angle below the horizon."""

    sine: float
    cosine: float


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
    air_lost_m: float  # when there was enough air to pull
    air_s: float


@merged
def _slope(angle_rad: float) -> Slope:
    return Slope(np.sin(angle_rad), np.cos(angle_rad))


@inner
def _rates(
    craft: Dropped, layers: Layers, path: Path, slope: Slope, phase: np.int64
) -> tuple[float, float]:
    """Return dV/dt and d(angle)/dt; `phase`: 0 falling, 1 and 2 pulling, 3 holding the path level.

    Source: point-mass equations, dV/dt = g sin a - D/m and V da/dt = g cos a - n g, with the load
    factor n held below what the largest lift coefficient gives.
    """
    polar, drop, glide_factor = craft
    v_mps = path.tas_mps
    air = air_at(layers, path.amsl_m)
    rho, gravity = air.rho_kgpm3, air.gravity_mps2
    mass_kg = polar.weight_n / STANDARD_GRAVITY_MPS2
    q_area = 0.5 * rho * v_mps * v_mps * polar.area_m2
    if phase == 0:
        return gravity * slope.sine - q_area * drop.drop_drag / mass_kg, 0.0
    wanted = drop.pull_load if phase < 3 else 1.0
    load = min(wanted, q_area * polar.lift_max / (mass_kg * gravity))
    lift = load * mass_kg * gravity / q_area
    zero_lift = _zero_lift(polar, rho * v_mps, air.viscosity_pas)
    drag_n = q_area * (zero_lift + polar.induced_drag * lift * lift) / glide_factor
    turn = (gravity * slope.cosine - load * gravity) / v_mps
    return gravity * slope.sine - drag_n / mass_kg, turn if phase < 3 else 0.0


@inner
def _advance(craft: Dropped, layers: Layers, path: Path, phase: np.int64, step_s: float) -> Path:
    """Return the path after one step.

    Source: the classical Runge-Kutta step of fourth order, e.g. Press et al., Numerical Recipes,
    17.1; the height by Simpson's rule on the same stages.
    """
    v, a, z = path
    half_s, s1 = 0.5 * step_s, _slope(a)
    dv1, da1 = _rates(craft, layers, path, s1, phase)
    v2, a2 = v + half_s * dv1, a + half_s * da1
    z2, s2 = z - half_s * v * s1.sine, _slope(a2)
    dv2, da2 = _rates(craft, layers, Path(v2, a2, z2), s2, phase)
    v3, a3 = v + half_s * dv2, a + half_s * da2
    z3, s3 = z - half_s * v2 * s2.sine, _slope(a3)
    dv3, da3 = _rates(craft, layers, Path(v3, a3, z3), s3, phase)
    v4, a4 = v + step_s * dv3, a + step_s * da3
    z4, s4 = z - step_s * v3 * s3.sine, _slope(a4)
    dv4, da4 = _rates(craft, layers, Path(v4, a4, z4), s4, phase)
    sixth_s = step_s / 6.0
    down = v * s1.sine + 2.0 * (v2 * s2.sine + v3 * s3.sine) + v4 * s4.sine
    return Path(
        v + sixth_s * (dv1 + 2.0 * (dv2 + dv3) + dv4),
        a + sixth_s * (da1 + 2.0 * (da2 + da3) + da4),
        z - sixth_s * down,
    )


@inner
def _part_until(drop: Drop, glide_eas_mps: float, phase: np.int64, was: Going, now: Going) -> float:
    """Return the share of the last step until its phase ended, or more than 1 if it goes on.

    A phase ends with enough air to pull, at the level angle, on the horizon, and at the glide's
    speed.
    """
    part = 2.0
    if phase == 0 and now.eas_mps >= drop.pull_eas_mps:
        part = (drop.pull_eas_mps - was.eas_mps) / max(now.eas_mps - was.eas_mps, 1e-9)
    elif phase == 1 and now.angle_rad <= drop.level_angle_rad:
        part = (was.angle_rad - drop.level_angle_rad) / (was.angle_rad - now.angle_rad)
    elif phase == 2 and now.angle_rad <= 0.0:
        part = was.angle_rad / (was.angle_rad - now.angle_rad)
    elif phase == 3 and now.eas_mps <= glide_eas_mps:
        part = (was.eas_mps - glide_eas_mps) / max(was.eas_mps - now.eas_mps, 1e-9)
    return max(part, 0.0)


@compiled
def _pull_out(craft: Dropped, layers: Layers, start: Start, glide_eas_mps: float) -> Pullout:
    """Return the pull-out of a glider let go, flown on to its glide at `glide_eas_mps`."""
    drop = craft.drop
    path, t = Path(max(start.fall_mps, 0.01), 0.5 * np.pi, start.amsl_m), 0.0
    tas_per_eas = np.sqrt(SEA_LEVEL_DENSITY_KGPM3 / air_at(layers, start.amsl_m).rho_kgpm3)
    step = min(max(drop.pull_eas_mps * tas_per_eas / (9.8 * _STEPS_TO_PULL), 0.03), 0.8)
    eas, peak_mach, peak_eas = start.fall_mps / tas_per_eas, 0.0, 0.0
    air = (np.nan, np.nan)
    level = (np.nan, np.nan, np.nan)
    steady = (np.nan, np.nan)
    phase = np.int64(0)  # a bare 0 is a type of its own to the compiler: all laws twice
    while phase < 4 and t < _LONGEST_S and path.amsl_m > layers.base_amsl_m:
        was, was_eas = path, eas
        h = step if phase < 3 else 3.0 * step
        path = _advance(craft, layers, was, phase, h)
        here = air_at(layers, path.amsl_m)
        eas = path.tas_mps * np.sqrt(here.rho_kgpm3 / SEA_LEVEL_DENSITY_KGPM3)
        peak_mach = max(peak_mach, path.tas_mps / here.sound_mps)
        peak_eas = max(peak_eas, eas)
        before, after = Going(was_eas, was.angle_rad), Going(eas, path.angle_rad)
        part = _part_until(drop, glide_eas_mps, phase, before, after)
        if part > 1.0:
            t += h
            continue
        # fly the part of the step again rather than cut it straight: 1 m of height at 30 km
        path = _advance(craft, layers, was, phase, part * h)
        t += part * h
        eas = was_eas + part * (eas - was_eas)
        lost_m = start.amsl_m - path.amsl_m
        if phase == 0:
            air = (lost_m, t)
        elif phase == 1:
            level = (lost_m, t, path.tas_mps)
        elif phase == 3:
            steady = (lost_m, t)
        phase += 1
    return Pullout(level[0], level[1], level[2], peak_mach, peak_eas, *steady, *air)


def pull_out(
    polar: Polar, drop: Drop, column: AirColumn, amsl_m: float, glide_eas_mps: float
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
    stall_mps = polar_stall_eas_mps(polar)
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
    craft = Dropped(polar, drop, 1.0)
    return Pullout(*_pull_out(craft, column.layers, Start(amsl_m, 0.0), glide_eas_mps))
