"""Pieces: one segment and what is known of it: cover, road, owners, wires."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import FloatArray
from farglide.atlas.barriers import Barrier, Landmark
from farglide.atlas.fields import Field
from farglide.atlas.outline import LatLon, contains, line_distance_m
from farglide.search.cover import Cover
from farglide.search.grid import Grid
from farglide.search.rings import Cell

_HAZARD_M: Final = 150.0
_HAZARDS: Final = ("wires", "rail")


@dataclass(frozen=True, slots=True, kw_only=True)
class Ground:
    """What is known of the ground that is looked at; `elsewhere`: its cover where nothing tells."""

    elsewhere: Cover
    barriers: Sequence[Barrier] = ()
    landmarks: Sequence[Landmark] = ()
    fields: Sequence[Field] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """One segment: its cells, its cover, how large it is and what chance it holds.

    `road_m`: from its cell nearest to a road, infinite where none is known; `entry`: that cell's
    middle, or that of the likeliest cell. `owners`: fields in it, and what their owners said.
    """

    name: str
    cells: tuple[Cell, ...]
    cover: Cover
    area_m2: float
    poc: float
    middle: LatLon
    entry: LatLon
    road: str
    road_m: float
    hazards: tuple[str, ...]
    owners: tuple[str, ...]


class _Road(NamedTuple):
    """The nearest road: its name, how far off, from which cell."""

    name: str
    away_m: float
    cell: int


def piece_of(grid: Grid, cover: Cover, cells: Sequence[Cell], ground: Ground) -> Piece:
    """Return joined cells as a segment that has no name yet."""
    rows, columns = (np.array(one) for one in zip(*cells, strict=True))
    lat, lon = (one[rows, columns] for one in grid.middles_deg())
    poc = grid.poc[rows, columns]
    total = float(poc.sum())
    weight = poc / total if total > 0.0 else np.full(len(poc), 1.0 / len(poc))
    turned = (lon - lon[0] + 180.0) % 360.0 - 180.0
    middle = float(weight @ lat), (lon[0] + float(weight @ turned) + 180.0) % 360.0 - 180.0
    road = _road(ground, lat, lon)
    entry = road.cell if np.isfinite(road.away_m) else int(np.argmax(poc))
    return Piece(
        name="", cells=tuple(cells), cover=cover, area_m2=len(cells) * grid.step_m**2, poc=total,
        middle=(middle[0], float(middle[1])), entry=(float(lat[entry]), float(lon[entry])),
        road=road.name, road_m=road.away_m, hazards=_hazards(ground, grid, lat, lon),
        owners=_owners(ground, grid, lat, lon),
    )  # fmt: skip


def _road(ground: Ground, lat: FloatArray, lon: FloatArray) -> _Road:
    found = _Road("", np.inf, 0)
    for one in ground.landmarks:
        if one.kind == "road":
            away_m = line_distance_m(one.points, lat, lon)
            cell = int(np.argmin(away_m))
            if away_m[cell] < found.away_m:
                found = _Road(one.name, float(away_m[cell]), cell)
    return found


def _owners(ground: Ground, grid: Grid, lat: FloatArray, lon: FloatArray) -> tuple[str, ...]:
    """Return the fields that a segment holds a part of, with the words of their owners."""
    found = list[str]()
    for one in ground.fields:
        at = ((one.lat_deg, one.lon_deg),)
        nearest_m = float(line_distance_m(at, lat, lon).min())
        inside = nearest_m < 0.71 * grid.step_m  # half its diagonal
        if one.outline is not None:
            inside = inside or bool(contains(one.outline, lat, lon).any())
        if inside:
            found.append(f"{one.name}: {one.owner or 'the owner has said nothing'}")
    return tuple(found)


def _hazards(ground: Ground, grid: Grid, lat: FloatArray, lon: FloatArray) -> tuple[str, ...]:
    """Return the kinds of lines in or near a segment."""
    near_m = _HAZARD_M + grid.step_m
    kinds = {
        one.kind
        for one in ground.landmarks
        if one.kind in _HAZARDS and (line_distance_m(one.points, lat, lon) < near_m).any()
    }
    return tuple(sorted(kinds))
