"""Decision: for which field and from which height to release, as the wish of the crew has it."""

from dataclasses import replace
from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import BoolArray
from farglide.chances.chances import Chances
from farglide.chances.ensemble import Ensemble
from farglide.chances.spells import as_ordered
from farglide.chances.window import Decision, counted_ratio, run_around, window_around
from farglide.sortie.spec import Wish

NEARLY_RATIO: Final = 0.85
"""Not far under a height: from this share of it on."""
_ALIKE_M: Final = 1000.0


class _Stage(NamedTuple):
    """What a decision may take, (n_moments, n_fields), and how near that is to the wish."""

    allowed: BoolArray
    above_wanted: bool
    nearly: bool = False


def decide(ensemble: Ensemble, chances: Chances) -> Decision | None:
    """Return the release decision, or None where no height has a chance worth an order.

    Above the wanted height, of the fields that the wish counts, the first in the crew's order that
    has a chance good enough is taken, else the one with the best. A wish for home turns to all
    fields where home is not even doubtful. The wanted height is kept down to the least chance that
    the wish allows, unless a height not far under it is good enough where it is not even doubtful.
    Without it the field is taken that has a chance good enough, or else an even one, highest up,
    and of the stretch that ends there the best chance: the wish is not met anyway.
    """
    wish = ensemble.sortie.wish
    counted = replace(chances, chance_ratio=counted_ratio(chances, wish))
    for allowed, above_wanted, nearly in _stages(chances, wish):
        if not allowed.any():
            continue
        if above_wanted:
            field = _wished(counted, wish, allowed)
            return window_around(ensemble, counted, field, allowed[:, field], True)
        field, within = _highest_run(chances, allowed, NEARLY_RATIO if nearly else 0.0)
        return window_around(ensemble, chances, field, within, False)
    return None


def _stages(chances: Chances, wish: Wish) -> list[_Stage]:
    """Return what a decision may take, the better first.

    What counts is the chance that the release comes as ordered, before a burst.
    """
    ordered = as_ordered(chances)
    told, amsl_m = chances.is_told[:, None], chances.amsl_m[:, None]
    high = told & (ordered >= wish.least_ratio) & (amsl_m >= wish.wanted_amsl_m)
    even = told & (ordered >= wish.doubtful_ratio)
    enough = even & (chances.chance_ratio >= wish.enough_ratio)
    return [
        _Stage(high & even, True),
        _Stage(enough & (amsl_m >= NEARLY_RATIO * wish.wanted_amsl_m), False, True),
        _Stage(high, True),
        _Stage(enough, False),
        _Stage(even, False),
    ]


def _wished(chances: Chances, wish: Wish, allowed: BoolArray) -> int:
    """Return the field that the wish asks for: the first good enough, else the best allowed."""
    best = np.where(allowed, chances.chance_ratio, -1.0).max(axis=0)
    if wish.bring_to == "home" and best[0] >= 0.0:
        return 0
    enough = np.flatnonzero(best >= wish.enough_ratio)
    return int(enough[0]) if len(enough) else int(np.argmax(best))


def _highest_run(chances: Chances, allowed: BoolArray, upper_ratio: float) -> tuple[int, BoolArray]:
    """Return the field allowed highest up and the stretch of moments that ends there.

    Fields within a kilometre of the highest are alike: the first in the crew's order is taken. Of
    the stretch the part from a share of its top on: where that is nearly what is wished for, far
    below it chances may be better still. Where it is not, the best chance counts.
    """
    tops_m = np.where(allowed, chances.amsl_m[:, None], -np.inf).max(axis=0)
    field = int(np.argmax(tops_m > tops_m.max() - _ALIKE_M))
    last = int(np.argmax(np.where(allowed[:, field], chances.amsl_m, -np.inf)))
    first, _ = run_around(allowed[:, field], last)
    moments = np.arange(len(chances.amsl_m))
    upper = chances.amsl_m >= upper_ratio * chances.amsl_m[last]
    return field, (moments >= first) & (moments <= last) & upper


def some_field_ratio(chances: Chances, decision: Decision) -> float:
    """Return the chance of a decision with the field chosen at the release, whichever is open.

    What the other fields add is counted of whole balloons, as if the burst did not hang on it.
    """
    best, field = decision.best, decision.field
    more = chances.any_open_ratio[best] - chances.open_ratio[best, field]
    whole = 1.0 - chances.burst_ratio[best]
    return min(decision.chance_ratio + max(float(more * whole), 0.0), 1.0)
