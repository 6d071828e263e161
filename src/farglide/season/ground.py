"""Ground: where near an even spot a balloon can be launched, as far as the files know it."""

from dataclasses import dataclass
from typing import Final

import numpy as np

from farglide.atlas.cells import STEEPEST_DEG, Ground, cells_at
from farglide.atlas.terrain import Terrain
from farglide.earth.geodesy import offsets_deg
from farglide.earth.state import Place
from farglide.sortie.spec import Sortie

AROUND_M: Final = 2000.0
"""So far round an even spot ground is looked for: the spot stands for its neighbourhood."""
_CELL_M: Final = 400.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Needs:
    """What a launch needs of the ground. `walk_m`: at most so far from a road that is known."""

    walk_m: float = 500.0


def launchable(sortie: Sortie, terrain: Terrain | None, near: Place, needs: Needs) -> Place | None:
    """Return the nearest ground to a place that a launch can be made from; None within 2 km.

    Off water, woods and other barriers, away from houses, wires, rails and the road itself, no
    steeper than a tenth, within a walk of a road; what no file tells is not asked. Source of the
    bounds: `atlas.cells`, common practice, no source.
    """
    steps = np.arange(-AROUND_M, AROUND_M + 1.0, _CELL_M)
    east_m, north_m = (one.ravel() for one in np.meshgrid(steps, steps))
    away_m = np.hypot(east_m, north_m)
    order = np.argsort(away_m, kind="stable")[: int((away_m <= AROUND_M).sum())]
    lat_deg, lon_deg = offsets_deg(near, east_m[order], north_m[order])
    ground = Ground(terrain=terrain, barriers=sortie.barriers, landmarks=sortie.landmarks)
    cells = cells_at(ground, lat_deg, lon_deg)
    fit = ~cells.shut_out & ~(cells.slope_deg > STEEPEST_DEG) & ~(cells.amsl_m <= 0.0)
    if any(one.kind == "road" for one in sortie.landmarks):
        fit &= cells.road_m <= needs.walk_m
    if not fit.any():
        return None
    k = int(np.argmax(fit))
    return Place(lat_deg=float(lat_deg[k]), lon_deg=float(lon_deg[k]), amsl_m=0.0)
