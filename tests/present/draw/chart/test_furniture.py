"""Furniture: rings and bar as long as they say, barriers named inside, a key in columns."""

from collections.abc import Sequence
from math import hypot

import pytest

from farglide.earth.state import Place
from farglide.outlook.launch import MapLine
from farglide.present.draw.chart.chart import Chart
from farglide.present.draw.chart.furniture import (
    KeyRow,
    add_lines,
    add_outlines,
    add_rings,
    add_scale,
    add_tops,
    circle,
    key_shapes,
)
from farglide.present.draw.chart.plane import Plane
from farglide.present.draw.chart.shapes import Line, Shape, Words
from farglide.present.draw.place import Point

from .test_ground import hill

HERE = Place(lat_deg=46.0, lon_deg=8.0, amsl_m=0.0)
WOOD = ((46.05, 8.05), (46.12, 8.05), (46.12, 8.15), (46.05, 8.15))


@pytest.fixture
def plane() -> Plane:
    return Plane.round(HERE, [(-30e3, -30e3), (30e3, 30e3)], (300.0, 300.0), 0.0)


@pytest.fixture
def chart() -> Chart:
    return Chart(width_px=300.0, height_px=300.0)


def lines(shapes: Sequence[Shape], says: str) -> list[Line]:
    return [one for one in shapes if isinstance(one, Line) and one.says == says]


def words(shapes: Sequence[Shape]) -> list[str]:
    return [one.words for one in shapes if isinstance(one, Words)]


def test_rings_are_as_far_out_as_they_say(plane: Plane, chart: Chart) -> None:
    add_rings(chart, plane)
    middle = plane.xy(0.0, 0.0)
    radii = sorted({round(hypot(x - middle.x, y - middle.y)) for one in chart.lines
                    for x, y in one.points})  # fmt: skip
    assert radii[:2] == [100, 200]  # 20 and 40 km at 5 px to the kilometre
    assert "20 km" in words(chart.shapes())
    few = Chart(width_px=300.0, height_px=300.0)
    add_rings(few, plane, most_m=39e3)
    assert len(few.lines) == 1


def test_the_bar_is_as_long_as_it_says(plane: Plane, chart: Chart) -> None:
    add_scale(chart, plane)
    (bar,) = lines(chart.shapes(), "scale")
    assert bar.points[1].x - bar.points[0].x == pytest.approx(10e3 * plane.px_per_m)
    assert words(chart.shapes()) == ["10 km, north up"]
    close = Plane.round(HERE, [(0.0, 0.0)], (300.0, 300.0), 0.0)
    small = Chart(width_px=300.0, height_px=300.0)
    add_scale(small, close)
    assert words(small.shapes()) == ["0.5 km, north up"]


def test_a_barrier_has_its_pattern_and_its_name_inside(plane: Plane, chart: Chart) -> None:
    border = MapLine(name="Old line", kind="border", points=((45.9, 7.8), (45.9, 8.0), (45.8, 7.9)))
    road = MapLine(name="", kind="road", points=((45.8, 7.7), (46.2, 8.3)))
    wood = MapLine(name="Gollan Wood", kind="closed forest", points=WOOD)
    add_lines(chart, plane, (wood, border, road))
    shapes = chart.shapes()
    assert [one.fill for one in lines(shapes, "barrier") if one.fill] == ["boughs"]
    assert lines(shapes, "road")
    said = [one for one in shapes if isinstance(one, Words)]
    name = next(one for one in said if one.words.startswith("Gollan"))
    corner, other = plane.at(*WOOD[1]), plane.at(*WOOD[3])
    assert corner.x - 20.0 < name.x < other.x
    assert corner.y - 20.0 < name.y < other.y + 20.0
    assert " ".join(words(shapes)).count("Old line, border") == 1


def test_over_a_pattern_outlines_have_paper_of_their_own(plane: Plane, chart: Chart) -> None:
    wood = MapLine(name="Gollan Wood", kind="closed forest", points=WOOD)
    off = MapLine(name="Far", kind="water", points=((48.0, 8.0), (48.1, 8.0), (48.1, 8.1)))
    add_outlines(chart, plane, (wood, off))
    shapes = chart.shapes()
    papers = [one for one in shapes if isinstance(one, Line) and one.pen
              and one.pen.paint == "paper"]  # fmt: skip
    drawn = lines(shapes, "closed forest")
    assert papers[0].pen is not None
    assert drawn[0].pen is not None
    assert papers[0].pen.width_px > drawn[0].pen.width_px
    assert not any(one.fill == "boughs" for one in lines(shapes, "closed forest"))
    assert words(shapes) == ["Gollan Wood"]  # what lies off the map has no name on it


def test_a_top_keeps_clear_of_what_is_marked(plane: Plane, chart: Chart) -> None:
    ground = hill(0.2, 0.3)
    add_tops(chart, plane, ground)
    (top,) = lines(chart.shapes(), "top")
    assert any(one.endswith(" m") for one in words(chart.shapes()))
    taken = Chart(width_px=300.0, height_px=300.0)
    taken.stand(Point(*top.points[0]), "Knap")
    add_tops(taken, plane, ground)
    assert lines(taken.shapes(), "top") == []


def test_a_key_holds_every_step_in_its_pattern() -> None:
    rows = [KeyRow("dense", "9 in 10 or better"), KeyRow("lines", "x " * 60), KeyRow("", "less")]
    shapes, high_px = key_shapes(rows, Point(5.0, 10.0), 300.0, 2)
    boxes = lines(shapes, "key")
    assert [one.fill for one in boxes] == ["dense", "lines", ""]
    assert boxes[0].points[0] == Point(5.0, 10.0)
    assert boxes[1].points[0].y == boxes[0].points[0].y
    assert boxes[2].points[0].y > boxes[0].points[2].y
    assert max(one.y for one in shapes if isinstance(one, Words)) < 10.0 + high_px
    assert words(shapes)[0] == "9 in 10 or better"


def test_a_circle_is_round(plane: Plane) -> None:
    middle = plane.xy(5e3, 0.0)
    for at in circle(plane, (5e3, 0.0), 10e3):
        assert hypot(at.x - middle.x, at.y - middle.y) == pytest.approx(10e3 * plane.px_per_m)
