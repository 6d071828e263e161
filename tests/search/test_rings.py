"""Rings round cells: corners, holes, direction, and the area they hold."""

import numpy as np
import pytest

from farglide.atlas.outline import Outline, area_m2
from farglide.earth.state import Place
from farglide.search.grid import Grid
from farglide.search.rings import outline_of

GRID = Grid(Place(lat_deg=0.0, lon_deg=20.0, amsl_m=0.0), 100.0, -200.0, -200.0, np.ones((5, 5)))


def test_one_cell_is_a_square_that_turns_left() -> None:
    (ring,) = outline_of([(0, 0)], GRID)
    assert Outline(points=ring).points == ring
    assert area_m2(Outline(points=ring)) == pytest.approx(10_000.0, rel=0.002)


def test_corners_alone_are_kept() -> None:
    (ring,) = outline_of([(0, k) for k in range(5)], GRID)
    assert len(ring) == 4


def test_a_hole_is_a_ring_that_turns_right() -> None:
    cells = [(r, c) for r in range(3) for c in range(3) if (r, c) != (1, 1)]
    outer, hole = outline_of(cells, GRID)
    assert Outline(points=outer).points == outer
    assert Outline(points=hole).points != hole
    held = area_m2(Outline(points=outer)) - area_m2(Outline(points=hole))
    assert held == pytest.approx(80_000.0, rel=0.002)


def test_cells_that_meet_at_a_corner_are_rings_of_their_own() -> None:
    rings = outline_of([(0, 0), (1, 1)], GRID)
    assert [len(one) for one in rings] == [4, 4]


def test_any_shape_holds_the_area_of_its_cells() -> None:
    rng = np.random.default_rng(2)
    for _ in range(20):
        cells = [(r, c) for r in range(5) for c in range(5) if rng.random() < 0.5]
        total = 0.0
        for ring in outline_of(cells, GRID):
            kept = Outline(points=ring).points if len(set(ring)) == len(ring) else None
            if kept is None:
                break
            total += area_m2(Outline(points=ring)) * (1.0 if kept[1] == ring[1] else -1.0)
        else:
            assert total == pytest.approx(1e4 * len(cells), rel=0.002)
