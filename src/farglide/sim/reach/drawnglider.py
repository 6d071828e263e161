"""Drawn glider: one glider of one draw, and the speeds that are open to it in each layer."""

from typing import NamedTuple

import numpy as np

from farglide.air.layers import Layers
from farglide.arrays import FloatArray
from farglide.constants import STANDARD_GRAVITY_MPS2
from farglide.glider.polar import EasBand, GlideAir, _fastest_eas, _slowest_eas, _steady
from farglide.glider.wing import Polar
from farglide.kernel import inner


class Limits(NamedTuple):
    """What the structure and the Mach number allow, and one speed held instead of the best."""

    top_eas_mps: float
    top_mach: float
    held_eas_mps: float = 0.0  # 0: the best speed in every layer


class DrawnGlider(NamedTuple):
    """One glider: its polar, what is allowed, and how good the draw has made it."""

    polar: Polar
    limits: Limits
    glide_factor: float


@inner
def glide_air(layers: Layers, k: int) -> GlideAir:
    """Return the air of a layer as the glide's laws take it."""
    return GlideAir(
        layers.rho_kgpm3[k],
        layers.viscosity_pas[k],
        layers.tas_per_eas[k],
        layers.slowing_s2pm2[k],
        layers.gravity_mps2[k] / STANDARD_GRAVITY_MPS2,
    )


@inner
def speed_band(polar: Polar, limits: Limits, layers: Layers, k: int) -> EasBand:
    """Return the slowest and the fastest EAS in a layer; the slowest alone where nothing fits."""
    slowest = _slowest_eas(polar)
    sound, ratio = layers.sound_mps[k], layers.tas_per_eas[k]
    fastest = max(_fastest_eas(limits.top_eas_mps, limits.top_mach, sound, ratio), slowest)
    if limits.held_eas_mps > 0.0:
        slowest = min(max(limits.held_eas_mps, slowest), fastest)
        fastest = slowest
    return EasBand(slowest, fastest)


def ceiling_amsl_m(layers: Layers, polar: Polar, limits: Limits) -> float:
    """Return the height above which no steady speed keeps both the stall and the Mach limit.

    Infinite where there is always one inside the column.
    """
    slowest = float(_slowest_eas(polar))
    fits = limits.top_mach * layers.sound_mps / layers.tas_per_eas >= slowest
    if fits.all():
        return float("inf")
    return layers.base_amsl_m + layers.step_m * int(np.argmin(fits))


def sinks_mps(layers: Layers, polar: Polar, eas_mps: float) -> FloatArray:
    """Return the sink of a straight glide at this EAS in each layer, at glide factor 1."""
    gravity = layers.gravity_mps2 / STANDARD_GRAVITY_MPS2
    known = (layers.rho_kgpm3, layers.viscosity_pas, layers.tas_per_eas, layers.slowing_s2pm2)
    airs = zip(*known, gravity, strict=True)
    return np.array([_steady(polar, eas_mps, GlideAir(*air), 1.0, 1.0)[1] for air in airs])
