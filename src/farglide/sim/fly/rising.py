"""Rising: how fast a balloon climbs at some heights with some of its gas left."""

import numpy as np

from farglide.air.between import air_at
from farglide.arrays import FloatArray
from farglide.errors import InputError
from farglide.kernel import compiled
from farglide.sim.core.scene import Balloon, Scene, check_in_air
from farglide.sim.fly.climb import _rising_mps

_N_LOOKS = 4
"""A tight film needs some looks to find its size."""


def rises_mps(scene: Scene, balloon: Balloon, amsl_m: FloatArray, gas_kg: FloatArray) -> FloatArray:
    """Return the speed upward through the air, (n_heights, n_gases); negative where it sinks.

    Valid: heights inside the column, gas from 1 g on. Raises InputError. Source: the balance that
    climbs are flown by.
    """
    for height_m in amsl_m.tolist():
        check_in_air(scene, "amsl_m", height_m)
    if not (gas_kg >= 1e-3).all():
        raise InputError("gas_kg", f"{gas_kg.min():g} kg", "0.001 kg or more")
    out = np.empty((len(amsl_m), len(gas_kg)))
    _fill_rises(scene, balloon, amsl_m, gas_kg, out)
    return out


@compiled
def _fill_rises(
    scene: Scene, balloon: Balloon, amsl_m: FloatArray, gas_kg: FloatArray, out: FloatArray
) -> None:
    for i in range(len(amsl_m)):
        air = air_at(scene.layers, amsl_m[i])
        for j in range(len(gas_kg)):
            speed, diameter_m = 0.0, 1.5
            for _ in range(_N_LOOKS):
                speed, diameter_m = _rising_mps(balloon, gas_kg[j], air, amsl_m[i], diameter_m)
            out[i, j] = speed
