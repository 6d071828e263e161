"""Warmth: how long the temperatures of many flights take."""

from typing import Any

import numpy as np

from bench.timing import Row, best_s
from farglide.air.standard import standard_air
from farglide.power.cells import ends_s
from farglide.power.heat import Around, Body, temperatures_k

_N_FLIGHTS = 1000
_STEP_S = 30.0
_N_STEPS = 321  # 160 min


def warmth_rows() -> list[Row]:
    """Return the rows of a transmitter in the air and of cells in a box."""
    heights = np.minimum(5.5 * _STEP_S * np.arange(_N_STEPS), 30_000.0)
    airs = [standard_air(z) for z in heights]
    air_k = np.tile([air.t_k for air in airs], (_N_FLIGHTS, 1))
    rho = np.tile([air.rho_kgpm3 for air in airs], (_N_FLIGHTS, 1))
    ones, start_k = np.ones_like(air_k), np.full(_N_FLIGHTS, 288.15)
    around = Around(_STEP_S, air_k, rho, 5.5 * ones, air_k, 3.0 * ones)
    case = Body(
        mass_kg=0.03, specific_heat_jpkgk=900.0, area_m2=0.006, size_m=0.03, emissivity_ratio=0.8
    )
    box = Body(mass_kg=0.12, specific_heat_jpkgk=1000.0, conductance_wpk=0.03)

    def pack() -> Any:
        cells_k = temperatures_k(box, around, start_k)
        return ends_s(cells_k, _STEP_S, 7.0, 26.0, [(200.0, 0.3), (320.0, 1.0)])

    case_s = best_s(lambda: temperatures_k(case, around, start_k))
    return [
        ("transmitters of 1 000 x 160 min at 30 s", f"{1e3 * case_s:.0f} ms", "bar 200 ms"),
        ("  cells in a box, and their pack's end", f"{1e3 * best_s(pack):.0f} ms", ""),
    ]
