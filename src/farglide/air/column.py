"""AirColumn: one profile of pressure, temperature, humidity and wind, cut into layers."""

from dataclasses import dataclass
from typing import Final

import numpy as np

from farglide.air.doubt import WindDoubt
from farglide.air.layerdoubt import LayerDoubt, by_layer
from farglide.air.layers import (
    LAYER_M,
    Layers,
    MeanWind,
    layer_means,
    layers_of,
    log_mean,
    pressures_pa,
)
from farglide.air.moist import _virtual_temperature_k
from farglide.air.sounding import Sounding
from farglide.air.standard import standard_air
from farglide.arrays import BoolArray, FloatArray
from farglide.constants import (
    AIR_GAS_CONSTANT_JPKGK,
    STANDARD_GRAVITY_MPS2,
)
from farglide.earth.heights import geometric_at_m, geopotential_at_m
from farglide.errors import InputError

TOP_AMSL_M: Final = 40_000.0
"""Where the columns end; latex balloons burst below."""
_LAPSE_KPM: Final = 0.0065  # ISO 2533:1975 table 1, lowest layer: used only below the lowest level


@dataclass(frozen=True, slots=True, kw_only=True)
class AirColumn:
    """Layers of air over one place, the doubt about their winds, and where knowledge ends."""

    layers: Layers
    doubt: WindDoubt
    doubt_by_layer: LayerDoubt
    origin: str
    beyond_amsl_m: float  # top of the sounding: above it the column is an extension
    below_amsl_m: float  # bottom of the sounding: below it the column is an extension
    notes: tuple[str, ...] = ()

    @property
    def edges_amsl_m(self) -> FloatArray:
        """Return the heights of the layer edges, one more than layers."""
        n = len(self.layers.p_pa)
        edges: FloatArray = self.layers.base_amsl_m + self.layers.step_m * np.arange(n + 1.0)
        return edges

    @property
    def middles_amsl_m(self) -> FloatArray:
        """Return the heights of the middles of the layers."""
        half = np.arange(float(len(self.layers.p_pa))) + 0.5
        middles: FloatArray = self.layers.base_amsl_m + self.layers.step_m * half
        return middles


def build_column(sounding: Sounding, base_amsl_m: float, doubt: WindDoubt) -> AirColumn:
    """Return the layers from `base_amsl_m` (rounded down to a layer edge) to 40 km.

    Between levels temperature and wind are linear in geometric height and the pressure follows the
    hydrostatic law; a layer holds the mean wind over its thickness. Below the lowest level and
    above the highest the wind is kept, the temperature follows the standard lapse, the pressure the
    hydrostatic law, and the deep doubt widens to `doubt.beyond_mps` within its depth:
    never a silent zero wind.
    Valid: base -500 to 9000 m.
    """
    if not -500.0 <= base_amsl_m <= 9000.0:
        raise InputError("base_amsl_m", f"{base_amsl_m} m", "-500 to 9000 m")
    base_m = LAYER_M * np.floor(base_amsl_m / LAYER_M)
    n = round((TOP_AMSL_M - base_m) / LAYER_M)
    edges = base_m + LAYER_M * np.arange(n + 1.0)
    level_m = np.array([geometric_at_m(float(h), _latitude(sounding)) for h in sounding.gph_m])
    z, p, t, tv, u, v = _extended(sounding, level_m, float(edges[0]), float(edges[-1]))
    middle = 0.5 * (edges[1:] + edges[:-1])
    u_mean, v_mean = layer_means(z, u, edges), layer_means(z, v, edges)
    layers = layers_of(
        middle,
        pressures_pa(middle, z, p, tv),
        np.interp(middle, z, t),
        np.interp(middle, z, tv),
        MeanWind(u_mean, v_mean),
    )
    return AirColumn(
        layers=layers,
        doubt=doubt,
        doubt_by_layer=by_layer(
            doubt, middle, np.hypot(u_mean, v_mean), level_m[_has_own_wind(sounding)]
        ),
        origin=sounding.origin,
        beyond_amsl_m=float(level_m[-1]),
        below_amsl_m=float(level_m[0]),
        notes=sounding.notes,
    )


def _has_own_wind(sounding: Sounding) -> BoolArray:
    """Tell which levels lie in no stretch over which winds were laid between others."""
    own = np.ones(len(sounding.gph_m), np.bool_)
    for low_m, high_m in sounding.windless_gph_m:
        own &= (sounding.gph_m <= low_m + 0.5) | (sounding.gph_m >= high_m - 0.5)
    return own


def _latitude(sounding: Sounding) -> float:
    return sounding.lat_deg if sounding.lat_deg == sounding.lat_deg else 45.0


def _extended(sounding: Sounding, level_m: FloatArray, low_m: float, high_m: float) -> FloatArray:
    """Return rows of z, p, T, virtual T, u, v on the levels and on what is added below and above.

    `level_m`: geometric heights of the levels; `low_m` and `high_m`: where it shall begin and end.
    """
    humid = np.minimum(np.nan_to_num(sounding.relative_humidity_ratio, nan=0.0), 1.0)
    p_pa, t_k = sounding.p_pa, sounding.t_k
    states = zip(t_k, p_pa, humid, strict=True)
    tv_k = np.array([_virtual_temperature_k(*state) for state in states])
    # NaN: colder than the vapour law knows, or so thin that the vapour alone would be all the air.
    # A humidity sensor that says so has failed, and such air is dry.
    tv_k = np.where(np.isnan(tv_k), t_k, tv_k)
    levels = np.array([level_m, p_pa, t_k, tv_k, sounding.u_mps, sounding.v_mps])
    if low_m < level_m[0]:
        levels = np.column_stack([_below(sounding, levels[:, 0], low_m), levels])
    if high_m > level_m[-1]:
        levels = np.hstack([levels, _above(sounding, levels[:, -1], high_m)])
    return levels


def _below(sounding: Sounding, lowest: FloatArray, low_m: float) -> FloatArray:
    """Return the level put below the lowest one."""
    z, p, t, tv, u, v = lowest
    warmer = _LAPSE_KPM * (z - low_m)
    deep = sounding.gph_m[0] - geopotential_at_m(low_m, _latitude(sounding))
    mean_k = log_mean(tv + warmer, tv)
    p_low = p * np.exp(deep * STANDARD_GRAVITY_MPS2 / (AIR_GAS_CONSTANT_JPKGK * mean_k))
    return np.array([low_m, p_low, t + warmer, tv + warmer, u, v])


def _above(sounding: Sounding, highest: FloatArray, high_m: float) -> FloatArray:
    """Return the levels put above the highest one."""
    z, p, t, _, u, v = highest
    added_z = np.append(np.arange(z + 250.0, high_m, 250.0), high_m)
    gph = np.array([geopotential_at_m(float(h), _latitude(sounding)) for h in added_z])
    top_standard_k = standard_air(sounding.top_gph_m).t_k
    added_t = t + np.array([standard_air(float(h)).t_k for h in gph]) - top_standard_k
    added_t = np.clip(added_t, 180.0, 300.0)
    step = np.diff(gph, prepend=sounding.top_gph_m)
    mean_t = 0.5 * (added_t + np.concatenate([[t], added_t[:-1]]))
    hydrostatic = STANDARD_GRAVITY_MPS2 * step / (AIR_GAS_CONSTANT_JPKGK * mean_t)
    added_p = p * np.exp(-np.cumsum(hydrostatic))
    held = np.ones_like(added_z)
    return np.array([added_z, added_p, added_t, added_t, u * held, v * held])
