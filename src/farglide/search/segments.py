"""Segments: cells joined into pieces that a party can walk, cut at roads, rails and barriers."""

from collections.abc import Sequence
from dataclasses import replace
from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import IntArray
from farglide.search.cover import Cover, covers_at
from farglide.search.grid import Grid, Open, open_between
from farglide.search.pieces import Ground, Piece, piece_of
from farglide.search.rings import Cell

_HELD_RATIO: Final = 0.97  # of the chance on the grid: the thin rest is nobody's segment
_LOOK_S: Final = 2400.0  # of two at coverage 1: a piece one can keep in mind
_N_LEAST_CELLS: Final = 4
_MOST_SEGMENTS: Final = 60
_SMALL_RATIO: Final = 1.0 / 3.0
_CUT_BY: Final = ("road", "rail")


class _Map(NamedTuple):
    """The grid with what covers each cell, and between which one may walk on."""

    grid: Grid
    cover: IntArray
    covers: tuple[Cover, ...]
    ways: Open


def pieces_of(grid: Grid, ground: Ground) -> tuple[Piece, ...]:
    """Return the segments, named from A in the order of what a first minute in each would find.

    Cells that hold 97 % of the chance on the grid are joined, the likeliest first, to neighbours of
    the same cover until a piece takes two people 40 min; what is left over joins a neighbour. What
    nobody walks on is a piece of its own.
    """
    lat_deg, lon_deg = grid.middles_deg()
    where = ground.barriers, ground.fields
    index, covers = covers_at(lat_deg.ravel(), lon_deg.ravel(), *where, ground.elsewhere)
    lines = [one.points for one in ground.landmarks if one.kind in _CUT_BY]
    lines += [(*one.outline.points, one.outline.points[0]) for one in ground.barriers]
    laid = _Map(grid, index.reshape(grid.shape), covers, open_between(grid, lines))
    found = [piece_of(grid, covers[laid.cover[cells[0]]], cells, ground) for cells in _joined(laid)]
    found.sort(key=_first_gain, reverse=True)
    return tuple(replace(one, name=name_of(k)) for k, one in enumerate(found))


def name_of(k: int) -> str:
    """Return the letters of the k-th segment.

    >>> [name_of(k) for k in (0, 25, 26, 27)]
    ['A', 'Z', 'AA', 'AB']
    """
    head, last = divmod(k, 26)
    return (name_of(head - 1) if head else "") + chr(ord("A") + last)


def with_chances(pieces: Sequence[Piece], grid: Grid) -> tuple[Piece, ...]:
    """Return the same segments with the chances that their cells hold now."""
    return tuple(
        replace(one, poc=float(sum(grid.poc[cell] for cell in one.cells))) for one in pieces
    )


def _joined(laid: _Map) -> list[list[Cell]]:
    """Return the cells of each segment."""
    order = np.argsort(laid.grid.poc, axis=None)[::-1]
    sums = np.cumsum(laid.grid.poc.ravel()[order])
    n = int(np.searchsorted(sums, _HELD_RATIO * sums[-1])) + 1
    n_columns = laid.grid.shape[1]
    free = {(int(k) // n_columns, int(k) % n_columns) for k in order[:n]}
    least = max(n // _MOST_SEGMENTS, _N_LEAST_CELLS)
    owner, found = dict[Cell, int](), list[list[Cell]]()
    for k in order[:n]:
        seed = (int(k) // n_columns, int(k) % n_columns)
        if seed in free:
            cells = _grown(laid, seed, free, max(_n_wanted(laid, seed), least))
            _settle(laid, cells, found, owner, _SMALL_RATIO * max(_n_wanted(laid, seed), least))
    return [one for one in found if one]


def _n_wanted(laid: _Map, cell: Cell) -> int:
    cover = laid.covers[laid.cover[cell]]
    wanted_m2 = 2.0 * cover.sweep_m * cover.speed_mps * _LOOK_S
    return max(int(wanted_m2 / laid.grid.step_m**2), 1)


def _grown(laid: _Map, seed: Cell, free: set[Cell], n_wanted: int) -> list[Cell]:
    """Return a piece round a cell, the nearest first, taken out of the free ones."""
    cells, rim = list[Cell](), {seed}
    while rim and len(cells) < n_wanted:
        here = min(rim, key=lambda one: ((one[0] - seed[0]) ** 2 + (one[1] - seed[1]) ** 2, one))
        rim.remove(here)
        free.remove(here)
        cells.append(here)
        rim |= {one for one in _beside(laid, here) if one in free}
    return cells


def _beside(laid: _Map, cell: Cell) -> list[Cell]:
    """Return the neighbours of the same cover to which one may walk on."""
    (r, c), (n_rows, n_columns), ways = cell, laid.grid.shape, laid.ways
    found = list[Cell]()
    if c + 1 < n_columns and ways.east[r, c]:
        found.append((r, c + 1))
    if c > 0 and ways.east[r, c - 1]:
        found.append((r, c - 1))
    if r + 1 < n_rows and ways.north[r, c]:
        found.append((r + 1, c))
    if r > 0 and ways.north[r - 1, c]:
        found.append((r - 1, c))
    return [one for one in found if laid.cover[one] == laid.cover[cell]]


def _settle(
    laid: _Map, cells: list[Cell], found: list[list[Cell]], owner: dict[Cell, int], few: float
) -> None:
    """Note a piece, or add one of few cells to its smallest neighbour."""
    if len(cells) < few:
        near = {owner[one] for cell in cells for one in _beside(laid, cell) if one in owner}
        if near:
            k = min(near, key=lambda one: (len(found[one]), one))
            found[k] += cells
            owner.update(dict.fromkeys(cells, k))
            return
    owner.update(dict.fromkeys(cells, len(found)))
    found.append(cells)


def _first_gain(piece: Piece) -> tuple[float, float]:
    rate = piece.cover.sweep_m * piece.cover.speed_mps / piece.area_m2
    return (piece.poc * rate if piece.cover.is_walked else 0.0, piece.poc)
