"""Chances of launch spots as shapes: steps of chance as areas, and lines of one chance."""

from itertools import pairwise
from typing import Final, NamedTuple

from farglide.outlook.launch import LaunchArea, LaunchSpot
from farglide.present.draw.place import Point
from farglide.sortie.words import chance_words

FINE: Final = 4
"""Parts into which the steps between spots are cut for the areas."""


STEPS: Final = (("dense", 0.9, 2.0), ("lines", 0.5, 0.9), ("dots", 0.1, 0.5))
"""Patterns of the steps of chance, from the densest."""


def step_rows() -> list[tuple[str, str]]:
    """Return each step's pattern and what it means, the best first.

    >>> step_rows()[0], step_rows()[-1]
    (('dense', '9 in 10 or better'), ('', 'less'))
    """
    rows = [(name, f"{chance_words(low)} or better") for name, low, _ in STEPS]
    return [*rows, ("", "less")]


class Grid(NamedTuple):
    """The chances of the even spots, row by row along the drift."""

    up_m: tuple[float, ...]
    left_m: tuple[float, ...]
    chance: tuple[tuple[float, ...], ...]


class Strip(NamedTuple):
    """A stretch along the drift, as wide as one fine step."""

    from_up_m: float
    to_up_m: float
    from_left_m: float
    to_left_m: float


def grid_of(area: LaunchArea, layer: str) -> Grid:
    """Return the even spots of an area. `layer`: which of a spot's chances."""
    n = len(area.across_m)
    chances = [_chance(spot, layer) for spot in area.spots[: n * len(area.up_drift_m)]]
    rows = tuple(tuple(chances[i : i + n]) for i in range(0, len(chances), n))
    return Grid(area.up_drift_m, area.across_m, rows)


def _chance(spot: LaunchSpot, layer: str) -> float:
    return float(getattr(spot, layer))


def strips(grid: Grid, low: float, high: float) -> list[Strip]:
    """Return where the chance is at least `low` and below `high`, as strips along the drift."""
    ups, lefts = _fine(grid.up_m), _fine(grid.left_m)
    found = []
    for j, (left, next_left) in enumerate(pairwise(lefts)):
        begun = None
        for i, (up, next_up) in enumerate(pairwise(ups)):
            inside = low <= _middle(grid, i, j) < high
            if inside and begun is None:
                begun = up
            if begun is not None and (not inside or i == len(ups) - 2):
                found.append(Strip(begun, next_up if inside else up, left, next_left))
                begun = None
    return found


def lines(grid: Grid, chance: float) -> list[tuple[Point, Point]]:
    """Return the line of one chance in pieces, up the drift and to its left, metres.

    Each step between four spots is cut into two triangles, in which the chance is a plane.
    """
    found = []
    for i, up_pair in enumerate(pairwise(grid.up_m)):
        for j, left_pair in enumerate(pairwise(grid.left_m)):
            corner = [
                [(Point(up_pair[a], left_pair[b]), grid.chance[i + a][j + b]) for b in (0, 1)]
                for a in (0, 1)
            ]
            for third in (corner[0][1], corner[1][0]):
                ends = _cut([corner[0][0], corner[1][1], third], chance)
                if len(ends) == 2:
                    found.append((ends[0], ends[1]))
    return found


def _cut(triangle: list[tuple[Point, float]], chance: float) -> list[Point]:
    """Return where the line of a chance enters and leaves a triangle."""
    found = []
    for (start, low), (end, high) in pairwise([*triangle, triangle[0]]):
        if (low < chance) != (high < chance):
            share = (chance - low) / (high - low)
            found.append(
                Point(start.x + share * (end.x - start.x), start.y + share * (end.y - start.y))
            )
    return found


def _fine(steps: tuple[float, ...]) -> list[float]:
    cut = [a + (b - a) * k / FINE for a, b in pairwise(steps) for k in range(FINE)]
    return [*cut, steps[-1]]


def _middle(grid: Grid, i: int, j: int) -> float:
    """Return the chance in the middle of a fine cell, bilinear between four spots."""
    row, column = i // FINE, j // FINE
    down, right = (i % FINE + 0.5) / FINE, (j % FINE + 0.5) / FINE
    upper, lower = (grid.chance[row + a] for a in (0, 1))
    first = upper[column] * (1.0 - right) + upper[column + 1] * right
    second = lower[column] * (1.0 - right) + lower[column + 1] * right
    return first * (1.0 - down) + second * down


def joined(pieces: list[tuple[Point, Point]]) -> list[list[Point]]:
    """Return pieces of lines joined where their ends meet, in the order of their first pieces."""
    open_ends: dict[tuple[float, float], list[int]] = {}
    for i, ends in enumerate(pieces):
        for end in ends:
            open_ends.setdefault(_key(end), []).append(i)
    used: set[int] = set()
    found = []
    for i, (start, end) in enumerate(pieces):
        if i in used:
            continue
        used.add(i)
        forward = _followed(end, pieces, open_ends, used)
        backward = _followed(start, pieces, open_ends, used)
        found.append([*reversed(backward), start, end, *forward])
    return found


def _followed(
    at: Point,
    pieces: list[tuple[Point, Point]],
    open_ends: dict[tuple[float, float], list[int]],
    used: set[int],
) -> list[Point]:
    """Return the points that follow on from an end, as far as unused pieces lead."""
    found = []
    while nexts := [i for i in open_ends[_key(at)] if i not in used]:
        used.add(nexts[0])
        start, end = pieces[nexts[0]]
        at = end if _key(start) == _key(at) else start
        found.append(at)
    return found


def _key(at: Point) -> tuple[float, float]:
    return round(at.x, 3), round(at.y, 3)
