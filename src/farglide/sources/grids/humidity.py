"""Humidity of air relative to saturation over water, from what forecasts tell of it."""

from typing import Final

import numpy as np

from farglide.air.moist import saturation_pressures_pa
from farglide.arrays import FloatArray, SingleArray
from farglide.constants import WATER_TO_AIR_MOLAR_RATIO

_MOST: Final = 1.2
"""More is not taken: a cloud of ice is hardly beyond it, over water."""


def relative_humidity(values: dict[str, SingleArray], p_pa: FloatArray) -> SingleArray | None:
    """Return the humidity as a ratio, told or from specific humidity; None where none is told.

    `p_pa` has the shape of the levels' axis. NaN where neither is told.
    Source: e = q p / (0.622 + 0.378 q), the definition of specific humidity and Dalton's law, as in
    WMO-No. 8 annex 4.A.
    """
    told = values.get("rh_ratio")
    if "q_ratio" in values:
        q = np.maximum(values["q_ratio"], 0.0)
        share = WATER_TO_AIR_MOLAR_RATIO + (1.0 - WATER_TO_AIR_MOLAR_RATIO) * q
        vapour_pa = q * p_pa.astype(np.float32)[:, None, None] / share
        computed = (vapour_pa / saturation_pressures_pa(values["t_k"])).astype(np.float32)
        told = computed if told is None else np.where(np.isnan(told), computed, told)
    return None if told is None else np.clip(told, 0.0, _MOST).astype(np.float32)
