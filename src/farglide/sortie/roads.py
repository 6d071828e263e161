"""Roads: ways between places that take longer today, or that cannot be driven."""

import math
from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Road:
    """The way between two places by their names, and how much longer it takes; None: closed."""

    start: str
    end: str
    longer_s: float | None

    def joins(self, one: str, other: str) -> bool:
        """Tell whether it is the way between two places, in either direction."""
        return {self.start, self.end} == {one, other}


def longer_s(roads: tuple[Road, ...], one: str, other: str) -> float:
    """Return how much longer a way takes than it did: infinite where it cannot be driven.

    Of several words about one way the last one holds.
    """
    told = [road for road in roads if road.joins(one, other)]
    if not told:
        return 0.0
    last = told[-1].longer_s
    return math.inf if last is None else last
