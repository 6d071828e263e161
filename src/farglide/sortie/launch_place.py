"""Launch place: ground that the crew has prepared to launch from, and why it may not serve."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final, NamedTuple

import numpy as np

from farglide.atlas.barriers import Barrier
from farglide.atlas.crossing import is_crossed
from farglide.atlas.outline import contains
from farglide.atlas.terrain import Terrain, height_amsl_m
from farglide.earth.state import Place

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


def faults_of(place: LaunchPlace, home: Place, barriers: Sequence[Barrier]) -> Iterator[Fault]:
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


def sea_faults(place: LaunchPlace, terrain: Terrain) -> Iterator[Fault]:
    """Yield that the terrain has no ground at a place, or the sea."""
    ground_m = float(height_amsl_m(terrain, np.array(place.lat_deg), np.array(place.lon_deg)))
    remedy = "Are its signs right, and the files of [terrain]? Else take it out."
    if ground_m <= 0.0 < place.amsl_m:
        what = f"lies in the sea: the terrain has {ground_m:.0f} m there, not {place.amsl_m:.0f} m."
        yield Fault(what, remedy)
    elif np.isnan(ground_m) and _is_within(terrain, place):
        yield Fault("lies in a hole of the terrain: no ground is known there.", remedy)


def _is_within(terrain: Terrain, place: LaunchPlace) -> bool:
    """Tell whether a place lies between the outermost posts: beyond, nothing is said of it."""
    n_rows, n_columns = terrain.heights_amsl_m.shape
    down_deg = terrain.north_deg - place.lat_deg
    right_deg = (place.lon_deg - terrain.west_deg) % 360.0
    is_in_rows = 0.0 <= down_deg <= (n_rows - 1) * terrain.step_lat_deg
    return is_in_rows and bool(right_deg <= (n_columns - 1) * terrain.step_lon_deg)
