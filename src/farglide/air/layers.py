"""Layers: the air between even heights, each with its means."""

from typing import Final, NamedTuple

import numpy as np

from farglide.air.standard import _sound_mps, _viscosity_pas
from farglide.arrays import FloatArray
from farglide.constants import (
    AIR_GAS_CONSTANT_JPKGK,
    NOMINAL_EARTH_RADIUS_M,
    SEA_LEVEL_DENSITY_KGPM3,
)
from farglide.earth.heights import _gravity_mps2
from farglide.earth.radii import _shortening_ratio

LAYER_M: Final = 100.0
"""Thickness of a layer: the fast forms step through these."""


class Layers(NamedTuple):
    """The column as the kernels read it: values at the middle of each layer, lowest first.

    Winds are means over the layer. They carry a leading axis of places and times, of length 1 for
    one column: the one seam through which a later forecast grid is sampled.
    """

    base_amsl_m: float
    step_m: float
    p_pa: FloatArray
    t_k: FloatArray
    rho_kgpm3: FloatArray
    viscosity_pas: FloatArray
    sound_mps: FloatArray
    gravity_mps2: FloatArray
    shortening_ratio: FloatArray  # ground distance per distance flown at this height
    tas_per_eas: FloatArray  # 1 / sqrt(sigma)
    slowing_s2pm2: FloatArray  # (1 / 2g) d(1/sigma)/dh: times EAS squared = (V/g) dV/dh
    u_mps: FloatArray  # (1, n)
    v_mps: FloatArray  # (1, n)


class MeanWind(NamedTuple):
    """The wind of each layer."""

    u_mps: FloatArray
    v_mps: FloatArray


def log_mean(a: FloatArray | float, b: FloatArray | float) -> FloatArray:
    """Return the mean that turns a linear temperature into the hydrostatic law: (b-a) / ln(b/a)."""
    x = np.log(np.asarray(b) / a)
    nearly = np.abs(x) < 1e-6
    mean: FloatArray = np.where(
        nearly, 0.5 * (np.asarray(a) + b), a * np.expm1(x) / np.where(nearly, 1.0, x)
    )
    return mean


def pressures_pa(
    middle_m: FloatArray, z_m: FloatArray, p_pa: FloatArray, tv_k: FloatArray
) -> FloatArray:
    """Return pressures between levels: hydrostatic with a linear temperature, through both levels.

    A plain exponential would be 1 % off in the middle of a gap of 5 km.
    """
    i = np.clip(np.searchsorted(z_m, middle_m, side="right") - 1, 0, len(z_m) - 2)
    rise, whole = middle_m - z_m[i], z_m[i + 1] - z_m[i]
    tv_here = tv_k[i] + (tv_k[i + 1] - tv_k[i]) * rise / whole
    lifted = (NOMINAL_EARTH_RADIUS_M + z_m[i + 1]) / (NOMINAL_EARTH_RADIUS_M + middle_m)
    rise_share = rise / whole * lifted  # of the geopotential between the levels
    share = rise_share * log_mean(tv_k[i], tv_k[i + 1]) / log_mean(tv_k[i], tv_here)
    pressures: FloatArray = p_pa[i] * (p_pa[i + 1] / p_pa[i]) ** share
    return pressures


def layer_means(z_m: FloatArray, value: FloatArray, edges_m: FloatArray) -> FloatArray:
    """Return the mean over each layer of a value that is linear between levels."""
    knots = np.union1d(z_m, edges_m)
    at_knots = np.interp(knots, z_m, value)
    area = np.concatenate([[0.0], np.cumsum(0.5 * (at_knots[1:] + at_knots[:-1]) * np.diff(knots))])
    means: FloatArray = np.diff(np.interp(edges_m, knots, area)) / np.diff(edges_m)
    return means


def layers_of(
    middle_m: FloatArray,
    p_pa: FloatArray,
    t_k: FloatArray,
    tv_k: FloatArray,
    wind: MeanWind,
) -> Layers:
    rho = p_pa / (AIR_GAS_CONSTANT_JPKGK * tv_k)
    inverse_sigma = SEA_LEVEL_DENSITY_KGPM3 / rho
    g = np.array([_gravity_mps2(h) for h in middle_m])
    return Layers(
        base_amsl_m=float(middle_m[0] - 0.5 * LAYER_M),
        step_m=LAYER_M,
        p_pa=p_pa,
        t_k=t_k,
        rho_kgpm3=rho,
        viscosity_pas=np.array([_viscosity_pas(t) for t in t_k]),
        sound_mps=np.array([_sound_mps(t) for t in t_k]),
        gravity_mps2=g,
        shortening_ratio=np.array([_shortening_ratio(h) for h in middle_m]),
        tas_per_eas=np.sqrt(inverse_sigma),
        slowing_s2pm2=np.gradient(inverse_sigma, middle_m) / (2.0 * g),
        u_mps=np.ascontiguousarray(wind.u_mps[None, :]),
        v_mps=np.ascontiguousarray(wind.v_mps[None, :]),
    )
