"""Chart: marks seen on any pattern, lines cut where labels stand, the frame round it all."""

import numpy as np

from farglide.present.draw.chart.chart import HEAVY, Chart
from farglide.present.draw.chart.cutting import crossings, segments_of
from farglide.present.draw.chart.shapes import Disc, Line, Pen, Shape, Words
from farglide.present.draw.chart.to_png import SCALE, chart_png
from farglide.present.draw.place import Edges, Point

from .conftest import greys


def said(shapes: list[Shape], what: str) -> list[Shape]:
    return [one for one in shapes if getattr(one, "says", "") == what]


def backings(shapes: list[Shape]) -> list[Edges]:
    found = []
    for one in said(shapes, "backing"):
        assert isinstance(one, Line)
        xs, ys = zip(*one.points, strict=True)
        found.append(Edges(min(xs), min(ys), max(xs), max(ys)))
    return found


def busy() -> Chart:
    chart = Chart(width_px=300.0, height_px=300.0)
    drift = tuple(Point(20.0 + 13.0 * k, 30.0 + 11.0 * k) for k in range(20))
    chart.draw(Line(points=drift, pen=Pen(3.0), says="drift"), "drift", HEAVY)
    for k in range(8):
        at = Point(30.0 + 30.0 * k, 45.0 + 26.0 * k)
        road = (Point(0.0, at.y + 9.0), Point(300.0, at.y - 9.0))
        chart.draw(Line(points=road, pen=Pen(1.0), says="road"))
        if k % 2:
            chart.stand(at, f"Stand {k}", k == 5)
        else:
            chart.field(at, str(k), f"Field number {k}")
    return chart


def test_no_line_runs_through_a_label() -> None:
    shapes = busy().shapes()
    boxes = np.array(backings(shapes)) + np.array((0.01, 0.01, -0.01, -0.01))
    assert len(boxes) == 8
    for one in (*said(shapes, "road"), *said(shapes, "drift")):
        assert isinstance(one, Line)
        assert not crossings(boxes, segments_of(one.points, one.is_closed)).any()


def test_solid_is_the_stand_of_the_car() -> None:
    stands = said(busy().shapes(), "stand")
    fills = [one.fill for one in stands if isinstance(one, Line)]
    assert sorted(fills) == ["ink", "paper", "paper", "paper"]


def test_a_field_at_a_stand_shows_in_its_square() -> None:
    chart = Chart(width_px=100.0, height_px=100.0)
    chart.field(Point(50, 50), "1", "Home")
    chart.stand(Point(50, 50), "")
    order = [getattr(one, "says", "") for one in chart.shapes()]
    assert order.index("stand") < order.index("field")


def test_the_chosen_spot_is_seen_on_every_pattern() -> None:
    """The framed mark on the densest step: its frame black, paper on both sides of it."""
    for fill in ("dense", "lines", "dots", ""):
        chart = Chart(width_px=100.0, height_px=100.0)
        ground = (Point(0, 0), Point(100, 0), Point(100, 100), Point(0, 100))
        chart.areas.append(Line(points=ground, fill=fill, is_closed=True))
        chart.spot(Point(50, 50), is_launch=False, is_framed=True)
        grey = greys(chart_png(chart.shapes(), (100.0, 100.0), "x"))
        row = grey[50 * SCALE + 8 * SCALE // 2 + 2]  # below the arms of the cross
        frame = slice(round((50 - 11.2) * SCALE), round((50 - 8.8) * SCALE))
        assert row[frame].max() < 60
        assert row[(50 - 12) * SCALE] > 240  # outside the frame
        assert row[(50 - 8) * SCALE] > 240  # and inside


def test_rings_and_crosses_have_marks_of_their_own() -> None:
    chart = Chart(width_px=100.0, height_px=100.0)
    chart.ring(Point(20, 20))
    chart.spot(Point(60, 60), is_launch=True, is_framed=False)
    chart.spot(Point(80, 20), is_launch=False, is_framed=False)
    shapes = chart.shapes()
    assert [type(one) for one in said(shapes, "ring")] == [Disc]
    assert len(said(shapes, "launch")) == 1
    assert len(said(shapes, "cross")) == 2  # its arms
    assert len(chart.placing.marks) == 3


def test_what_has_no_room_is_named() -> None:
    chart = Chart(width_px=60.0, height_px=30.0)
    for k in range(5):
        chart.stand(Point(10.0 + 10.0 * k, 15.0), f"Stand with a name {k}")
    shapes = chart.shapes()
    written = {one.words for one in shapes if isinstance(one, Words)}
    assert chart.left_out
    assert all(name.startswith("Stand with") for name in chart.left_out)
    assert not written & set(chart.left_out)
    below, high_px = chart.drawn()
    assert high_px > 30.0
    told = " ".join(one.words for one in below if isinstance(one, Words) and one.y > 30.0)
    assert told.startswith("No room for: ")
    assert chart.with_left_out("Map.").startswith("Map. No room for: ")
    assert busy().drawn()[1] == 300.0
    assert busy().with_left_out("Map.") == "Map."
