"""Level: when and where each draw that is let go has dropped, pulled out and flies."""

import numpy as np

from farglide.arrays import FloatArray
from farglide.kernel import compiled
from farglide.sim.core.release import Releases, begin_glide
from farglide.sim.core.scene import Scene
from farglide.sim.core.tracks import is_nowhere, point_of, put_point
from farglide.sim.core.workers import Stretch, Workers, in_one_go


@compiled
def _levelled_some(
    scene: Scene, releases: Releases, starts: FloatArray, some: Stretch, ends: FloatArray
) -> None:
    for i in range(some.first, some.last):
        at = point_of(starts, i)
        if not is_nowhere(at):
            put_point(ends, i, begin_glide(scene, releases, i, at))


def levelled(
    scene: Scene, releases: Releases, starts: FloatArray, workers: Workers = in_one_go
) -> FloatArray:
    """Return when and where each draw has dropped, pulled out and flies, (n_draws, 4).

    `starts` and the answer hold time, height and offsets north and east in radians, NaN for none.
    """
    ends = np.full(starts.shape, np.nan)
    workers(lambda a, b: _levelled_some(scene, releases, starts, Stretch(a, b), ends), len(starts))
    return ends
