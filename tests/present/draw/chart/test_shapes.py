"""Shapes: boxes and squares where they are said to be, and moved whole."""

import numpy as np

from farglide.present.draw.chart.shapes import (
    Disc,
    Line,
    Pen,
    Raster,
    Words,
    box,
    line,
    moved,
    square,
)
from farglide.present.draw.place import Edges, Point


def test_a_square_lies_round_its_point() -> None:
    assert square(Point(3.0, 4.0), 2.0) == Edges(1.0, 2.0, 5.0, 6.0)
    assert box(Edges(1.0, 2.0, 5.0, 6.0)).points == (
        Point(1.0, 2.0), Point(5.0, 2.0), Point(5.0, 6.0), Point(1.0, 6.0),
    )  # fmt: skip


def test_every_shape_is_moved_with_all_it_holds() -> None:
    hole = (Point(1.0, 1.0), Point(2.0, 1.0), Point(2.0, 2.0))
    there = moved(Line(points=hole, holds=(hole,), pen=Pen(1.0)), 10.0, 20.0)
    assert isinstance(there, Line)
    assert there.points == there.holds[0] == (
        Point(11.0, 21.0), Point(12.0, 21.0), Point(12.0, 22.0),
    )  # fmt: skip
    disc = moved(Disc(x=1.0, y=2.0, radius_px=3.0), 10.0, 20.0)
    words = moved(Words(x=1.0, y=2.0, words="a", size_px=9.0), 10.0, 20.0)
    assert isinstance(disc, Disc)
    assert isinstance(words, Words)
    assert (disc.x, disc.y) == (words.x, words.y) == (11.0, 22.0)
    raster = moved(Raster(box=Edges(0, 0, 4, 5), ink=np.zeros((2, 2), np.uint8)), 1.0, 2.0)
    assert isinstance(raster, Raster)
    assert raster.box == Edges(1.0, 2.0, 5.0, 7.0)
    assert not line([Point(0, 0), Point(1, 1)], Pen(1.0)).is_closed
