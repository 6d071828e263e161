"""Cell rings: every cell where it should be, rings as RFC 7946 and simple features want them."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from farglide.errors import InputError
from farglide.present.draw.maps.cell_rings import CellPolygon, Node, cell_polygons


def twice_area(ring: tuple[Node, ...]) -> int:
    """Return twice the area by the shoelace formula, x to the east and y to the north."""
    points = [(column, -row) for row, column in ring]
    return sum(
        a[0] * b[1] - b[0] * a[1] for a, b in zip(points, points[1:] + points[:1], strict=True)
    )


def crossings(ring: tuple[Node, ...], row: int, column: int) -> int:
    """Return how many sides a line from the middle of a cell to the east crosses."""
    sides = zip(ring, ring[1:] + ring[:1], strict=True)
    return sum(
        a[1] == b[1] and a[1] > column and min(a[0], b[0]) <= row < max(a[0], b[0])
        for a, b in sides
    )


def filled(polygons: list[CellPolygon], shape: tuple[int, int]) -> NDArray[np.int64]:
    """Return in how many polygons each cell lies."""
    out = np.zeros(shape, np.int64)
    for row, column in np.ndindex(shape):
        for polygon in polygons:
            rings = (polygon.outer, *polygon.holes)
            out[row, column] += sum(crossings(ring, row, column) for ring in rings) % 2
    return out


def check(mask: NDArray[np.bool_]) -> list[CellPolygon]:
    polygons = cell_polygons(mask)
    assert np.array_equal(filled(polygons, mask.shape), mask.astype(np.int64))
    for polygon in polygons:
        assert twice_area(polygon.outer) > 0
        for ring in polygon.holes:
            assert twice_area(ring) < 0
        for ring in (polygon.outer, *polygon.holes):
            assert len(set(ring)) == len(ring) >= 4
            straight = zip((ring[-1], *ring[:-1]), ring, (*ring[1:], ring[0]), strict=True)
            assert all((a[0] == b[0]) != (b[0] == c[0]) for a, b, c in straight)
    area = sum(
        twice_area(polygon.outer) + sum(twice_area(hole) for hole in polygon.holes)
        for polygon in polygons
    )
    assert area == 2 * mask.sum()
    return polygons


def of(*rows: str) -> NDArray[np.bool_]:
    return np.array([[letter == "#" for letter in row] for row in rows])


def test_cells_that_share_a_corner_are_apart() -> None:
    assert len(check(of("#.", ".#"))) == 2
    assert len(check(of(".#", "#."))) == 2


def test_a_ring_that_touches_itself_has_a_hole() -> None:
    polygons = check(of("###", "#.#", "##."))
    assert [len(one.holes) for one in polygons] == [1]
    polygons = check(of("####.", "#.#.#", "##.##", "#####"))
    assert sum(len(one.holes) for one in polygons) >= 1


def test_islands_in_lakes() -> None:
    polygons = check(of("#####", "#...#", "#.#.#", "#...#", "#####"))
    assert sorted(len(one.holes) for one in polygons) == [0, 1]


def test_nothing_and_everything() -> None:
    assert cell_polygons(np.zeros((4, 5), np.bool_)) == []
    assert cell_polygons(np.zeros((0, 5), np.bool_)) == []
    whole = check(np.ones((4, 5), np.bool_))
    assert whole == [CellPolygon(((0, 0), (4, 0), (4, 5), (0, 5)), ())]


@given(st.integers(1, 9), st.integers(1, 9), st.integers(0, 2**32 - 1), st.floats(0.2, 0.8))
@settings(max_examples=300, deadline=None)
def test_any_cells(n_rows: int, n_columns: int, seed: int, share: float) -> None:
    check(np.random.default_rng(seed).random((n_rows, n_columns)) < share)


def test_it_refuses_what_is_no_mask() -> None:
    for wrong in (np.zeros(3, np.bool_), np.zeros((3, 3))):
        with pytest.raises(InputError, match="truth values in rows and columns"):
            cell_polygons(wrong)
