"""SVG of shapes: well-formed, escaped, with patterns and rasters that are found."""

import re
from base64 import b64decode
from dataclasses import replace
from io import BytesIO
from xml.etree import ElementTree as ET

import numpy as np
import pytest
from PIL import Image

from farglide.present.draw.chart.shapes import Disc, Line, Pen, Raster, Shape, Words, box
from farglide.present.draw.chart.to_svg import chart_svg, ink_png, lone_svg
from farglide.present.draw.chart.tokens import DAY, rgb
from farglide.present.draw.faces import width_px
from farglide.present.draw.place import Edges, Point

SVG = "{http://www.w3.org/2000/svg}"
RING = (Point(0, 0), Point(50, 0), Point(50, 50))
SHAPES: list[Shape] = [
    Raster(box=Edges(0, 0, 100, 80), ink=np.arange(80, dtype=np.uint8).reshape(8, 10)),
    Line(points=RING, fill="boughs", is_closed=True, holds=(RING[::-1],)),
    Line(points=RING, fill="dense", pen=Pen(2.0), is_closed=True),
    Line(points=RING, pen=Pen(1.0, "rule", (0.0, 4.0)), says="drift"),
    Disc(x=5, y=6, radius_px=3, fill="paper", pen=Pen(1.0)),
    box(Edges(1, 2, 3, 4), "ink"),
    Words(x=5, y=9, words='a <b> & "c"\x00', size_px=12.0, says="label"),
]


@pytest.mark.parametrize("draw", [chart_svg, lone_svg])
def test_it_is_one_well_formed_picture(draw: object) -> None:
    assert callable(draw)
    svg = draw(SHAPES, (100.0, 80.0), 'Says "so"', "map-2")
    root = ET.fromstring(svg)
    assert root.get("role") == "img"
    assert root.get("aria-label") == 'Says "so"'
    assert root.get("viewBox") == "0 0 100 80"
    ids = re.findall(r'id="([^"]+)"', svg)
    assert len(ids) == len(set(ids))
    assert set(re.findall(r"url\(#([^)]+)\)", svg)) <= set(ids)
    assert all(one.endswith("-map-2") for one in ids)
    (text,) = root.iter(f"{SVG}text")
    assert text.text == 'a <b> & "c"'
    assert float(text.get("textLength", "0")) == pytest.approx(width_px(text.text, 12.0), abs=0.01)


def test_a_pattern_in_another_paint_is_another_pattern() -> None:
    usual = box(Edges(0, 0, 9, 9), "lines")
    svg = chart_svg([usual, replace(usual, paint="link")], (20.0, 20.0), "x", "k")
    assert svg.count("<pattern ") == 2
    assert 'fill="url(#lines-k)"' in svg
    assert 'fill="url(#lines-link-k)"' in svg
    blue = svg[svg.index('<pattern id="lines-link-k"') :]
    assert 's-link"' in blue[: blue.index("</pattern>")]


def test_a_raster_travels_inside_with_nothing_where_there_is_no_ink() -> None:
    svg = chart_svg(SHAPES, (100.0, 80.0), "x", "k")
    (image,) = ET.fromstring(svg).iter(f"{SVG}image")
    href = image.get("href", "")
    assert href.startswith("data:image/png;base64,")
    with Image.open(BytesIO(b64decode(href.split(",")[1]))) as found:
        drawn = np.asarray(found.convert("RGBA"))
    assert drawn.shape == (8, 10, 4)
    assert np.array_equal(drawn[..., 3].ravel(), np.arange(80))
    assert (drawn[..., :3] == rgb("ink", DAY)).all()


def test_ink_has_the_colour_of_its_token() -> None:
    raster = Raster(box=Edges(0, 0, 2, 1), ink=np.array([[0, 255]], np.uint8), paint="link")
    with Image.open(BytesIO(ink_png(raster))) as found:
        drawn = np.asarray(found.convert("RGBA"))
    assert tuple(drawn[0, 1]) == (*rgb("link", DAY), 255)
    assert drawn[0, 0, 3] == 0


def test_colours_are_those_of_the_tokens_alone() -> None:
    svg = lone_svg(SHAPES, (100.0, 80.0), "x", "k")
    plain = re.sub(r"base64,[^\"')]+", "", svg)
    assert set(re.findall(r"#[0-9a-f]{6}", plain)) <= set(DAY.values())
    inner = chart_svg(SHAPES, (100.0, 80.0), "x", "k")
    assert not re.search(r'(?:fill|stroke)="#', inner)
    assert "@font-face" in svg
    assert "@font-face" not in inner
