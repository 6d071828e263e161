"""A glider flown in small steps of time, so that the layer-by-layer sums do not prove themselves.

Nothing here comes from the package: airspeed and path angle are integrated from the forces, an
autopilot commands lift and so holds a schedule of airspeeds by height, the wind blows in layers.
The wind's change with height is felt in full: the equations are written for the airspeed, in air
that is itself speeded up by (dw/dz) dz/dt as the glider sinks through it.
Source: point-mass equations of motion, e.g. Stengel, Flight Dynamics, 3.2 (from memory).
"""

import math
from typing import Final, NamedTuple

import numba
import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]

EARTH_M: Final = 6_371_000.0
G0_MPS2: Final = 9.80665
RHO0_KGPM3: Final = 1.225
STEP_S: Final = 0.5
N_SPEED: Final = 150
SPEED_LAG_S: Final = 6.0
ANGLE_LAG_S: Final = 2.0


class PlainAir(NamedTuple):
    """Air on an even grid of heights from 0."""

    step_m: float
    rho_kgpm3: FloatArray
    viscosity_pas: FloatArray
    sound_mps: FloatArray
    east_mps: FloatArray
    north_mps: FloatArray


class PlainGlider(NamedTuple):
    """A point mass with C_D = C_D0(Re) + C_L^2 / (pi AR e), and its limits."""

    mass_kg: float
    area_m2: float
    chord_m: float
    aspect_ratio: float
    efficiency: float
    zero_lift_drag: float
    reference_reynolds: float
    exponent: float
    lift_max: float
    top_eas_mps: float
    top_mach: float


class Landed(NamedTuple):
    """Where a flight came through the lower height."""

    east_m: float
    north_m: float
    after_s: float
    worst_eas_miss_mps: float  # once the first 60 s are over


def eas_band(air: PlainAir, glider: PlainGlider) -> tuple[float, FloatArray]:
    """Return the slowest steady EAS (0.8 of the stall's lift) and the fastest at each height."""
    loading_pa = glider.mass_kg * G0_MPS2 / glider.area_m2
    slowest = math.sqrt(2.0 * loading_pa / (RHO0_KGPM3 * 0.8 * glider.lift_max))
    by_mach = glider.top_mach * air.sound_mps * np.sqrt(air.rho_kgpm3 / RHO0_KGPM3)
    return slowest, np.minimum(glider.top_eas_mps, by_mach)


def steady(
    air: PlainAir, glider: PlainGlider, eas_mps: FloatArray, rising_mps: float = 0.0
) -> tuple[FloatArray, FloatArray]:
    """Return level speed and sink, shape (n_heights, n_speeds), by repeated substitution.

    `eas_mps`: (n_heights, n_speeds). Loss of true airspeed on the way down feeds the glide.
    """
    ratio = np.sqrt(RHO0_KGPM3 / air.rho_kgpm3)[:, None]
    tas = eas_mps * ratio
    q_area = 0.5 * RHO0_KGPM3 * eas_mps**2 * glider.area_m2
    reynolds = air.rho_kgpm3[:, None] * tas * glider.chord_m / air.viscosity_pas[:, None]
    growth = np.maximum(glider.reference_reynolds / reynolds, 1.0) ** glider.exponent
    weight_n = glider.mass_kg * G0_MPS2
    slowing = eas_mps**2 * np.gradient(ratio[:, 0] ** 2, air.step_m)[:, None] / (2.0 * G0_MPS2)
    sine = np.full_like(tas, 0.1)
    for _ in range(40):
        lift_n = weight_n * np.sqrt(1.0 - sine**2)
        induced_n = lift_n**2 / (math.pi * glider.aspect_ratio * glider.efficiency * q_area)
        drag_n = q_area * glider.zero_lift_drag * growth + induced_n
        sine = np.minimum(0.5 * sine + 0.5 * drag_n / (weight_n * (1.0 + slowing)), 1.0)
    return tas * np.sqrt(1.0 - sine**2), tas * sine - rising_mps


def best_schedule(air: PlainAir, glider: PlainGlider, heading: tuple[float, float]) -> FloatArray:
    """Return the EAS at each height that makes most way along a unit vector (east, north)."""
    slowest, fastest = eas_band(air, glider)
    share = np.linspace(0.0, 1.0, N_SPEED)[None, :]
    eas = slowest + share * np.maximum(fastest - slowest, 0.0)[:, None]
    level, sink = steady(air, glider, eas)
    along = (air.east_mps * heading[0] + air.north_mps * heading[1])[:, None]
    best = np.argmax((level + along) / sink, axis=1)
    return np.take_along_axis(eas, best[:, None], axis=1)[:, 0]


def held_schedule(air: PlainAir, glider: PlainGlider, eas_mps: float) -> FloatArray:
    """Return one EAS held at every height, as far as the limits let it."""
    slowest, fastest = eas_band(air, glider)
    return np.clip(np.full(len(fastest), eas_mps), slowest, np.maximum(fastest, slowest))


def fly(
    air: PlainAir,
    glider: PlainGlider,
    schedule: FloatArray,
    heading: tuple[float, float],
    heights: tuple[float, float, float],
) -> Landed:
    """Return where a glider headed along a unit vector comes down to the lower height.

    `heights`: from, to, and the EAS at which it begins.
    """
    return Landed(*_fly(air, glider, schedule, heading, heights, STEP_S))


