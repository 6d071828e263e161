"""Gaps: when there is nowhere to land, and which field comes nearest to it then."""

from typing import Final

import numpy as np

from farglide.chances.chances import Chances
from farglide.chances.spells import gaps_s
from farglide.outlook.fields import Gap
from farglide.sortie.spec import Sortie

SHORTEST_S: Final = 60.0
"""What lasts no minute is told as what is around it."""


def gaps(sortie: Sortie, chances: Chances, end_s: float) -> tuple[Gap, ...]:
    """Return the stretches from the first open field to the end of the climb with no field open.

    Two with less than a minute between them are one; one that is then shorter is left out.
    """
    found: list[tuple[float, float]] = []
    for begin_s, past_s in gaps_s(chances, sortie.wish, end_s):
        joins = bool(found) and begin_s - found[-1][1] < SHORTEST_S
        found.append((found.pop()[0] if joins else begin_s, past_s))
    return tuple(_gap(sortie, chances, *one) for one in found if one[1] - one[0] >= SHORTEST_S)


def _gap(sortie: Sortie, chances: Chances, from_s: float, to_s: float) -> Gap:
    """Return a stretch with the field that has the best mean share over it, while none is open."""
    t, is_open = chances.after_launch_s, chances.open_ratio >= sortie.wish.open_ratio
    inside = (t >= from_s) & (t < to_s) & ~is_open.any(axis=1)
    share = chances.open_ratio[inside].mean(axis=0) if inside.any() else np.zeros(0)
    best = int(np.argmax(share)) if len(share) else -1
    return Gap(
        from_after_launch_s=from_s,
        to_after_launch_s=to_s,
        best_field=sortie.fields[best].name if best >= 0 else "",
        best_ratio=float(share[best]) if best >= 0 else 0.0,
    )
