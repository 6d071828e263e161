"""Trail: where what nobody steers is, moment by moment on one clock, draw by draw."""

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from farglide.kernel import compiled
from farglide.sim.core.losses import Losses
from farglide.sim.core.release import Haste, begin_glide
from farglide.sim.core.scene import Scene, Swarm, _errors
from farglide.sim.core.workers import Workers, in_one_go
from farglide.sim.fly.descend import layer_down

FloatArray = NDArray[np.float64]


class Trails(NamedTuple):
    """Heights and offsets from the launch, shape (n_draws, n_moments), NaN before and after."""

    amsl_m: FloatArray
    north_rad: FloatArray
    east_rad: FloatArray


@compiled
def _levelled_some(
    scene: Scene,
    drawn: tuple[Swarm, Losses, Haste],
    some: tuple[int, int],
    starts: FloatArray,
    ends: FloatArray,
) -> None:
    swarm, losses, haste = drawn
    for i in range(some[0], some[1]):
        if math.isnan(starts[i, 1]):
            continue
        at = (i, starts[i, 1], starts[i, 2], starts[i, 3])
        z, north, east, seconds = begin_glide(scene, swarm, losses, haste, at)
        ends[i, 0], ends[i, 1], ends[i, 2], ends[i, 3] = starts[i, 0] + seconds, z, north, east


def levelled(
    scene: Scene,
    drawn: tuple[Swarm, Losses, Haste],
    starts: FloatArray,
    workers: Workers = in_one_go,
) -> FloatArray:
    """Return when and where each draw has dropped, pulled out and flies, (n_draws, 4).

    `starts` and the answer hold time, height and offsets north and east in radians, NaN for none.
    """
    ends = np.full(starts.shape, np.nan)
    workers(lambda a, b: _levelled_some(scene, drawn, (a, b), starts, ends), len(starts))
    return ends


@compiled
def _trails_some(
    scene: Scene,
    swarm: Swarm,
    fall: tuple[FloatArray, float],
    some: tuple[int, int],
    flights: tuple[FloatArray, FloatArray, Trails],
) -> None:
    sinks_mps, to_amsl_m = fall
    starts, clock_s, out = flights
    n = len(clock_s)
    for i in range(some[0], some[1]):
        t, z, north, east = starts[i, 0], starts[i, 1], starts[i, 2], starts[i, 3]
        if math.isnan(z) or math.isnan(t):
            continue
        errors, sink = _errors(swarm, i), (sinks_mps[i], to_amsl_m)
        j = 0
        while j < n and clock_s[j] < t:
            j += 1
        while j < n and z > to_amsl_m + 1e-6:
            t_b, z_b, north_b, east_b = layer_down(scene, errors, sink, (t, z, north, east))
            while j < n and clock_s[j] <= t_b:
                share = (clock_s[j] - t) / (t_b - t)
                out.amsl_m[i, j] = z + share * (z_b - z)
                out.north_rad[i, j] = north + share * (north_b - north)
                out.east_rad[i, j] = east + share * (east_b - east)
                j += 1
            t, z, north, east = t_b, z_b, north_b, east_b


def trails(
    scene: Scene,
    swarm: Swarm,
    fall: tuple[FloatArray, float],
    flights: tuple[FloatArray, FloatArray],
    workers: Workers = in_one_go,
) -> Trails:
    """Return where each draw is at each moment, down to a height.

    `fall`: sink of each draw at sea-level density, and the height; `flights`: time, height and
    offsets where each begins, (n_draws, 4), NaN for none, and the rising moments asked for,
    (n_moments,). Moment for moment what `descend` ends with. Valid: heights inside the column.
    """
    starts, clock_s = flights
    out = Trails(*(np.full((len(starts), len(clock_s)), np.nan) for _ in range(3)))
    moments = np.ascontiguousarray(clock_s, dtype=np.float64)

    def some(first: int, last: int) -> None:
        _trails_some(scene, swarm, fall, (first, last), (starts, moments, out))

    workers(some, len(starts))
    return out
