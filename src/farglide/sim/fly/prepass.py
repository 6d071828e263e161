"""Prepass: what depends on the column and the gear alone, worked out once for all flights."""

from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from farglide.air.column import Layers
from farglide.balloon.ascent import Balance, Envelope
from farglide.balloon.envelope import _film_pressure_pa
from farglide.constants import SEA_LEVEL_DENSITY_KGPM3, STANDARD_GRAVITY_MPS2
from farglide.glider.polar import Polar, _best_eas
from farglide.kernel import compiled
from farglide.sim.reach.support import Limits, glide_air, speed_band

FloatArray = NDArray[np.float64]

N_REYNOLDS: Final = 8192
N_TAIL: Final = 61
WIDEST_EAS_MPS: Final = 60.0
N_POWER: Final = 1601
FINEST_EAS_MPS: Final = 0.1


class Rise(NamedTuple):
    """The drag balance of a climb with everything of the layer taken out of the loop."""

    number_log: FloatArray  # ln (8 g rho / (pi mu^2)): plus ln (lift / drag factor) = ln (C_d Re^2)
    sphere_m: FloatArray  # diameter of a sphere that displaces 1 kg
    kinematic_m2ps: FloatArray
    inverse_t_pk: FloatArray
    p_pa: FloatArray
    first_log: float
    per_step: float
    reynolds: FloatArray  # over ln (C_d Re^2), fine enough for straight lines between


class Glide(NamedTuple):
    """The speed to fly by layer and tail wind, and the layer's share of the drag law."""

    growth: FloatArray  # (Re_ref mu / (rho TAS/EAS chord)) ** n
    eas_mps: FloatArray  # (n_layers, N_TAIL)
    power: FloatArray  # EAS ** -n, every FINEST_EAS_MPS from 0
    gravity_ratio: FloatArray


def rise_of(layers: Layers, balance: Balance) -> Rise:
    """Return the climb's prepass."""
    rho, mu = layers.rho_kgpm3, layers.viscosity_pas
    logs = balance.first_log + balance.step_log * np.linspace(
        0.0, len(balance.log_reynolds) - 1.0, N_REYNOLDS
    )
    old = balance.first_log + balance.step_log * np.arange(len(balance.log_reynolds))
    return Rise(
        np.log(8.0 * layers.gravity_mps2 * rho / (np.pi * mu * mu)),
        np.cbrt(6.0 / (np.pi * rho)),
        mu / rho,
        1.0 / layers.t_k,
        layers.p_pa,
        float(logs[0]),
        float(1.0 / (logs[1] - logs[0])),
        np.exp(np.interp(logs, old, balance.log_reynolds)),
    )


@compiled
def _fill_speeds(
    layers: Layers, polar: Polar, limits: Limits, factor: float, out: FloatArray
) -> None:
    for k in range(out.shape[0]):
        air, band = glide_air(layers, k), speed_band(polar, limits, layers, k)
        for i in range(N_TAIL):
            tail = WIDEST_EAS_MPS * (2.0 * i / (N_TAIL - 1) - 1.0) * layers.tas_per_eas[k]
            out[k, i] = _best_eas(polar, air, band, factor, (tail, 0.0, 0.0))


def glide_of(layers: Layers, polar: Polar, limits: Limits, factor: float) -> Glide:
    """Return the glide's prepass: the crew flies the speeds of the polar it believes in."""
    eas = np.empty((len(layers.rho_kgpm3), N_TAIL))
    _fill_speeds(layers, polar, limits, factor, eas)
    reynolds_per_eas = layers.rho_kgpm3 * layers.tas_per_eas * polar.chord_m / layers.viscosity_pas
    return Glide(
        (polar.reference_reynolds / reynolds_per_eas) ** polar.reynolds_exponent,
        eas,
        np.maximum(np.arange(N_POWER) * FINEST_EAS_MPS, FINEST_EAS_MPS) ** -polar.reynolds_exponent,
        layers.gravity_mps2 / STANDARD_GRAVITY_MPS2,
    )


@compiled
def _rise_fast(
    rise: Rise, envelope: Envelope, load_kg: float, k: int, before_m: float
) -> tuple[float, float]:
    """Return speed upward and diameter in layer k; `before_m`: the diameter one layer lower.

    The cube root of the warmed gas is a series: 3e-6 off at 15 % warmer. A stiff film squeezes the
    gas by what it pulled one layer lower, where it is 0.5 % smaller.
    """
    warm = envelope.gas_warmer_k * rise.inverse_t_pk[k]
    air_kg = envelope.gas_kg * envelope.gas_per_air_constant * (1.0 + warm)
    root = np.cbrt(envelope.gas_kg * envelope.gas_per_air_constant)
    stretched = 1.0 + warm * (1.0 / 3.0 - warm * (1.0 / 9.0 - warm * (5.0 / 81.0 - warm * 0.0412)))
    diameter = rise.sphere_m[k] * root * stretched
    if envelope.film_npm > 0.0:
        slack_m = envelope.slack_diameter_m
        pulled_pa = _film_pressure_pa(before_m / slack_m, envelope.film_npm, slack_m)
        squeezed = rise.p_pa[k] / (rise.p_pa[k] + pulled_pa)
        air_kg, diameter = air_kg * squeezed, diameter * np.cbrt(squeezed)
    if air_kg <= load_kg:
        return 0.0, diameter
    x = (
        rise.number_log[k] + np.log((air_kg - load_kg) / envelope.drag_factor) - rise.first_log
    ) * rise.per_step
    x = min(max(x, 0.0), N_REYNOLDS - 1.000001)
    i = int(x)
    w = x - i
    reynolds = rise.reynolds[i] + w * (rise.reynolds[i + 1] - rise.reynolds[i])
    return reynolds * rise.kinematic_m2ps[k] / diameter, diameter


@compiled
def _glide_fast(
    glide: Glide,
    layers: Layers,
    craft: tuple[Polar, float],
    k: int,
    eas_mps: float,
    load: float,
) -> tuple[float, float]:
    """Return level speed and sink in layer k. `craft`: polar and glide factor.

    The same law as `glider.polar._steady`, with the layer's Reynolds number already worked in.
    """
    polar, factor = craft
    x = eas_mps * (1.0 / FINEST_EAS_MPS)
    i = int(x)
    power = glide.power[i] + (x - i) * (glide.power[i + 1] - glide.power[i])
    growth = max(1.0, glide.growth[k] * power)
    q_area = 0.5 * SEA_LEVEL_DENSITY_KGPM3 * eas_mps * eas_mps * polar.area_m2
    weight_n = polar.weight_n * glide.gravity_ratio[k] * factor
    a = q_area * polar.zero_lift_drag * growth / weight_n
    b = (
        polar.induced_drag
        * load
        * load
        * polar.weight_n
        * glide.gravity_ratio[k]
        / (q_area * factor)
    )
    c = 1.0 + layers.slowing_s2pm2[k] * eas_mps * eas_mps
    sine = min(2.0 * (a + b) / (c + np.sqrt(c * c + 4.0 * b * (a + b))), 1.0)
    tas = eas_mps * layers.tas_per_eas[k]
    return tas * np.sqrt(1.0 - sine * sine), tas * sine
