"""Level: when and where each draw that is let go has dropped, pulled out and flies."""

import numpy as np

from farglide.arrays import FloatArray
from farglide.kernel import compiled
from farglide.sim.core.losses import Losses
from farglide.sim.core.release import Haste, begin_glide
from farglide.sim.core.scene import Scene, Swarm
from farglide.sim.core.tracks import Point, is_nowhere, point_of, put_point
from farglide.sim.core.workers import Workers, in_one_go


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
        at = point_of(starts, i)
        if is_nowhere(at):
            continue
        released = (i, at.amsl_m, at.north_rad, at.east_rad)
        z, north, east, seconds = begin_glide(scene, swarm, losses, haste, released)
        put_point(ends, i, Point(at.t_s + seconds, z, north, east))


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
