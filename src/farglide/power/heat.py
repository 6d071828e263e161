"""Heat: how warm a small body is on its way through the air, cells in a box or a transmitter."""

import math
from dataclasses import dataclass
from typing import Final, NamedTuple

import numpy as np

from farglide.air.transport import _mean_free_path_m
from farglide.arrays import FloatArray
from farglide.constants import STEFAN_BOLTZMANN_WPM2K4
from farglide.errors import InputError, check_range
from farglide.kernel import compiled, inner
from farglide.power.convection import AIR_K, BODY_K, MOST_KNUDSEN, SIZES_M, _convection_wpm2k

_SKY_K: Final = (3.0, 350.0)
_SPEEDS_MPS: Final = (0.0, 300.0)
_HEATS_W: Final = (0.0, 1000.0)
_RHO_KGPM3: Final = (1e-4, 2.0)


def cube_size_m(area_m2: float) -> float:
    """Return the side of a cube of a surface: what stands for the size of a box.

    Valid: 1e-6 to 1 m2. Source: geometry.

    >>> round(cube_size_m(0.0054), 6)
    0.03
    """
    check_range("area_m2", area_m2, "m2", (1e-6, 1.0), "Give square metres.")
    return math.sqrt(area_m2 / 6.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Body:
    """A body of one temperature, and its ways to lose heat.

    `conductance_wpk` leads to the air past walls whose own value it holds (a closed box); the area
    gives heat to passing and rising air and radiates. Either may be 0.
    """

    mass_kg: float
    specific_heat_jpkgk: float
    conductance_wpk: float = 0.0
    area_m2: float = 0.0
    size_m: float = 0.03  # across the stream of air
    emissivity_ratio: float = 0.0

    def __post_init__(self) -> None:
        check_range("mass_kg", self.mass_kg, "kg", (1e-4, 10.0), "Give kilograms: 40 g is 0.04.")
        remedy = "Give J/(kg K): lithium cells have about 1000."
        check_range("specific_heat", self.specific_heat_jpkgk, "J/(kg K)", (100.0, 5000.0), remedy)
        check_range("conductance_wpk", self.conductance_wpk, "W/K", (0.0, 20.0))
        check_range("area_m2", self.area_m2, "m2", (0.0, 1.0), "Give square metres.")
        check_range("size_m", self.size_m, "m", SIZES_M, "Give metres: 3 cm is 0.03.")
        check_range("emissivity_ratio", self.emissivity_ratio, "", (0.0, 1.0))


class Around(NamedTuple):
    """What a body meets at even steps of time; arrays of shape (n_flights, n_steps)."""

    step_s: float
    air_k: FloatArray
    rho_kgpm3: FloatArray
    speed_mps: FloatArray  # of the air past it
    sky_k: FloatArray  # of what it radiates to
    heat_w: FloatArray  # its own and what it takes up from the sun


class _Here(NamedTuple):
    """What one body meets at one time; see `Around`."""

    air_k: float
    rho_kgpm3: float
    speed_mps: float
    sky_k: float
    heat_w: float


class _Ways(NamedTuple):
    """A body as the kernel reads it."""

    capacity_jpk: float
    conductance_wpk: float
    area_m2: float
    size_m: float
    radiance_wpk4: float  # emissivity x Stefan-Boltzmann constant x area


def temperatures_k(body: Body, around: Around, start_k: FloatArray) -> FloatArray:
    """Return the temperature of a body along each flight, shape (n_flights, n_steps).

    C dT/dt = heat - (h A + k)(T - T_air) - e s A (T^4 - T_sky^4), by exponential midpoint steps:
    exact where nothing changes, of second order where air, speed and temperature do, and stable for
    any step. Between the times the surroundings are taken as straight lines.
    Valid: inside the body one temperature (h x size / conductivity of the body below 0.1: metal,
    cells and boards in still air); air 180 to 330 K, body 180 to 600 K, and as `_convection_wpm2k`.
    Source: the balance is the lumped capacitance of Incropera/Bergman, ch. 5 (from memory).
    """
    _check(body, around, start_k)
    radiance = body.emissivity_ratio * STEFAN_BOLTZMANN_WPM2K4 * body.area_m2
    ways = _Ways(
        body.mass_kg * body.specific_heat_jpkgk,
        body.conductance_wpk,
        body.area_m2,
        body.size_m,
        radiance,
    )
    out = np.empty_like(around.air_k)
    out[:, 0] = start_k
    _fill_temperatures(ways, around, out)
    if not (out.min() >= BODY_K[0] and out.max() <= BODY_K[1]):
        found = out.max() if out.max() > BODY_K[1] else out.min()
        remedy = "Check its heat, its area and its insulation."
        check_range("temperature of the body", float(found), "K", BODY_K, remedy)
    return out


def _check(body: Body, around: Around, start_k: FloatArray) -> None:
    """Refuse surroundings of another shape or out of range, and numbers that are none."""
    if not 0.0 < around.step_s <= 600.0:
        raise InputError("step_s", f"{around.step_s:g} s", "more than 0, up to 600 s")
    shape = around.air_k.shape
    if len(shape) != 2 or not shape[0] or shape[1] < 2 or start_k.shape != shape[:1]:
        allowed = "air_k (n_flights, n_steps) with 2 steps or more, start_k (n_flights,)"
        raise InputError("shapes", f"{shape} and {start_k.shape}", allowed)
    ranges = {
        "air_k": ("K", AIR_K),
        "rho_kgpm3": ("kg/m3", _RHO_KGPM3),
        "speed_mps": ("m/s", _SPEEDS_MPS),
        "sky_k": ("K", _SKY_K),
        "heat_w": ("W", _HEATS_W),
    }
    for name, (unit, span) in ranges.items():
        values: FloatArray = getattr(around, name)
        if values.shape != shape:
            raise InputError(name, f"of shape {values.shape}", f"the shape of air_k, {shape}")
        _check_all(name, values, unit, *span)
    _check_all("start_k", start_k, "K", *BODY_K)
    thinnest = float(_mean_free_path_m(float(around.rho_kgpm3.min()))) / body.size_m
    if body.area_m2 > 0.0 and thinnest > MOST_KNUDSEN:
        remedy = "The air is too thin for a body this small."
        raise InputError("Knudsen number", f"{thinnest:.2g}", "up to 0.01", remedy)


def _check_all(name: str, values: FloatArray, unit: str, low: float, high: float) -> None:
    bad = ~((values >= low) & (values <= high))
    if bad.any():
        check_range(name, float(values[bad][0]), unit, (low, high))


@inner
def _ways_wpk(ways: _Ways, here: _Here, t_k: float) -> tuple[float, float]:
    """Return the heat lost per kelvin over air and sky."""
    rho, sky_k = here.rho_kgpm3, here.sky_k
    to_air = ways.conductance_wpk
    if ways.area_m2 > 0.0:
        square_wpm2k = _convection_wpm2k(rho, here.air_k, t_k, here.speed_mps, ways.size_m)
        to_air += ways.area_m2 * square_wpm2k
    to_sky = ways.radiance_wpk4 * (t_k * t_k + sky_k * sky_k) * (t_k + sky_k)
    return to_air, to_sky


@inner
def _after_k(ways: _Ways, here: _Here, start_k: float, taken_k: float, step_s: float) -> float:
    """Return the temperature after a step in steady surroundings.

    `taken_k`: the temperature at which convection and radiation are taken.
    """
    to_air, to_sky = _ways_wpk(ways, here, taken_k)
    gained_w = here.heat_w + to_air * (here.air_k - start_k) + to_sky * (here.sky_k - start_k)
    x = (to_air + to_sky) * step_s / ways.capacity_jpk
    share = -math.expm1(-x) / x if x > 0.0 else 1.0
    return start_k + gained_w / ways.capacity_jpk * step_s * share


@compiled
def _fill_temperatures(ways: _Ways, around: Around, out: FloatArray) -> None:
    """Fill `out` from its first column on."""
    air, rho, speed = around.air_k, around.rho_kgpm3, around.speed_mps
    sky, heat, step_s = around.sky_k, around.heat_w, around.step_s
    for i in range(out.shape[0]):
        for j in range(out.shape[1] - 1):
            t = out[i, j]
            here = _Here(air[i, j], rho[i, j], speed[i, j], sky[i, j], heat[i, j])
            half_k = _after_k(ways, here, t, t, 0.5 * step_s)
            between = _Here(
                0.5 * (air[i, j] + air[i, j + 1]),
                0.5 * (rho[i, j] + rho[i, j + 1]),
                0.5 * (speed[i, j] + speed[i, j + 1]),
                0.5 * (sky[i, j] + sky[i, j + 1]),
                0.5 * (heat[i, j] + heat[i, j + 1]),
            )
            out[i, j + 1] = _after_k(ways, between, t, half_k, step_s)
