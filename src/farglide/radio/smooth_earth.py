"""Smooth earth: diffraction over a round earth with nothing on it."""

import math
from dataclasses import dataclass
from typing import Final

from farglide.errors import InputError
from farglide.radio.space import LIGHT_MPS, checked_frequency_hz, wavelength_m

_LAND: Final = (22.0, 0.003)


@dataclass(frozen=True, slots=True, kw_only=True)
class Surface:
    """The ground as a wave meets it: relative permittivity, conductivity, and the wave's plane.

    Source of the stand-in, medium dry land: ITU-R P.527 as used in P.452.
    """

    permittivity: float = _LAND[0]
    conductivity_spm: float = _LAND[1]
    is_vertical: bool = True

    def __post_init__(self) -> None:
        if not 1.0 <= self.permittivity <= 100.0:
            raise InputError("permittivity", f"{self.permittivity:g}", "1 to 100")
        if not 0.0 <= self.conductivity_spm <= 10.0:
            given = f"{self.conductivity_spm:g} S/m"
            raise InputError("conductivity_spm", given, "0 to 10 S/m", "Sea has 5, land 0.003.")


def smooth_earth_loss_db(
    frequency_hz: float,
    distance_m: float,
    heights_m: tuple[float, float],
    earth_m: float,
    surface: Surface,
) -> float:
    """Return the loss over free space between two antennas above a smooth round earth.

    Valid: 30 MHz to 30 GHz, antennas 0.1 m to 50 km high. In sight the loss fades to 0 where six
    tenths of the first Fresnel zone are clear. Source: ITU-R P.526, diffraction over a spherical
    earth: first term of the residue series, and the interpolation within sight.
    """
    checked_frequency_hz(frequency_hz)
    for height_m in heights_m:
        if not 0.1 <= height_m <= 50_000.0:
            raise InputError("heights_m", f"{height_m:g} m", "0.1 to 50 000 m")
    if not 1.0 <= distance_m <= 3.0e6:
        raise InputError("distance_m", f"{distance_m:g} m", "1 m to 3000 km")
    one, other = heights_m
    roots = math.sqrt(one) + math.sqrt(other)
    if distance_m >= math.sqrt(2.0 * earth_m) * roots:
        return max(_residue_db(frequency_hz, distance_m, heights_m, earth_m, surface), 0.0)
    clear_m, to_one_m = _least_clearance(distance_m, heights_m, earth_m)
    to_other_m = distance_m - to_one_m
    wave_m = wavelength_m(frequency_hz)
    wanted_m = 0.552 * math.sqrt(to_one_m * to_other_m * wave_m / distance_m)
    if clear_m >= wanted_m:
        return 0.0
    # the radius with which this distance would be just in sight
    marginal_m = 0.5 * (distance_m / roots) ** 2
    at_edge_db = _residue_db(frequency_hz, distance_m, heights_m, marginal_m, surface)
    return max((1.0 - clear_m / wanted_m) * at_edge_db, 0.0)


def _least_clearance(
    distance_m: float, heights_m: tuple[float, float], earth_m: float
) -> tuple[float, float]:
    """Return the least height of the ray over the round earth, and how far from the first end."""
    one, other = heights_m
    c = (one - other) / (one + other)
    m = distance_m**2 / (4.0 * earth_m * (one + other))
    inside = 1.5 * c * math.sqrt(3.0 * m / (m + 1.0) ** 3)
    third = math.pi / 3.0 + math.acos(min(max(inside, -1.0), 1.0)) / 3.0
    b = 2.0 * math.sqrt((m + 1.0) / (3.0 * m)) * math.cos(third)
    at = 0.5 * distance_m * (1.0 + b)
    left = distance_m - at
    clear = (
        (one - at**2 / (2.0 * earth_m)) * left + (other - left**2 / (2.0 * earth_m)) * at
    ) / distance_m
    return clear, at


def _residue_db(
    frequency_hz: float,
    distance_m: float,
    heights_m: tuple[float, float],
    earth_m: float,
    surface: Surface,
) -> float:
    """Return the first term of the residue series; beyond sight it is nearly all."""
    k = _admittance(frequency_hz, earth_m, surface)
    beta = (1.0 + 1.6 * k**2 + 0.67 * k**4) / (1.0 + 4.5 * k**2 + 1.53 * k**4)
    wave_number = math.pi * frequency_hz / LIGHT_MPS
    x = beta * math.pow(wave_number / earth_m**2, 1.0 / 3.0) * distance_m
    per_m = 2.0 * beta * math.pow(wave_number**2 / earth_m, 1.0 / 3.0)
    far_db = (
        11.0 + 10.0 * math.log10(x) - 17.6 * x
        if x >= 1.6
        else -20.0 * math.log10(x) - 5.6488 * math.pow(x, 1.425)
    )
    return -far_db - sum(_height_gain_db(beta * per_m * height_m, k) for height_m in heights_m)


def _admittance(frequency_hz: float, earth_m: float, surface: Surface) -> float:
    """Return the normalised factor of the surface admittance."""
    wave_m = wavelength_m(frequency_hz)
    lossy = 60.0 * wave_m * surface.conductivity_spm
    flat = math.pow(2.0 * math.pi * earth_m / wave_m, -1.0 / 3.0)
    k = flat * math.pow((surface.permittivity - 1.0) ** 2 + lossy**2, -0.25)
    return k * math.sqrt(surface.permittivity**2 + lossy**2) if surface.is_vertical else k


def _height_gain_db(b: float, k: float) -> float:
    gain_db = (
        17.6 * math.sqrt(b - 1.1) - 5.0 * math.log10(b - 1.1) - 8.0
        if b > 2.0
        else 20.0 * math.log10(b + 0.1 * b**3)
    )
    return max(gain_db, 2.0 + 20.0 * math.log10(k))
