"""PNG of shapes: black ink on white paper, as a printer and a copier have it."""

from collections.abc import Sequence
from io import BytesIO
from itertools import pairwise
from math import hypot
from typing import Final

import numpy as np
from PIL import Image, ImageChops, ImageDraw
from PIL.PngImagePlugin import PngInfo

from farglide.arrays import BoolArray
from farglide.present.draw.chart.patterns import NAMES, pattern_ink
from farglide.present.draw.chart.shapes import Disc, Line, Pen, Raster, Shape, Words
from farglide.present.draw.chart.tokens import grey
from farglide.present.draw.faces import FAMILY, Cut, drawable, face, width_px
from farglide.present.draw.place import Point, Size

SCALE: Final = 2
"""Pixels to a unit of the picture."""
_FINE: Final = 2
"""Lines are drawn so much finer, then averaged: their edges are smooth."""
_SHIFTS: Final = {"start": 0.0, "middle": 0.5, "end": 1.0}
_ENTER: Final = 6  # how hard the file is packed: nine takes three times as long for a twentieth


def chart_png(shapes: Sequence[Shape], size_px: Size, says: str) -> bytes:
    """Return a picture as the bytes of a PNG file, what it says in words inside.

    Its marks and lines are drawn between the rasters below them and the words above them.
    """
    wide, high = (round(one * SCALE) for one in size_px)
    sheet = _Sheet(wide, high)
    for shape in shapes:
        sheet.put(shape)
    words = PngInfo()
    words.add_itxt("Description", says)
    file = BytesIO()
    sheet.finished().save(file, "PNG", pnginfo=words, compress_level=_ENTER)
    return file.getvalue()


class _Sheet:
    """Grey paper: what is put later lies above. Lines wait on a finer one, with its own cover."""

    def __init__(self, wide: int, high: int) -> None:
        self.image = Image.new("L", (wide, high), grey("paper"))
        self.fine_size = wide * _FINE, high * _FINE
        self.fine: tuple[Image.Image, Image.Image] | None = None

    def put(self, shape: Shape) -> None:
        """Put one shape on all that was put before."""
        if isinstance(shape, Line | Disc):
            if self.fine is None:
                self.fine = (Image.new("L", self.fine_size), Image.new("L", self.fine_size))
            for layer, value in zip(self.fine, (None, 255), strict=True):
                _draw(ImageDraw.Draw(layer), shape, value)
            if isinstance(shape, Line) and shape.fill in NAMES:
                self._flush()
                self._fill(shape)
            return
        self._flush()
        if isinstance(shape, Words):
            self._write(shape)
        else:
            self._lay(shape)

    def finished(self) -> Image.Image:
        """Return the paper with all that was put."""
        self._flush()
        return self.image

    def _flush(self) -> None:
        """Put what waits on the paper, where there is any."""
        waiting, self.fine = self.fine, None
        edges = waiting[1].getbbox() if waiting else None
        if waiting and edges:
            left, top, right, bottom = edges
            box = left // _FINE, top // _FINE, -(-right // _FINE), -(-bottom // _FINE)
            finely = box[0] * _FINE, box[1] * _FINE, box[2] * _FINE, box[3] * _FINE
            paint, cover = (layer.crop(finely).reduce(_FINE) for layer in waiting)
            inked = ImageChops.multiply(self.image.crop(box), ImageChops.invert(cover))
            # paint is thinned by its cover already
            self.image.paste(ImageChops.add(inked, paint), box)

    def _fill(self, shape: Line) -> None:
        """Fill a shape with its pattern, in black."""
        rings = [[(x * SCALE, y * SCALE) for x, y in one] for one in (shape.points, *shape.holds)]
        mask = Image.new("L", self.image.size)
        for ring in rings:
            ImageDraw.Draw(mask).polygon(ring, 255)
        box = mask.getbbox()
        if box:
            wide, high = box[2], box[3]
            ink = Image.fromarray(pattern_ink(shape.fill, high, wide, SCALE)).crop(box)
            self.image.paste(grey("ink"), box, ImageChops.multiply(ink, mask.crop(box)))

    def _lay(self, shape: Raster) -> None:
        left, top, right, bottom = (round(one * SCALE) for one in shape.box)
        ink = Image.fromarray(shape.ink)
        if ink.size != (right - left, bottom - top):
            ink = ink.resize((right - left, bottom - top), Image.Resampling.BILINEAR)
        self.image.paste(grey(shape.paint), (left, top), ink)

    def _write(self, shape: Words) -> None:
        words, size = drawable(shape.words), shape.size_px
        font = face(shape.weight, size * SCALE)
        left = shape.x - _SHIFTS[shape.anchor] * width_px(words, size, Cut(FAMILY, shape.weight))
        at = left * SCALE, shape.y * SCALE
        ImageDraw.Draw(self.image).text(at, words, grey("ink"), font, anchor="ls")


