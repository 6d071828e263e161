"""PNG of shapes: read back by another library; ink, paper and words where they belong."""

import numpy as np
import pytest
from PIL import Image
from rasterio.io import MemoryFile

from farglide.present.draw.chart.shapes import Disc, Line, Pen, Raster, Shape, Words, box
from farglide.present.draw.chart.to_png import SCALE, chart_png, dashed, inside
from farglide.present.draw.chart.tokens import grey
from farglide.present.draw.place import Edges, Point

from .conftest import greys

SIZE = (120.0, 60.0)


def drawn(*shapes: Shape) -> np.ndarray[tuple[int, int], np.dtype[np.uint8]]:
    return greys(chart_png(shapes, SIZE, "x"))


@pytest.mark.filterwarnings("ignore::rasterio.errors.NotGeoreferencedWarning")
def test_another_library_reads_the_same_pixels() -> None:
    """GDAL's reader."""
    data = chart_png([box(Edges(10, 10, 40, 30), "ink")], SIZE, "10 dB − é")
    with MemoryFile(data) as file, file.open(driver="PNG") as dataset:
        assert np.array_equal(dataset.read(1), greys(data))
        assert dataset.shape == (60 * SCALE, 120 * SCALE)
    assert "10 dB − é".encode() in data
    assert data == chart_png([box(Edges(10, 10, 40, 30), "ink")], SIZE, "10 dB − é")


def test_paper_is_white_and_ink_is_where_it_is_put() -> None:
    found = drawn(box(Edges(10, 10, 40, 30), "ink"), Disc(x=80, y=30, radius_px=10, fill="rule"))
    assert found[20 * SCALE, 25 * SCALE] == grey("ink")
    assert found[30 * SCALE, 80 * SCALE] == grey("rule")
    assert found[5, 5] == grey("paper")
    # the library draws a shape's rim too: a quarter of a unit to the right and below
    wanted = (30.25 * 20.25 + np.pi * 100 * (255 - grey("rule")) / 255) / (120 * 60)
    assert float((255 - found).mean()) / 255 == pytest.approx(wanted, rel=0.02)


def test_what_comes_later_lies_above() -> None:
    under = Line(points=(Point(0, 30), Point(120, 30)), pen=Pen(8.0))
    over = box(Edges(40, 20, 80, 40), "paper")
    words = Words(x=60, y=36, words="HH", size_px=16, anchor="middle")
    found = drawn(under, over, words)
    assert found[30 * SCALE, 20 * SCALE] == 0
    assert found[30 * SCALE, 42 * SCALE] == 255
    assert found[30 * SCALE, 50 * SCALE : 70 * SCALE].min() < 80
    assert drawn(over, under)[30 * SCALE, 60 * SCALE] == 0


def test_a_pattern_fills_its_shape_alone() -> None:
    found = drawn(box(Edges(20, 10, 60, 50), "dense"))
    inside = found[10 * SCALE : 50 * SCALE, 20 * SCALE : 60 * SCALE]
    assert 0.4 < float((255 - inside).mean()) / 255 < 0.56
    found[10 * SCALE : 50 * SCALE + 1, 20 * SCALE : 60 * SCALE + 1] = 255
    assert found.min() == 255


def test_a_raster_darkens_what_lies_below() -> None:
    half = Raster(box=Edges(0, 0, 120, 60), ink=np.full((6, 12), 128, np.uint8))
    found = drawn(half, Line(points=(Point(0, 30), Point(120, 30)), pen=Pen(4.0)))
    assert found[5, 5] == pytest.approx(127, abs=1)
    assert found[30 * SCALE, 60] == 0


def test_a_mask_holds_the_pixels_inside() -> None:
    corners = [Point(10, 10), Point(30, 10), Point(30, 20), Point(10, 20)]
    mask = inside(corners, 80, 60)
    assert mask.shape == (60, 80)
    assert mask[20 * SCALE - 4, 20 * SCALE - 4]
    assert not mask[2, 2]
    assert float(mask.sum()) == pytest.approx(20 * SCALE * 10 * SCALE, rel=0.1)


def test_dashes_are_as_long_as_they_say() -> None:
    line = [Point(0, 0), Point(10, 0), Point(10, 10)]
    found = dashed(line, [6.0, 3.0])
    assert [(one[0], one[-1]) for one in found] == [
        (Point(0, 0), Point(6, 0)), (Point(9, 0), Point(10, 5)), (Point(10, 8), Point(10, 10)),
    ]  # fmt: skip
    dots = dashed([Point(0, 0), Point(0, 10)], [0.0, 4.0])
    assert [one[0] for one in dots] == [Point(0, 0), Point(0, 4), Point(0, 8)]
    pen = Pen(2.0, "ink", (4.0, 4.0))
    inked = drawn(Line(points=(Point(10, 30), Point(110, 30)), pen=pen))
    assert float((255 - inked).sum()) / 255 == pytest.approx(13 * 4.25 * 2 * SCALE**2, rel=0.01)
    dotted = drawn(Line(points=(Point(10, 30), Point(110, 30)), pen=Pen(3.0, "ink", (0.0, 6.0))))
    assert 0 < int((dotted < 128).sum()) < 100 * 3 * SCALE**2 * 0.5


def test_letters_without_a_shape_of_their_own_are_written_plainly() -> None:
    odd, plain = (drawn(Words(x=5, y=40, words=one, size_px=20)) for one in ("Žďěř", "Zder"))
    assert np.array_equal(odd, plain)
    assert Image.fromarray(odd).getextrema() == (0, 255)
