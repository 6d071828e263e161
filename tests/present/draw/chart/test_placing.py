"""Placing: no label on another, on a mark or on a leader, over many layouts; the same each time."""

import numpy as np
import pytest

from farglide.present.draw.chart.cutting import crossings, segments_of
from farglide.present.draw.chart.label import Label
from farglide.present.draw.chart.placing import Placing, SetLabel
from farglide.present.draw.chart.shapes import square
from farglide.present.draw.place import Edges, Point

NAMES = (
    "Harrowend strip", "Tansy Lea", "Brackmoor", "Corrand strip", "Wether Knap", "Stile Gap",
    "Upper Tansy Meadow by the old mill pond", "Nether Wallop Common, east side",
    "Ash", "The long field behind the church at Little Harrowend", "Gollan Wood", "Ö" * 30,
)  # fmt: skip


def layout(seed: int, n: int = 12) -> tuple[Placing, list[Label]]:
    """Return points at random, some close together, lines between them, and their labels."""
    rng = np.random.default_rng(seed)
    placing = Placing(width_px=310.0, height_px=317.0)
    at = rng.uniform(12.0, 300.0, (n, 2))
    at[1] = at[0] + (9.0, 3.0)  # two marks side by side
    labels = []
    for k, (x, y) in enumerate(at.tolist()):
        point = Point(x, y)
        placing.marks.append(square(point, 5.0))
        figure = str(k + 1) if k < 6 else ""
        labels.append(Label(at=point, words=NAMES[k % len(NAMES)], figure=figure))
    for k in range(6):
        line = [Point(*one) for one in rng.uniform(0.0, 310.0, (5, 2)).tolist()]
        placing.keep_off(line, f"line {k}", 10.0, False)
    return placing, labels


def apart(a: Edges, b: Edges) -> bool:
    return a.right <= b.left or b.right <= a.left or a.bottom <= b.top or b.bottom <= a.top


def check(placing: Placing, placed: list[SetLabel]) -> None:
    boxes = [one.spot.box for one in placed]
    for i, a in enumerate(boxes):
        assert a.left >= 0.0
        assert a.top >= 0.0
        assert a.right <= placing.width_px
        assert a.bottom <= placing.height_px
        assert all(apart(a, b) for b in boxes[:i])
        assert all(apart(placed[i].ink, mark) for mark in placing.marks)
    inks = np.array([one.ink for one in placed])
    for i, one in enumerate(placed):
        if one.spot.leader:
            others = np.delete(inks, i, axis=0)
            assert not crossings(others, segments_of(one.spot.leader)).any()


@pytest.mark.parametrize("seed", range(60))
def test_every_label_has_a_box_of_its_own(seed: int) -> None:
    placing, labels = layout(seed)
    placed, left_out = placing.place(labels)
    assert left_out == []
    assert sorted(one.label.name for one in placed) == sorted(one.name for one in labels)
    check(placing, placed)


def test_the_same_labels_stand_at_the_same_places() -> None:
    first, second = (layout(3) for _ in range(2))
    assert first[0].place(first[1]) == second[0].place(second[1])


def test_what_has_no_room_is_told_and_nothing_overlaps() -> None:
    placing = Placing(width_px=90.0, height_px=40.0)
    labels = [Label(at=Point(10.0 + 10.0 * k, 20.0), words=NAMES[k]) for k in range(7)]
    placed, left_out = placing.place(labels)
    assert left_out
    assert len(placed) + len(left_out) == len(labels)
    check(placing, placed)


def test_a_label_that_may_be_left_out_is_rather_than_cut_the_drift() -> None:
    placing = Placing(width_px=60.0, height_px=20.0)
    placing.keep_off([Point(0, 10), Point(60, 10)], "drift", 60.0, False)
    label = Label(at=Point(30, 10), words="12 km up", must=False, along=(Point(30, 10),))
    assert placing.place([label]) == ([], [])
    own = Label(at=Point(30, 10), words="20 km", must=False, along=(Point(30, 10),), owner="drift")
    placed, _ = placing.place([own])
    assert len(placed) == 1


def test_a_label_keeps_off_a_line_that_is_not_its_own_where_it_can() -> None:
    placing = Placing(width_px=200.0, height_px=200.0)
    placing.marks.append(square(Point(100, 100), 5.0))
    line = [Point(110, 0), Point(110, 200)]  # just right of the mark
    placing.keep_off(line, "reach", 10.0, False)
    placed, _ = placing.place([Label(at=Point(100, 100), words="Tansy Lea")])
    assert placed[0].ink.right < 110.0
    assert not crossings(np.array([placed[0].ink]), segments_of(line)).any()
