"""Best path: what the straight way home costs against the best path through the same winds."""

from typing import Final

import numpy as np

from farglide.chances.ensemble import Ensemble
from farglide.plan.home.glides import begun
from farglide.sim.reach.reach import FREE, sum_reach
from farglide.sim.reach.rose import farthest_m
from farglide.sim.reach.straight import made_good
from farglide.sim.reach.support import FactorRange, tabulate

_ABOVE_M: Final = 1.0


def straight_loss_m(ensemble: Ensemble, moment: int, field: int) -> float:
    """Return how much farther toward a field the best path gets than a straight track.

    For the error-free flight, which alone could know that path. NaN where the field is out of reach
    or a cross wind sets the glider aside; 0 right above it, where no path leads toward it.
    """
    flight = begun(ensemble, moment, field)
    if flight is None:
        return float("nan")
    made = made_good(ensemble.reach.reaches.free, flight.descent, flight.away)
    if made.beaten:
        return float("nan")
    if made.away_m < _ABOVE_M:
        return 0.0
    scene, craft = ensemble.air.scene, ensemble.reach.reaches.craft
    factor = float(np.clip(ensemble.draws.glide_factor[0], 0.05, 4.0))
    support = tabulate(scene.layers, craft.polar, craft.limits, FactorRange(factor, factor))
    free = sum_reach(scene, support, ensemble.draws, FREE)
    return max(farthest_m(free, flight.descent, flight.away) - made.ahead_m, 0.0)
