"""Launch place: ground that the crew has prepared to launch from, and why it may not serve."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final, NamedTuple

import numpy as np

from farglide.atlas.barriers import Barrier
from farglide.atlas.behind import is_crossed
from farglide.atlas.outline import LatLon, contains

OWNER_WORDS: Final = ("agreed", "asked", "not asked", "refused")
REFUSED: Final = "refused"
"""What the owner said: a place that was refused is told, but never advised."""
ROADLESS: Final = ("water", "gorge", "border")
"""Kinds of barriers that no guess of a drive goes across: a way over them must be stated."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LaunchPlace:
    """One place prepared for the launch."""

    name: str
    lat_deg: float
    lon_deg: float
    amsl_m: float
    drive_s: float | None = None  # from home, nine times in ten; None: guessed
    owner: str = "not asked"
    surface: str = ""
    trees_upwind: str = ""  # what shelters the filling, how high and how far off
    obstacles: str = ""  # down-wind: wires, trees, houses


class Fault(NamedTuple):
    """Why nobody launches from a place, and what to do."""

    what: str
    remedy: str


def faults_of(place: LaunchPlace, home: LatLon, barriers: Sequence[Barrier]) -> Iterator[Fault]:
    """Yield the barriers that a place lies in, or behind as seen from home.

    A stated drive tells that there is a way round.
    """
    lat_deg, lon_deg = np.array([place.lat_deg]), np.array([place.lon_deg])
    for barrier in barriers:
        if contains(barrier.outline, lat_deg, lon_deg)[0]:
            where = f'lies in {barrier.name}, a barrier of kind "{barrier.kind}".'
            yield Fault(where, "Correct the place or the outline, or take the place out.")
        elif (
            place.drive_s is None
            and barrier.kind in ROADLESS
            and is_crossed(barrier.outline, home, lat_deg, lon_deg)[0]
        ):
            where = f'lies behind {barrier.name}, a barrier of kind "{barrier.kind}".'
            yield Fault(where, "Write drive_min from home, by the way round it.")
