"""The standard atmosphere from 2 km below sea level to 86 km."""

import math
from typing import Final, NamedTuple

from farglide.constants import (
    AIR_GAS_CONSTANT_JPKGK,
    AIR_HEAT_RATIO,
    SEA_LEVEL_PRESSURE_PA,
    SEA_LEVEL_TEMPERATURE_K,
    STANDARD_GRAVITY_MPS2,
    SUTHERLAND_BETA_KGPMSK05,
    SUTHERLAND_TEMPERATURE_K,
)
from farglide.errors import InputError
from farglide.kernel import compiled, inner

LOWEST_GPH_M: Final = -2_000.0
HIGHEST_GPH_M: Final = 84_852.0  # 86 km geometric

# US Standard Atmosphere 1976, table 4: geopotential height of the foot of each layer, and the
# change of temperature with geopotential height in it. The first layer also reaches below 0.
_FOOT_GPH_M: Final = (0.0, 11_000.0, 20_000.0, 32_000.0, 47_000.0, 51_000.0, 71_000.0)
_LAPSE_KPM: Final = (-0.0065, 0.0, 0.001, 0.0028, 0.0, -0.0028, -0.002)
_HYDROSTATIC_KPM: Final = STANDARD_GRAVITY_MPS2 / AIR_GAS_CONSTANT_JPKGK  # 0.034163 K/m


class StandardAir(NamedTuple):
    """The standard air at one height."""

    t_k: float
    p_pa: float
    rho_kgpm3: float
    sound_mps: float
    viscosity_pas: float


def standard_air(gph_m: float) -> StandardAir:
    """Return temperature, pressure, density, speed of sound and viscosity at a geopotential height.

    Above 80 km the temperature is the molecular-scale one, up to 0.08 K above the kinetic one.
    Valid: -2000 to 84 852 m geopotential. Source: US Standard Atmosphere 1976, eqs. 23, 33, 42,
    50, 51; the same as ISO 2533:1975 to 80 km, whose constants are used.

    >>> air = standard_air(11_000.0)
    >>> round(air.t_k, 2), round(air.p_pa), round(air.rho_kgpm3, 5)
    (216.65, 22632, 0.36392)
    """
    if not LOWEST_GPH_M <= gph_m <= HIGHEST_GPH_M:
        allowed = f"{LOWEST_GPH_M:.0f} to {HIGHEST_GPH_M:.0f} m geopotential"
        raise InputError("gph_m", f"{gph_m} m", allowed, "Check that the height is in metres.")
    t_k, p_pa = _temperature_k(float(gph_m)), _pressure_pa(float(gph_m))
    return StandardAir(t_k, p_pa, _density_kgpm3(p_pa, t_k), _sound_mps(t_k), _viscosity_pas(t_k))


def pressure_altitude_m(p_pa: float) -> float:
    """Return the geopotential height at which the standard atmosphere has a pressure.

    Valid: 0.3734 Pa (84 852 m) to 127 774 Pa (-2000 m). Source: US Standard Atmosphere 1976,
    eq. 33, solved for the height layer by layer.

    >>> round(pressure_altitude_m(50_000.0), 1)
    5574.4
    """
    gph_m = _pressure_altitude_m(float(p_pa))
    if math.isnan(gph_m):
        allowed = f"{_LEAST_PA:.4f} to {_MOST_PA:.0f} Pa"
        raise InputError("p_pa", f"{p_pa} Pa", allowed, "Check the unit: 1 hPa is 100 Pa.")
    return gph_m


def _pressure_in_layer_pa(foot_k: float, foot_pa: float, lapse_kpm: float, rise_m: float) -> float:
    """Return the pressure so far above the foot of a layer. Source: US76, eqs. 33a and 33b."""
    if lapse_kpm == 0.0:
        return foot_pa * math.exp(-_HYDROSTATIC_KPM * rise_m / foot_k)
    return foot_pa * math.pow(foot_k / (foot_k + lapse_kpm * rise_m), _HYDROSTATIC_KPM / lapse_kpm)


