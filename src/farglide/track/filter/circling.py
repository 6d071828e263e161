"""Circling: how wide what nobody steers goes round, and how far a fix lies off its middle."""

from typing import Final

import numpy as np

from farglide.arrays import FloatArray
from farglide.constants import STANDARD_GRAVITY_MPS2
from farglide.glider.polar import polar_stall_eas_mps
from farglide.sim.fly.particles import HANDS_OFF, N_STORIES, SPIRAL, Cloud
from farglide.track.filter.particles import Laws

_TRIM_RATIO: Final = 1.2
"""Left alone it flies at so many times its stall speed: common practice, no source."""
_OVER_TANGENT: Final = np.zeros((N_STORIES, 3))
_OVER_TANGENT[HANDS_OFF] = 0.0, 1.0, 3.0
_OVER_TANGENT[SPIRAL] = 0.0, 0.6, 1.7
"""One over the tangent of the bank, by each of three ways to go round: on the spot, or at 45 and 18
degrees hands off, at 60 and 30 in a spiral. Guesses, no source."""


def circles_m(laws: Laws, cloud: Cloud) -> FloatArray:
    """Return the radius of each particle's circle, (n,); 0 for what flies straight or falls.

    Which of three ways it goes round is its `down_way`. Source: V^2 / (g tan(bank)), V through the
    air, so the same circle is ten times as wide 16 km up.
    """
    over = np.where(cloud.drop_s > 0.0, 0.0, _OVER_TANGENT[cloud.story, cloud.down_way])
    goes = np.flatnonzero(over)
    found = np.zeros(len(over))
    if len(goes):
        layers = laws.movers.scene.layers
        k = ((cloud.amsl_m[goes] - layers.base_amsl_m) / layers.step_m).astype(np.int64)
        tas_per_eas = layers.tas_per_eas[np.clip(k, 0, len(layers.rho_kgpm3) - 1)]
        tas_mps = _TRIM_RATIO * polar_stall_eas_mps(laws.movers.polar) * tas_per_eas
        found[goes] = tas_mps**2 / STANDARD_GRAVITY_MPS2 * over[goes]
    return found


def off_middle_m2(laws: Laws, cloud: Cloud) -> FloatArray:
    """Return the variance along either axis of a place on the circle about its middle, (n,)."""
    return np.asarray(0.5 * circles_m(laws, cloud) ** 2)
