"""Rings: the lines round joined cells, as maps draw them."""

from collections.abc import Sequence

import numpy as np

from farglide.atlas.outline import LatLon
from farglide.search.grid import Grid, degrees

Cell = tuple[int, int]
"""Row and column of a grid, or of a corner between its cells."""


def outline_of(cells: Sequence[Cell], grid: Grid) -> tuple[tuple[LatLon, ...], ...]:
    """Return the rings round joined cells, the outer one first and turning left, holes right.

    Rings are not closed by their first corner.
    """
    held, edges = set(cells), dict[Cell, list[Cell]]()
    for r, c in cells:
        corners = [(r, c), (r, c + 1), (r + 1, c + 1), (r + 1, c)]
        beside = [(r - 1, c), (r, c + 1), (r + 1, c), (r, c - 1)]
        for k, other in enumerate(beside):
            if other not in held:
                edges.setdefault(corners[k], []).append(corners[(k + 1) % 4])
    rings = list[list[Cell]]()
    while edges:
        rings.append(_ring(edges))
    rings.sort(key=_twice_area, reverse=True)
    return tuple(_places(_straightened(ring), grid) for ring in rings)


def _ring(edges: dict[Cell, list[Cell]]) -> list[Cell]:
    """Take one ring out of the edges: where two go on, the one to the left."""
    start = min(edges)
    ring, here = [start], _taken(edges, start, (0, 0))
    while here != start:
        before = ring[-1]
        ring.append(here)
        here = _taken(edges, here, (here[0] - before[0], here[1] - before[1]))
    return ring


def _taken(edges: dict[Cell, list[Cell]], at: Cell, step: Cell) -> Cell:
    def left(to: Cell) -> int:
        return step[1] * (to[0] - at[0]) - step[0] * (to[1] - at[1])

    to = max(edges[at], key=left)
    edges[at].remove(to)
    if not edges[at]:
        del edges[at]
    return to


def _twice_area(ring: Sequence[Cell]) -> int:
    pairs = zip(ring, [*ring[1:], ring[0]], strict=True)
    return sum(c * rr - cc * r for (r, c), (rr, cc) in pairs)


def _straightened(ring: Sequence[Cell]) -> list[Cell]:
    """Return the corners alone."""
    n = len(ring)
    return [
        at
        for k, at in enumerate(ring)
        if not (ring[k - 1][0] == at[0] == ring[(k + 1) % n][0])
        and not (ring[k - 1][1] == at[1] == ring[(k + 1) % n][1])
    ]


def _places(ring: Sequence[Cell], grid: Grid) -> tuple[LatLon, ...]:
    rows, columns = (np.array(one, np.float64) for one in zip(*ring, strict=True))
    lat, lon = degrees(
        grid.origin, grid.west_m + grid.step_m * columns, grid.south_m + grid.step_m * rows
    )
    return tuple(zip(lat.tolist(), lon.tolist(), strict=True))
