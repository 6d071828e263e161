"""Glide air: the air of one height as a glide is flown in it."""

from farglide.constants import STANDARD_GRAVITY_MPS2
from farglide.glider.polar import GlideAir
from farglide.sim.core.scene import Scene


def layer_at(scene: Scene, amsl_m: float) -> int:
    """Return the layer at a height, the lowest or the highest one outside the column."""
    layers = scene.layers
    return min(max(int((amsl_m - layers.base_amsl_m) / layers.step_m), 0), len(layers.p_pa) - 1)


def glide_air_at(scene: Scene, amsl_m: float) -> GlideAir:
    """Return the air at a height, as `glider.polar` takes it. Valid: heights inside the column."""
    layers, k = scene.layers, layer_at(scene, amsl_m)
    return GlideAir(
        float(layers.rho_kgpm3[k]),
        float(layers.viscosity_pas[k]),
        float(layers.tas_per_eas[k]),
        float(layers.slowing_s2pm2[k]),
        float(layers.gravity_mps2[k] / STANDARD_GRAVITY_MPS2),
    )
