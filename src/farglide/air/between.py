"""Between: the air of a column in a layer, and between the middles of layers."""

from typing import NamedTuple

from farglide.air.layers import Layers
from farglide.kernel import compiled, merged


class AirAt(NamedTuple):
    """Air at one height."""

    p_pa: float
    t_k: float
    rho_kgpm3: float
    viscosity_pas: float
    sound_mps: float
    gravity_mps2: float


@merged
def layer_air(layers: Layers, k: int) -> AirAt:
    """Return the air in the middle of a layer."""
    return AirAt(
        layers.p_pa[k],
        layers.t_k[k],
        layers.rho_kgpm3[k],
        layers.viscosity_pas[k],
        layers.sound_mps[k],
        layers.gravity_mps2[k],
    )


@compiled
def air_at(layers: Layers, amsl_m: float) -> AirAt:
    """Return the air at a height.

    Valid: inside the column; below it the air of its lower edge comes back, above it that of the
    uppermost layer's middle. Within 1e-6 of exponentials where neighbours differ by 1.5 %; in the
    lowest half layer, where there is no lower neighbour, within 1e-5.
    """
    x = (amsl_m - layers.base_amsl_m) / layers.step_m - 0.5
    # down to the column's lower edge, half a layer below the lowest middle
    x = min(max(x, -0.5), len(layers.rho_kgpm3) - 1.000001)
    k = int(max(x, 0.0))
    w = x - k
    p, rho = layers.p_pa, layers.rho_kgpm3
    # linear, less the sag of the exponential it stands for: good to 1e-6 for 1.5 % between layers
    sag = 0.5 * w * (1.0 - w)
    dp, drho = p[k + 1] - p[k], rho[k + 1] - rho[k]
    return AirAt(
        p[k] + w * dp - sag * dp * dp / p[k],
        (1.0 - w) * layers.t_k[k] + w * layers.t_k[k + 1],
        rho[k] + w * drho - sag * drho * drho / rho[k],
        (1.0 - w) * layers.viscosity_pas[k] + w * layers.viscosity_pas[k + 1],
        (1.0 - w) * layers.sound_mps[k] + w * layers.sound_mps[k + 1],
        (1.0 - w) * layers.gravity_mps2[k] + w * layers.gravity_mps2[k + 1],
    )
