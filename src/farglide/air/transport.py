"""Transport: how air conducts heat, and how far its molecules fly between two hits."""

import math
from typing import Final

from farglide.air.standard import _viscosity_pas
from farglide.constants import (
    AIR_GAS_CONSTANT_JPKGK,
    AIR_HEAT_RATIO,
    AIR_MOLAR_MASS_KGPMOL,
    AVOGADRO_PMOL,
)
from farglide.kernel import compiled

HEAT_CAPACITY_JPKGK: Final = (
    AIR_HEAT_RATIO / (AIR_HEAT_RATIO - 1.0) * AIR_GAS_CONSTANT_JPKGK
)  # 1004.7 J/(kg K)
_COLLISION_DIAMETER_M: Final = 3.65e-10  # US Standard Atmosphere 1976, as four open codes have it


@compiled
def _conductivity_wpmk(t_k: float) -> float:
    """Return the thermal conductivity of air.

    Valid: 150 to 700 K, within 4 % of a reference library at 200 to 400 K. Source: US Standard
    Atmosphere 1976, as an open library cites it (there 245.4 x 10^(-12/T)); eq. 53 from memory.
    """
    return 2.64638e-3 * t_k * math.sqrt(t_k) / (t_k + 245.4 * math.exp(-27.631021 / t_k))


@compiled
def _prandtl(t_k: float) -> float:
    """Return the Prandtl number of dry air: heat capacity x viscosity / conductivity."""
    return HEAT_CAPACITY_JPKGK * _viscosity_pas(t_k) / _conductivity_wpmk(t_k)


@compiled
def _mean_free_path_m(rho_kgpm3: float) -> float:
    """Return how far a molecule of air flies between two hits: 66 nm at sea level.

    Divided by the size of a body it is the Knudsen number: below 0.01 air is a continuum. At 30 km
    and for 1 cm that is 0.0004, so no part of a glider is ever beyond it.
    Valid: 1e-4 to 10 kg/m3. Source: US Standard Atmosphere 1976, mean free path of hard spheres of
    3.65e-10 m, as four open codes have it.
    """
    n_pm3 = rho_kgpm3 / AIR_MOLAR_MASS_KGPMOL * AVOGADRO_PMOL
    return 1.0 / (math.sqrt(2.0) * math.pi * _COLLISION_DIAMETER_M**2 * n_pm3)
