"""Smooth earth: diffraction over a round earth with nothing on it."""

import math
from dataclasses import dataclass
from typing import Final, NamedTuple

from farglide.errors import InputError, check_range
from farglide.kernel import compiled, inner
from farglide.radio.path.parts import Heights, Land, WaveOverEarth
from farglide.radio.path.space import checked_frequency_hz, wavelength_m

LAND: Final = Land(22.0, 0.003)
"""Medium dry land. Source: ITU-R P.527 as used in P.452."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Surface:
    """The ground as a wave meets it: relative permittivity, conductivity, and the wave's plane.

    Source of the stand-in, medium dry land: ITU-R P.527 as used in P.452.
    """

    permittivity: float = LAND.permittivity
    conductivity_spm: float = LAND.conductivity_spm
    is_vertical: bool = True

    def __post_init__(self) -> None:
        check_range("permittivity", self.permittivity, "", (1.0, 100.0))
        remedy = "Sea has 5, land 0.003."
        check_range("conductivity_spm", self.conductivity_spm, "S/m", (0.0, 10.0), remedy)


class _Clearance(NamedTuple):
    """The least height of a ray over the earth, and how far from the first end."""

    clear_m: float
    to_one_m: float


def smooth_earth_loss_db(
    frequency_hz: float, distance_m: float, heights_m: Heights, earth_m: float, surface: Surface
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
    wave_m = wavelength_m(frequency_hz)
    land = Land(float(surface.permittivity), float(surface.conductivity_spm))
    admittance = scaled_admittance(wave_m, land, surface.is_vertical)
    one_m, other_m = heights_m
    ends, over = Heights(float(one_m), float(other_m)), WaveOverEarth(wave_m, float(earth_m))
    return float(smooth_earth_db(over, float(distance_m), ends, admittance))


@compiled
def smooth_earth_db(
    over: WaveOverEarth, distance_m: float, heights_m: Heights, admittance: float
) -> float:
    """Return `smooth_earth_loss_db`.

    `admittance`: what the surface does, as `scaled_admittance` gives it.
    """
    wave_m, earth_m = over
    one, other = heights_m
    roots = math.sqrt(one) + math.sqrt(other)
    if distance_m >= math.sqrt(2.0 * earth_m) * roots:
        return max(_residue_db(over, distance_m, heights_m, admittance), 0.0)
    least = _least_clearance(distance_m, heights_m, earth_m)
    clear_m, to_one_m = least.clear_m, least.to_one_m
    to_other_m = distance_m - to_one_m
    wanted_m = 0.552 * math.sqrt(to_one_m * to_other_m * wave_m / distance_m)
    if clear_m >= wanted_m:
        return 0.0
    # the radius with which this distance would be just in sight
    marginal_m = 0.5 * (distance_m / roots) ** 2
    at_edge_db = _residue_db(WaveOverEarth(wave_m, marginal_m), distance_m, heights_m, admittance)
    return max((1.0 - clear_m / wanted_m) * at_edge_db, 0.0)


@inner
def _least_clearance(distance_m: float, heights_m: Heights, earth_m: float) -> _Clearance:
    """Return where the ray comes nearest to the round earth."""
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
    return _Clearance(clear, at)


@inner
def _residue_db(
    over: WaveOverEarth, distance_m: float, heights_m: Heights, admittance: float
) -> float:
    """Return the first term of the residue series; beyond sight it is nearly all."""
    wave_m, earth_m = over
    k = admittance * math.pow(earth_m, -1.0 / 3.0)
    k2 = k * k
    beta = (1.0 + 1.6 * k2 + 0.67 * k2 * k2) / (1.0 + 4.5 * k2 + 1.53 * k2 * k2)
    # the cube root of half the wave number over the square of the radius
    turn_pm = math.pow(math.pi / (wave_m * earth_m * earth_m), 1.0 / 3.0)
    x = beta * turn_pm * distance_m
    per_m = 2.0 * beta * turn_pm * turn_pm * earth_m
    if x >= 1.6:
        far_db = 11.0 + 10.0 * math.log10(x) - 17.6 * x
    else:
        far_db = -20.0 * math.log10(x) - 5.6488 * math.pow(x, 1.425)
    one_db = _height_gain_db(beta * per_m * heights_m.one_m, k)
    return -far_db - one_db - _height_gain_db(beta * per_m * heights_m.other_m, k)


@compiled
def scaled_admittance(wave_m: float, land: Land, is_vertical: bool) -> float:
    """Return the normalised factor of the surface admittance, times the cube root of the radius.

    So what the ground does is the same number over an earth of any radius.
    """
    permittivity, conductivity_spm = land
    lossy = 60.0 * wave_m * conductivity_spm
    flat = math.pow(2.0 * math.pi / wave_m, -1.0 / 3.0)
    k = flat * math.pow((permittivity - 1.0) ** 2 + lossy**2, -0.25)
    return k * math.sqrt(permittivity**2 + lossy**2) if is_vertical else k


@inner
def _height_gain_db(b: float, k: float) -> float:
    if b > 2.0:
        gain_db = 17.6 * math.sqrt(b - 1.1) - 5.0 * math.log10(b - 1.1) - 8.0
    else:
        gain_db = 20.0 * math.log10(b + 0.1 * b * b * b)
    return max(gain_db, 2.0 + 20.0 * math.log10(k))
