"""Speeds: what the crew flies at each height in each wind, by the polar it believes in."""

from typing import Final, NamedTuple

import numpy as np

from farglide.air.column import Layers
from farglide.arrays import FloatArray
from farglide.glider.polar import Winds, _best_eas
from farglide.kernel import compiled, merged
from farglide.sim.fly.glide import Craft
from farglide.sim.reach.support import glide_air, speed_band

N_TAIL: Final = 61
_WIDEST_EAS_MPS: Final = 60.0


class Speeds(NamedTuple):
    """EAS by layer and by the wind along the way, itself scaled to EAS."""

    eas_mps: FloatArray  # (n_layers, N_TAIL)


@compiled
def _fill_speeds(layers: Layers, craft: Craft, out: FloatArray) -> None:
    polar, limits, factor = craft
    for k in range(out.shape[0]):
        air, band = glide_air(layers, k), speed_band(polar, limits, layers, k)
        for i in range(N_TAIL):
            tail = _WIDEST_EAS_MPS * (2.0 * i / (N_TAIL - 1) - 1.0) * layers.tas_per_eas[k]
            out[k, i] = _best_eas(polar, air, band, factor, Winds(tail, 0.0, 0.0))


def speeds_of(layers: Layers, craft: Craft) -> Speeds:
    """Return the speeds that make most ground per height lost, or the one held."""
    eas_mps = np.empty((len(layers.rho_kgpm3), N_TAIL))
    _fill_speeds(layers, craft, eas_mps)
    return Speeds(eas_mps)


@merged
def speed_at(speeds: Speeds, k: int, tail_eas: float) -> float:
    """Return the EAS to fly in a layer for a tail wind scaled to EAS."""
    x = (tail_eas + _WIDEST_EAS_MPS) * ((N_TAIL - 1) / (2.0 * _WIDEST_EAS_MPS))
    x = min(max(x, 0.0), N_TAIL - 1.000001)
    i = int(x)
    w = x - i
    return (1.0 - w) * speeds.eas_mps[k, i] + w * speeds.eas_mps[k, i + 1]