@numba.njit
def _grid(values: FloatArray, step_m: float, z: float) -> float:
    x = min(max(z / step_m, 0.0), len(values) - 1.000001)
    i = int(x)
    return values[i] + (x - i) * (values[i + 1] - values[i])


@numba.njit
def _slope(values: FloatArray, step_m: float, z: float) -> float:
    i = int(min(max(z / step_m, 0.0), len(values) - 1.000001))
    return (values[i + 1] - values[i]) / step_m


@numba.njit
def _wanted_tas(air: PlainAir, schedule: FloatArray, z: float) -> float:
    rho = _grid(air.rho_kgpm3, air.step_m, z)
    return _grid(schedule, air.step_m, z) * math.sqrt(RHO0_KGPM3 / rho)


@numba.njit
def _forces(
    air: PlainAir,
    glider: PlainGlider,
    schedule: FloatArray,
    heading: tuple[float, float],
    state: tuple[float, float, float, float, float],
) -> tuple[float, float, float, float, float]:
    """Return the rates of airspeed, path angle below the horizon, height, east, north."""
    v, angle, z, _, _ = state
    rho = _grid(air.rho_kgpm3, air.step_m, z)
    g = G0_MPS2 * (EARTH_M / (EARTH_M + z)) ** 2
    down = v * math.sin(angle)
    d_east = -down * _slope(air.east_mps, air.step_m, z)
    d_north = -down * _slope(air.north_mps, air.step_m, z)
    d_along = d_east * heading[0] + d_north * heading[1]
    d_across = -d_east * heading[1] + d_north * heading[0]
    q_area = 0.5 * rho * v * v * glider.area_m2
    reynolds = rho * v * glider.chord_m / _grid(air.viscosity_pas, air.step_m, z)
    zero_lift = glider.zero_lift_drag
    zero_lift *= max(1.0, glider.reference_reynolds / reynolds) ** glider.exponent
    k = 1.0 / (math.pi * glider.aspect_ratio * glider.efficiency)
    # the autopilot: the path angle at which the wanted airspeed would be approached, then the lift
    upright = glider.mass_kg * g * math.cos(angle) / q_area
    drag = q_area * (zero_lift + k * upright * upright) / glider.mass_kg
    wanted = _wanted_tas(air, schedule, z)
    rate = (_wanted_tas(air, schedule, z - 20.0) - _wanted_tas(air, schedule, z + 20.0)) / 40.0
    speeding = (wanted - v) / SPEED_LAG_S + rate * down
    sine = (drag + speeding + d_along * math.cos(angle)) / g
    aim = math.asin(min(max(sine, -0.3), 0.99))
    lift = g * math.cos(angle) + d_along * math.sin(angle) - v * (aim - angle) / ANGLE_LAG_S
    lift = min(max(lift, 0.0), q_area * glider.lift_max / glider.mass_kg)
    whole = glider.mass_kg * math.sqrt(lift * lift + d_across * d_across) / q_area
    drag = q_area * (zero_lift + k * whole * whole) / glider.mass_kg
    ground = EARTH_M / (EARTH_M + z)
    level = v * math.cos(angle)
    return (
        g * math.sin(angle) - drag - d_along * math.cos(angle),
        (g * math.cos(angle) - lift + d_along * math.sin(angle)) / v,
        -down,
        (level * heading[0] + _grid(air.east_mps, air.step_m, z)) * ground,
        (level * heading[1] + _grid(air.north_mps, air.step_m, z)) * ground,
    )


@numba.njit
def _fly(
    air: PlainAir,
    glider: PlainGlider,
    schedule: FloatArray,
    heading: tuple[float, float],
    heights: tuple[float, float, float],
    step_s: float,
) -> tuple[float, float, float, float]:
    """Return east, north, time and the worst miss of the schedule; classical Runge-Kutta."""
    z0, z1, eas = heights
    v = eas * math.sqrt(RHO0_KGPM3 / _grid(air.rho_kgpm3, air.step_m, z0))
    y = (v, 0.15, z0, 0.0, 0.0)
    t, worst = 0.0, 0.0
    while y[2] > z1 and t < 40_000.0:
        a = _forces(air, glider, schedule, heading, y)
        b = _forces(air, glider, schedule, heading, _along(y, a, 0.5 * step_s))
        c = _forces(air, glider, schedule, heading, _along(y, b, 0.5 * step_s))
        d = _forces(air, glider, schedule, heading, _along(y, c, step_s))
        was = y
        y = _along(y, a, step_s / 6.0)
        y = _along(y, b, step_s / 3.0)
        y = _along(y, c, step_s / 3.0)
        y = _along(y, d, step_s / 6.0)
        t += step_s
        if t > 60.0:
            root = math.sqrt(_grid(air.rho_kgpm3, air.step_m, y[2]) / RHO0_KGPM3)
            worst = max(worst, abs(y[0] - _wanted_tas(air, schedule, y[2])) * root)
    part = (was[2] - z1) / (was[2] - y[2])
    return (
        was[3] + part * (y[3] - was[3]),
        was[4] + part * (y[4] - was[4]),
        t - (1.0 - part) * step_s,
        worst,
    )


@numba.njit
def _along(
    y: tuple[float, float, float, float, float],
    rate: tuple[float, float, float, float, float],
    step_s: float,
) -> tuple[float, float, float, float, float]:
    return (
        y[0] + step_s * rate[0],
        y[1] + step_s * rate[1],
        y[2] + step_s * rate[2],
        y[3] + step_s * rate[3],
        y[4] + step_s * rate[4],
    )
