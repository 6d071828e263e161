"""Cutting: against a slow twin that walks along the line in tiny steps."""

from itertools import pairwise

import numpy as np
import pytest

from farglide.present.draw.chart.cutting import crossings, cut, segments_of
from farglide.present.draw.place import Edges, Point


def walked(points: list[Point], boxes: list[Edges], n: int = 4000) -> tuple[float, float]:
    """Return the length of a line, and of what of it is in no box, in tiny steps."""
    whole = outside = 0.0
    for (ax, ay), (bx, by) in pairwise(points):
        shares = (np.arange(n) + 0.5) / n
        x, y = ax + shares * (bx - ax), ay + shares * (by - ay)
        hit = np.zeros(n, np.bool_)
        for left, top, right, bottom in boxes:
            hit |= (left < x) & (x < right) & (top < y) & (y < bottom)
        length = float(np.hypot(bx - ax, by - ay))
        whole += length
        outside += length * float((~hit).mean())
    return whole, outside


def length_of(pieces: list[tuple[Point, ...]]) -> float:
    parts = [segments_of(one) for one in pieces]
    return sum(float(np.hypot(p[:, 2] - p[:, 0], p[:, 3] - p[:, 1]).sum()) for p in parts)


@pytest.mark.parametrize("seed", range(25))
def test_what_is_left_is_what_lies_outside(seed: int) -> None:
    rng = np.random.default_rng(seed)
    points = [Point(*at) for at in rng.uniform(0.0, 300.0, (9, 2)).tolist()]
    corners = rng.uniform(0.0, 260.0, (5, 2)).tolist()
    boxes = [Edges(x, y, x + 60.0, y + 15.0) for x, y in corners]
    _, outside = walked(points, boxes)
    pieces = cut(points, boxes)
    assert length_of(pieces) == pytest.approx(outside, abs=3.0)
    inner = np.array(boxes) + np.array((0.01, 0.01, -0.01, -0.01))
    for piece in pieces:
        assert not crossings(inner, segments_of(piece)).any()


def test_without_boxes_a_line_stays_whole() -> None:
    ring = (Point(0, 0), Point(9, 0), Point(9, 9))
    assert cut(ring, [], is_closed=True) == [(*ring, ring[0])]
    assert cut((Point(1, 1),), [Edges(0, 0, 2, 2)]) == []
    assert cut((Point(1, 1), Point(2, 2)), [Edges(0, 0, 9, 9)]) == []


def test_boxes_that_overlap_cut_once() -> None:
    boxes = [Edges(10, 10, 50, 20), Edges(20, 12, 30, 18), Edges(45, 5, 60, 25)]
    assert cut((Point(0, 15), Point(100, 15)), boxes) == [
        (Point(0, 15), Point(10, 15)), (Point(60, 15), Point(100, 15)),
    ]  # fmt: skip


def test_level_and_upright_lines_are_met() -> None:
    boxes = np.array([[10.0, 10.0, 20.0, 20.0]])
    across = segments_of((Point(0, 15), Point(30, 15)))
    down = segments_of((Point(15, 0), Point(15, 30)))
    beside = segments_of((Point(0, 5), Point(30, 5)))
    assert crossings(boxes, across).all()
    assert crossings(boxes, down).all()
    assert not crossings(boxes, beside).any()
    assert cut((Point(0, 15), Point(30, 15)), [Edges(10, 10, 20, 20)]) == [
        (Point(0, 15), Point(10, 15)), (Point(20, 15), Point(30, 15)),
    ]  # fmt: skip
