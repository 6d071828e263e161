"""Descend: what nobody steers, down through the wind of its own draw to a height."""

import numpy as np
from numpy.typing import NDArray

from farglide.air.doubt import _at_layer
from farglide.fall import Story
from farglide.kernel import compiled
from farglide.sim.core.scene import Scene, Swarm, _errors
from farglide.sim.core.step import Errors, _moved, _wind, layer_index
from farglide.sim.core.workers import Workers, in_one_go

FloatArray = NDArray[np.float64]

SLOWEST_MPS = 0.02
"""Rising air may hold a slow circle up for a while; this ends the wait."""


@compiled
def layer_down(
    scene: Scene,
    errors: Errors,
    fall: tuple[float, float],
    state: tuple[float, float, float, float],
) -> tuple[float, float, float, float]:
    """Return time, height and offsets where a fall leaves its layer, or ends.

    `fall`: sink at sea-level density, and the height to stop at, below that of `state`. On the way
    all four change evenly.
    """
    t, z, north, east = state
    layers = scene.layers
    k = layer_index(layers, z - 1e-6)
    low = max(layers.base_amsl_m + k * layers.step_m, fall[1])
    up = scene.up_sd_mps * _at_layer(scene.knots, errors.up, k)
    dt = (z - low) / max(fall[0] * layers.tas_per_eas[k] - up, SLOWEST_MPS)
    u, v = _wind(layers, scene.knots, errors, (0, k))
    ground = layers.shortening_ratio[k] * dt
    north, east = _moved(scene.frame, (north, east), u * ground, v * ground)
    return t + dt, low, north, east


@compiled
def _descend_some(
    scene: Scene,
    swarm: Swarm,
    fall: tuple[FloatArray, float],
    some: tuple[int, int],
    starts: FloatArray,
    ends: FloatArray,
) -> None:
    """Bring draws `some` down. `fall`: sink at sea-level density, and the height to stop at."""
    sinks_mps, to_amsl_m = fall
    for i in range(some[0], some[1]):
        t, z, north, east = starts[i, 0], starts[i, 1], starts[i, 2], starts[i, 3]
        if np.isnan(z) or np.isnan(t):
            continue
        errors, sink = _errors(swarm, i), (sinks_mps[i], to_amsl_m)
        while z > to_amsl_m + 1e-6:
            t, z, north, east = layer_down(scene, errors, sink, (t, z, north, east))
        ends[i, 0], ends[i, 1], ends[i, 2], ends[i, 3] = t, z, north, east


def descend(
    scene: Scene,
    swarm: Swarm,
    fall: tuple[Story, float],
    starts: FloatArray,
    workers: Workers = in_one_go,
    sink_share: FloatArray | None = None,
) -> FloatArray:
    """Return when and where each draw comes down to a height, (n_draws, 4), NaN for none.

    `fall`: the story told, and the height; `starts` and the answer hold time, height and offsets
    north and east in radians. `sink_share` (n_draws,) multiplies the story's sink draw by draw. The
    sink is that of settled fall at every height. Valid: heights inside the column.
    """
    n = len(swarm.gas_kg)
    ends = np.full((n, 4), np.nan)
    share = np.ones(n) if sink_share is None else sink_share
    plain = (fall[0].sink_eas_mps * share, fall[1])
    workers(lambda a, b: _descend_some(scene, swarm, plain, (a, b), starts, ends), n)
    return ends