def _draw(draw: ImageDraw.ImageDraw, shape: Line | Disc, value: int | None) -> None:
    """Draw a line or disc in its colours, or all in one value."""
    scale = SCALE * _FINE

    def paint(token: str) -> int:
        return grey(token) if value is None else value

    if isinstance(shape, Disc):
        r = shape.radius_px + (shape.pen.width_px / 2.0 if shape.pen else 0.0)
        edges = [(shape.x - r) * scale, (shape.y - r) * scale]
        edges += [(shape.x + r) * scale, (shape.y + r) * scale]
        fill = paint(shape.fill) if shape.fill else None
        if shape.pen and not shape.pen.dashes:
            wide = round(shape.pen.width_px * scale)
            draw.ellipse(edges, fill, paint(shape.pen.paint), wide)
        else:
            draw.ellipse(edges, fill)
        return
    points = [Point(x * scale, y * scale) for x, y in shape.points]
    if shape.fill and shape.fill not in NAMES:
        draw.polygon(points, paint(shape.fill))
    if shape.pen:
        closed = [*points, points[0]] if shape.is_closed else points
        _stroke(draw, closed, shape.pen, paint(shape.pen.paint))


def _stroke(draw: ImageDraw.ImageDraw, points: Sequence[Point], pen: Pen, value: int) -> None:
    scale = SCALE * _FINE
    wide = max(1, round(pen.width_px * scale))
    if not pen.dashes:
        draw.line(points, value, wide, joint="curve")
        return
    lengths = [one * scale for one in pen.dashes]
    for dash in dashed(points, lengths):
        if len(dash) == 1 or hypot(dash[0].x - dash[-1].x, dash[0].y - dash[-1].y) < 1.0:
            x, y = dash[0]
            draw.ellipse((x - wide / 2, y - wide / 2, x + wide / 2, y + wide / 2), value)
        else:
            draw.line(dash, value, wide)


def inside(points: Sequence[Point], wide_px: int, high_px: int) -> BoolArray:
    """Return which pixels of a picture lie inside a closed line, `SCALE` to a unit."""
    mask = Image.new("1", (wide_px, high_px))
    ImageDraw.Draw(mask).polygon([(x * SCALE, y * SCALE) for x, y in points], 1)
    return np.asarray(mask, dtype=np.bool_)


def dashed(points: Sequence[Point], lengths: Sequence[float]) -> list[list[Point]]:
    """Return the dashes of a line: `lengths` are those of a dash, a gap, a dash, and so on."""
    dashes: list[list[Point]] = [[points[0]]]
    n, left = 0, lengths[0]
    for start, end in pairwise(points):
        length, gone = hypot(end.x - start.x, end.y - start.y), 0.0
        while length - gone > left:
            gone += left
            at = Point(
                start.x + gone / length * (end.x - start.x),
                start.y + gone / length * (end.y - start.y),
            )
            if n % 2 == 0:
                dashes[-1].append(at)
            else:
                dashes.append([at])
            n, left = n + 1, lengths[(n + 1) % len(lengths)]
        left -= length - gone
        if n % 2 == 0:
            dashes[-1].append(end)
    return dashes
