"""Powered: the draws of a flight whose packs are known to have lasted so far."""

from dataclasses import replace
from typing import Final

import numpy as np

from farglide.chances.ensemble import Ensemble

_LEAST_ALIVE: Final = 0.05


def still_powered(ensemble: Ensemble, heard_s: float) -> Ensemble:
    """Return the draws as it was heard at a moment: no pack had ended by then.

    A draw whose packs would have gets an end of those that had not, by its rank: so all together
    they follow the law of packs that last so long. Where hardly any does, nothing is changed.
    """
    ends_s = ensemble.draws.pack_end_s
    alive = ends_s > heard_s
    if alive.all() or alive.mean() < _LEAST_ALIVE:
        return ensemble
    left_s, order = np.sort(ends_s[alive]), np.argsort(ends_s[~alive], kind="stable")
    own_s = ends_s.copy()
    rank = np.empty(len(order))
    rank[order] = (np.arange(len(order)) + 0.5) / len(order)
    own_s[~alive] = np.quantile(left_s, rank)
    light_s = ensemble.reach.light_end_s - ensemble.grain.delay_s
    haste = ensemble.reach.haste._replace(end_s=np.minimum(own_s, light_s))
    reach = replace(ensemble.reach, haste=haste)
    return replace(ensemble, draws=ensemble.draws._replace(pack_end_s=own_s), reach=reach)
