"""Shapes: what a picture is made of, as values, before it becomes SVG or pixels."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal, NamedTuple

from farglide.arrays import ByteArray
from farglide.present.draw.place import Edges, Point

Anchor = Literal["start", "middle", "end"]


class Pen(NamedTuple):
    """A stroke: its token, its width, and its dashes; a dash of 0 is a round dot."""

    width_px: float
    paint: str = "ink"
    dashes: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """A line through points, closed or not, perhaps filled by a token or a pattern.

    `paint`: the token of the pattern, where it is not its usual one. `holds`: further closed rings
    of the same shape. `says`: what it is, for tests and readers.
    """

    points: tuple[Point, ...]
    pen: Pen | None = None
    fill: str = ""
    paint: str = ""
    is_closed: bool = False
    holds: tuple[tuple[Point, ...], ...] = ()
    says: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Disc:
    """A circle, filled by a token."""

    x: float
    y: float
    radius_px: float
    pen: Pen | None = None
    fill: str = ""
    says: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Words:
    """Words with their baseline at y."""

    x: float
    y: float
    words: str
    size_px: float
    weight: int = 600
    anchor: Anchor = "start"
    says: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Raster:
    """Ink of one token in a box: 0 none to 255 full, rows from the top."""

    box: Edges
    ink: ByteArray
    paint: str = "ink"


Shape = Line | Disc | Words | Raster


def box(edges: Edges, fill: str = "", pen: Pen | None = None, says: str = "") -> Line:
    """Return a rectangle."""
    left, top, right, bottom = edges
    corners = (Point(left, top), Point(right, top), Point(right, bottom), Point(left, bottom))
    return Line(points=corners, is_closed=True, fill=fill, pen=pen, says=says)


def square(at: Point, half_px: float) -> Edges:
    """Return the edges of a square round a point."""
    return Edges(at.x - half_px, at.y - half_px, at.x + half_px, at.y + half_px)


def line(points: Sequence[Point], pen: Pen, says: str = "") -> Line:
    """Return an open line."""
    return Line(points=tuple(points), pen=pen, says=says)


def moved(shape: Shape, right_px: float, down_px: float) -> Shape:
    """Return a shape so far to the right and down."""
    if isinstance(shape, Line):
        rings = [
            tuple(Point(x + right_px, y + down_px) for x, y in ring)
            for ring in (shape.points, *shape.holds)
        ]
        return replace(shape, points=rings[0], holds=tuple(rings[1:]))
    if isinstance(shape, Raster):
        left, top, right, bottom = shape.box
        edges = Edges(left + right_px, top + down_px, right + right_px, bottom + down_px)
        return replace(shape, box=edges)
    return replace(shape, x=shape.x + right_px, y=shape.y + down_px)
