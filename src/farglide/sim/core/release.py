"""Release: from the balloon to level flight on the way to one of the goals."""

from typing import NamedTuple

import numpy as np

from farglide.arrays import FloatArray
from farglide.kernel import compiled, inner
from farglide.sim.core.losses import Losses, _loss_at
from farglide.sim.core.scene import Scene, Swarm, _errors
from farglide.sim.core.states import GLIDING, States
from farglide.sim.core.step import _moved, layer_index
from farglide.sim.core.wind import cell_in, wind_at


class Goals(NamedTuple):
    """The fields as the kernels read them, shape (n_fields,).

    `moved_north_rad`, `moved_east_rad`: how far flights and field are moved over the ground
    together before links are asked. So a launch elsewhere is asked about with the same draws: the
    field is given where the flights have it.
    """

    north_rad: FloatArray
    east_rad: FloatArray
    ground_amsl_m: FloatArray
    arrival_amsl_m: FloatArray
    moved_north_rad: FloatArray
    moved_east_rad: FloatArray


def goals_at(
    north_rad: FloatArray, east_rad: FloatArray, ground_amsl_m: FloatArray, arrival_agl_m: float
) -> Goals:
    """Return goals at offsets from the launch, where they really are."""
    still = np.zeros(len(north_rad))
    arrival_m = ground_amsl_m + arrival_agl_m
    return Goals(north_rad, east_rad, ground_amsl_m, arrival_m, still, still)


class Haste(NamedTuple):
    """When each draw's flight must have arrived, seconds after the launch, shape (n_draws,)."""

    end_s: FloatArray
    heading_s: FloatArray  # flown before the way home is known
    sink_mps: FloatArray  # (n_layers,) of the best glide at glide factor 1, while it is sought
    glide_factor: FloatArray


@compiled
def begin_glide(
    scene: Scene,
    swarm: Swarm,
    losses: Losses,
    haste: Haste,
    draw_at: tuple[int, float, float, float],
) -> tuple[float, float, float, float]:
    """Return height, north, east and seconds when the glider is level and knows its way."""
    i, z, north, east = draw_at
    layers = scene.layers
    lost_m, seconds = _loss_at(losses, i, z - layers.base_amsl_m)
    k = layer_index(layers, z - lost_m)
    lost_m += haste.heading_s[i] * haste.sink_mps[k] / haste.glide_factor[i]
    seconds += haste.heading_s[i]
    u, v, _ = wind_at(scene, _errors(swarm, i), cell_in(k))
    ground = layers.shortening_ratio[k] * seconds
    north, east = _moved(scene.frame, (north, east), u * ground, v * ground)
    return z - lost_m, north, east, seconds


@inner
def begun_from(
    scene: Scene,
    swarm: Swarm,
    losses: Losses,
    haste: Haste,
    at: tuple[States, int, int],
) -> tuple[float, float, float, float]:
    """Return height, north and east at the begin of a draw's glide, and how much later that is.

    `at`: states, draw and moment. What glides already is on its way at once.
    """
    states, i, j = at
    z, north, east = states.amsl_m[i, j], states.north_rad[i, j], states.east_rad[i, j]
    if states.kind[i, j] == GLIDING:
        return z, north, east, 0.0
    return begin_glide(scene, swarm, losses, haste, (i, z, north, east))
