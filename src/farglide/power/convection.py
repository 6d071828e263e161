"""Convection: heat that air takes from a small body, passing it or only rising from it."""

import math
from typing import Final

from farglide.air.standard import _viscosity_pas
from farglide.air.transport import _conductivity_wpmk, _prandtl
from farglide.constants import STANDARD_GRAVITY_MPS2
from farglide.kernel import compiled, inner

AIR_K: Final = (180.0, 330.0)
BODY_K: Final = (180.0, 600.0)
LEAST_PECLET: Final = 0.2  # Re Pr, from which the law of passing air holds
MOST_KNUDSEN: Final = 0.01  # above it air no longer sticks to a wall
SIZES_M: Final = (1e-3, 1.0)


@compiled
def _rayleigh(
    nu_m2ps: float, prandtl: float, film_k: float, warmer_k: float, size_m: float
) -> float:
    """Return the Rayleigh number of a film of this kinematic viscosity and Prandtl number."""
    return STANDARD_GRAVITY_MPS2 / film_k * warmer_k * size_m**3 * prandtl / (nu_m2ps * nu_m2ps)


@inner
def passing_nusselt(reynolds: float, prandtl: float) -> float:
    """Return the Nusselt number of a cylinder across a stream; 0 where Re Pr is below 0.2.

    Within 20 % of Hilpert's law for Reynolds numbers of 4 to 40 000, where parts of a glider are;
    25 % below it at 400 000. Source: Churchill and Bernstein, J. Heat Transfer 99 (1977) 300-306;
    Incropera/Bergman eq. 7.54, both as open codes cite them. The paper calls it a lower bound above
    Re Pr 0.4, the book takes it from 0.2.
    """
    if reynolds * prandtl < LEAST_PECLET:
        return 0.0
    thick = math.sqrt(math.sqrt(1.0 + math.pow(0.4 / prandtl, 2.0 / 3.0)))
    laminar = 0.62 * math.sqrt(reynolds) * math.pow(prandtl, 1.0 / 3.0) / thick
    x = reynolds / 282_000.0
    rough = math.sqrt(x) * math.sqrt(math.sqrt(math.sqrt(x)))  # x^(5/8), at a third of the time
    return 0.3 + laminar * math.pow(1.0 + rough, 0.8)


@inner
def rising_nusselt(rayleigh: float, prandtl: float) -> float:
    """Return the Nusselt number of a lying cylinder in still air.

    Source: Churchill and Chu, Int. J. Heat Mass Transfer 18 (1975) 1049-53; Incropera/Bergman
    eq. 9.34, both as open codes cite them. Valid: Rayleigh numbers 1e-5 to 1e12.
    """
    share = math.pow(1.0 + math.pow(0.559 / prandtl, 0.5625), -8.0 / 27.0)
    return (0.60 + 0.387 * share * math.pow(rayleigh, 1.0 / 6.0)) ** 2


@compiled
def _convection_wpm2k(
    rho_kgpm3: float, air_k: float, body_k: float, speed_mps: float, size_m: float
) -> float:
    """Return the heat that air takes from a square metre of a body for each kelvin between them.

    The air is that far away. The body is taken for a lying cylinder of the diameter `size_m`,
    across the wind; passing and rising air join by the third root of the sum of cubes.
    Valid: Reynolds times Prandtl number 0 or 0.2 and more, Reynolds number to 1e7, Rayleigh number
    to 1e12, Knudsen number to 0.01 (a body of 1 mm to 40 km); air 180 to 330 K, body
    180 to 600 K, 1 mm to 1 m.
    Source: Churchill and Bernstein 1977 (passing) and Churchill and Chu 1975 (rising), as in
    Incropera/Bergman, Fundamentals of Heat and Mass Transfer, eqs. 7.54, 9.34 and 9.64 (n = 3), as
    an open code cites them.

    >>> round(_convection_wpm2k(1.225, 288.15, 338.15, 5.0, 0.03), 1)
    45.5
    >>> round(_convection_wpm2k(0.01841, 226.5, 276.5, 5.0, 0.03), 1)
    4.8
    """
    film_k = 0.5 * (air_k + body_k)
    prandtl = _prandtl(film_k)
    nu_m2ps = _viscosity_pas(film_k) * film_k / (rho_kgpm3 * air_k)  # at one pressure
    rayleigh = _rayleigh(nu_m2ps, prandtl, film_k, abs(body_k - air_k), size_m)
    passing = passing_nusselt(speed_mps * size_m / nu_m2ps, prandtl)
    rising = rising_nusselt(rayleigh, prandtl)
    both = math.pow(passing**3 + rising**3, 1.0 / 3.0)
    return both * _conductivity_wpmk(film_k) / size_m
