"""Holding: up to where a glider can stay over a field: as fast as the wind in each layer below."""

from typing import Final, NamedTuple

from farglide.glider.polar import _steady
from farglide.kernel import inner
from farglide.sim.core.scene import Scene
from farglide.sim.core.step import Errors, layer_index
from farglide.sim.core.wind import cell_in, wind_at
from farglide.sim.reach.drawnglider import DrawnGlider, glide_air
from farglide.sim.reach.reach import Descent
from farglide.sim.reach.speeds import Speeds

_SURELY_RATIO: Final = 0.7
"""A wind below this share of the fastest airspeed is held against whatever the glide: down to a
path 45 degrees steep."""


class Holder(NamedTuple):
    """One draw's glider over a field."""

    craft: DrawnGlider  # as its crew believes it to be
    speeds: Speeds
    glide_factor: float


@inner
def is_outrun(scene: Scene, errors: Errors, holder: Holder, k: int) -> bool:
    """Tell whether the wind of layer `k` is faster than the glider at its fastest."""
    layers, eas_mps = scene.layers, holder.speeds.fastest_mps[k]
    wind = wind_at(scene, errors, cell_in(k))
    wind2 = wind.u_mps * wind.u_mps + wind.v_mps * wind.v_mps
    surely_mps = _SURELY_RATIO * eas_mps * layers.tas_per_eas[k]
    if wind2 <= surely_mps * surely_mps:
        return False
    level, _ = _steady(holder.craft.polar, eas_mps, glide_air(layers, k), holder.glide_factor, 1.0)
    return wind2 > level * level


@inner
def held_up_to(scene: Scene, errors: Errors, holder: Holder, down: Descent) -> float:
    """Return the greatest height in a descent from which the glider can stay all the way down."""
    layers = scene.layers
    k = layer_index(layers, down.to_amsl_m)
    low_m = down.to_amsl_m
    while low_m < down.from_amsl_m and k < len(layers.rho_kgpm3):
        if is_outrun(scene, errors, holder, k):
            return low_m
        k += 1
        low_m = layers.base_amsl_m + k * layers.step_m
    return down.from_amsl_m