def _feet() -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Return temperature and pressure at the foot of each layer, worked up from sea level."""
    t_k, p_pa = [SEA_LEVEL_TEMPERATURE_K], [SEA_LEVEL_PRESSURE_PA]
    for i, top_m in enumerate(_FOOT_GPH_M[1:]):
        rise_m = top_m - _FOOT_GPH_M[i]
        p_pa.append(_pressure_in_layer_pa(t_k[i], p_pa[i], _LAPSE_KPM[i], rise_m))
        t_k.append(t_k[i] + _LAPSE_KPM[i] * rise_m)
    return tuple(t_k), tuple(p_pa)


_FOOT_K, _FOOT_PA = _feet()
# A hair wider than the range of heights, so that a height turned to pressure can be turned back.
_MOST_PA: Final = (1.0 + 1e-12) * _pressure_in_layer_pa(
    _FOOT_K[0], _FOOT_PA[0], _LAPSE_KPM[0], LOWEST_GPH_M - _FOOT_GPH_M[0]
)
_LEAST_PA: Final = (1.0 - 1e-12) * _pressure_in_layer_pa(
    _FOOT_K[6], _FOOT_PA[6], _LAPSE_KPM[6], HIGHEST_GPH_M - _FOOT_GPH_M[6]
)

_layer_pressure_pa: Final = compiled(_pressure_in_layer_pa)


@inner
def _layer(gph_m: float) -> int:
    """Return the number of the layer, from 0; the feet belong to the layer above."""
    i = 0
    while i < 6 and gph_m >= _FOOT_GPH_M[i + 1]:
        i += 1
    return i


@compiled
def _temperature_k(gph_m: float) -> float:
    """Return the standard temperature, NaN outside -2000 to 84 852 m."""
    if not LOWEST_GPH_M <= gph_m <= HIGHEST_GPH_M:
        return math.nan
    i = _layer(gph_m)
    return _FOOT_K[i] + _LAPSE_KPM[i] * (gph_m - _FOOT_GPH_M[i])


@compiled
def _pressure_pa(gph_m: float) -> float:
    """Return the standard pressure, NaN outside -2000 to 84 852 m."""
    if not LOWEST_GPH_M <= gph_m <= HIGHEST_GPH_M:
        return math.nan
    i = _layer(gph_m)
    return _layer_pressure_pa(_FOOT_K[i], _FOOT_PA[i], _LAPSE_KPM[i], gph_m - _FOOT_GPH_M[i])


@compiled
def _pressure_altitude_m(p_pa: float) -> float:
    """Return the geopotential height of a standard pressure, NaN outside the atmosphere's range."""
    if not _LEAST_PA <= p_pa <= _MOST_PA:
        return math.nan
    i = 0
    while i < 6 and p_pa <= _FOOT_PA[i + 1]:
        i += 1
    ratio, lapse_kpm, foot_k = p_pa / _FOOT_PA[i], _LAPSE_KPM[i], _FOOT_K[i]
    if lapse_kpm == 0.0:
        return _FOOT_GPH_M[i] - foot_k / _HYDROSTATIC_KPM * math.log(ratio)
    rise_k = foot_k * (math.pow(ratio, -lapse_kpm / _HYDROSTATIC_KPM) - 1.0)
    return _FOOT_GPH_M[i] + rise_k / lapse_kpm


@compiled
def _density_kgpm3(p_pa: float, t_k: float) -> float:
    """Return the density of dry air. Source: US Standard Atmosphere 1976, eq. 42."""
    return p_pa / (AIR_GAS_CONSTANT_JPKGK * t_k)


@compiled
def _sound_mps(t_k: float) -> float:
    """Return the speed of sound in dry air. Source: US Standard Atmosphere 1976, eq. 50."""
    return math.sqrt(AIR_HEAT_RATIO * AIR_GAS_CONSTANT_JPKGK * t_k)


@compiled
def _viscosity_pas(t_k: float) -> float:
    """Return the dynamic viscosity of air. Source: Sutherland, US Standard Atmosphere eq. 51."""
    return SUTHERLAND_BETA_KGPMSK05 * t_k * math.sqrt(t_k) / (t_k + SUTHERLAND_TEMPERATURE_K)
