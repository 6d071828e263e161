"""Release: from the balloon to level flight on the way to one of the goals."""

from typing import NamedTuple

import numpy as np

from farglide.arrays import FloatArray
from farglide.kernel import compiled, inner
from farglide.sim.core.losses import Losses, _loss_at
from farglide.sim.core.scene import Scene, Swarm, _errors_home
from farglide.sim.core.states import GLIDING, States, point_at
from farglide.sim.core.step import Offset, _moved, layer_index
from farglide.sim.core.tracks import Point
from farglide.sim.core.wind import AirCell, when_at, wind_at


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


@compiled
def field_offset(goals: Goals, f: int) -> Offset:
    """Return where a field is."""
    return Offset(goals.north_rad[f], goals.east_rad[f])


class Haste(NamedTuple):
    """When each draw's flight must have arrived, seconds after the launch, shape (n_draws,)."""

    end_s: FloatArray
    heading_s: FloatArray  # flown before the way home is known
    sink_mps: FloatArray  # (n_layers,) of the best glide at glide factor 1, while it is sought
    glide_factor: FloatArray


class Releases(NamedTuple):
    """What the release of each draw comes to: in which air, at what loss, and with what haste."""

    swarm: Swarm
    losses: Losses
    haste: Haste


@compiled
def begin_glide(scene: Scene, releases: Releases, i: int, at: Point) -> Point:
    """Return when and where the glider of draw `i`, let go, is level and knows its way."""
    layers, haste = scene.layers, releases.haste
    lost_m, seconds = _loss_at(releases.losses, i, at.amsl_m - layers.base_amsl_m)
    k = layer_index(layers, at.amsl_m - lost_m)
    lost_m += haste.heading_s[i] * haste.sink_mps[k] / haste.glide_factor[i]
    seconds += haste.heading_s[i]
    wind = wind_at(scene, _errors_home(releases.swarm, i), AirCell(k, when_at(at)))
    ground = layers.shortening_ratio[k] * seconds
    here = Offset(at.north_rad, at.east_rad)
    to = _moved(scene.frame, here, wind.u_mps * ground, wind.v_mps * ground)
    return Point(at.t_s + seconds, at.amsl_m - lost_m, to.north_rad, to.east_rad)


@inner
def begun_from(scene: Scene, releases: Releases, states: States, i: int, j: int) -> Point:
    """Return when and where the glide of draw `i` begins from its state of moment `j`.

    What glides already is on its way at once.
    """
    at = point_at(states, i, j)
    if states.kind[i, j] == GLIDING:
        return at
    return begin_glide(scene, releases, i, at)
