"""Cell rings: outlines of marked cells as polygons whose rings do not cross, touch or overlap."""

from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import NamedTuple

import numpy as np

from farglide.arrays import BoolArray, IntArray
from farglide.errors import InputError

Node = tuple[int, int]
"""A corner of cells: how many rows are north of it, and how many columns west."""


class CellPolygon(NamedTuple):
    """An outer ring, counterclockwise with north up, and its holes, clockwise; none is closed."""

    outer: tuple[Node, ...]
    holes: tuple[tuple[Node, ...], ...]


def cell_polygons(mask: BoolArray) -> list[CellPolygon]:
    """Return the marked cells as polygons, cells that share a side in one.

    Cells that only share a corner are two polygons, or two parts of one that goes round. A ring
    passes no corner twice and holds no corner at which it goes straight on.
    Source: RFC 7946, 3.1.6 (right-hand rule); the marked cells lie on the left of every side.

    >>> cell_polygons(np.array([[True, True]]))[0].outer
    ((0, 0), (1, 0), (1, 2), (0, 2))
    """
    if mask.ndim != 2 or mask.dtype != np.bool_:
        given = f"{mask.dtype} of shape {mask.shape}"
        raise InputError("mask", given, "truth values in rows and columns")
    parts = _parts(mask)
    outers: dict[int, tuple[Node, ...]] = {}
    holes: dict[int, list[tuple[Node, ...]]] = {}
    for part, path in _paths(_sides(mask, parts)):
        for ring in _simple(path):
            corners = _corners(ring)
            if _twice_area(corners) > 0:
                outers[part] = corners
            else:
                holes.setdefault(part, []).append(corners)
    return [CellPolygon(outer, tuple(holes.get(part, ()))) for part, outer in outers.items()]


def _parts(mask: BoolArray) -> IntArray:
    """Return for each marked cell which part it is in, -1 elsewhere: stretches of rows, joined."""
    parts = np.full(mask.shape, -1, np.int64)
    roots: list[int] = []

    def root(of: int) -> int:
        while roots[of] != of:
            roots[of] = roots[roots[of]]
            of = roots[of]
        return of

    padded = np.pad(mask.astype(np.int8), ((0, 0), (1, 1)))
    for i, row in enumerate(np.diff(padded, axis=1)):
        for first, end in zip(np.flatnonzero(row > 0), np.flatnonzero(row < 0), strict=True):
            new = len(roots)
            roots.append(new)
            parts[i, first:end] = new
            above = parts[i - 1, first:end] if i else parts[:0, 0]
            for other in np.unique(above[above >= 0]):
                roots[root(new)] = root(int(other))
    table = np.array([root(of) for of in range(len(roots))] + [-1], np.int64)
    return table[parts]


def _sides(mask: BoolArray, parts: IntArray) -> dict[Node, list[tuple[Node, int]]]:
    """Return where from each corner sides lead, and the part on their left."""
    edged, out = np.pad(mask, 1), dict[Node, list[tuple[Node, int]]]()
    # beside a marked cell with none to the north, south, west or east: from its corner to the next
    for bare, start, end in (
        (~edged[:-2, 1:-1], (0, 1), (0, 0)),
        (~edged[2:, 1:-1], (1, 0), (1, 1)),
        (~edged[1:-1, :-2], (0, 0), (1, 0)),
        (~edged[1:-1, 2:], (1, 1), (0, 1)),
    ):
        rows, columns = np.nonzero(mask & bare)
        belongs = parts[rows, columns].tolist()
        for i, j, part in zip(rows.tolist(), columns.tolist(), belongs, strict=True):
            a, b = (i + start[0], j + start[1]), (i + end[0], j + end[1])
            out.setdefault(a, []).append((b, part))
    return out


def _paths(sides: dict[Node, list[tuple[Node, int]]]) -> Iterator[tuple[int, list[Node]]]:
    """Yield closed ways along the sides with the part on their left; they may pass a corner twice.

    Where two sides lead on, the left one is taken: it stays with the same cell.
    """
    for start in list(sides):
        while sides[start]:
            at, part = sides[start].pop()
            path, came_from = [start], start
            while at != start:
                path.append(at)
                ways = sides[at]
                chosen = ways[0] if len(ways) == 1 else _left_of(came_from, at, ways)
                ways.remove(chosen)
                came_from, at = at, chosen[0]
            yield part, path


def _left_of(came_from: Node, at: Node, ways: Sequence[tuple[Node, int]]) -> tuple[Node, int]:
    down, right = at[0] - came_from[0], at[1] - came_from[1]
    left = at[0] - right, at[1] + down
    return next(way for way in ways if way[0] == left)


def _simple(path: list[Node]) -> Iterator[list[Node]]:
    """Yield the rings of a closed way, cut where it passes a corner again."""
    held: list[Node] = []
    places: dict[Node, int] = {}
    for node in path:
        if node in places:
            first = places[node] + 1
            yield [node, *held[first:]]
            for passed in held[first:]:
                del places[passed]
            del held[first:]
        else:
            places[node] = len(held)
            held.append(node)
    yield held


def _corners(ring: list[Node]) -> tuple[Node, ...]:
    """Return the nodes at which a ring turns."""
    around = [ring[-1], *ring, ring[0]]
    return tuple(
        at
        for before, at, after in zip(around, ring, around[2:], strict=False)
        if (at[0] - before[0]) * (after[1] - at[1]) != (at[1] - before[1]) * (after[0] - at[0])
    )


def _twice_area(ring: tuple[Node, ...]) -> int:
    """Return twice the area in cells: above 0 where the ring runs counterclockwise, north up."""
    closed = (*ring, ring[0])
    return sum(a[0] * b[1] - a[1] * b[0] for a, b in pairwise(closed))
