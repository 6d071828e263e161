"""Crossed: which borders and barriers lie between a stand and a place, and how far along."""

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from farglide.atlas.barriers import Barrier
from farglide.atlas.crossing import crossings_m
from farglide.atlas.outline import contains
from farglide.earth.state import Place


class Crossed(NamedTuple):
    """One barrier on a straight way: after how far it is met, and whether the way ends in it."""

    name: str
    kind: str
    after_m: float
    ends_inside: bool


def crossed(barriers: Sequence[Barrier], start: Place, end: Place) -> tuple[Crossed, ...]:
    """Return the barriers that the straight way meets, the nearest first.

    One that is left again counts as well; one that holds both ends, and that the way never leaves,
    is met after 0 m. Valid and Source: as `atlas.crossing.crossings_m`.
    """
    found = list[Crossed]()
    for one in barriers:
        inside = [
            bool(contains(one.outline, np.array([at.lat_deg]), np.array([at.lon_deg]))[0])
            for at in (start, end)
        ]
        met = crossings_m(one.outline, start, end)
        if met or any(inside):
            after_m = 0.0 if inside[0] or not met else met[0]
            found.append(Crossed(one.name, one.kind, after_m, inside[1]))
    return tuple(sorted(found, key=lambda one: (one.after_m, one.name)))
