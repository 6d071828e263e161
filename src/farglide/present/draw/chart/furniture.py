"""Furniture of a map: rings of distance, the scale bar, tops of the ground, areas, and the key."""

from collections.abc import Sequence
from dataclasses import replace
from math import cos, hypot, pi, sin
from typing import Final, NamedTuple

import numpy as np

from farglide.atlas.ring import encloses
from farglide.earth.geodesy import EastNorth
from farglide.outlook.charted import GroundGrid
from farglide.outlook.launch import MapLine
from farglide.present.draw.chart.chart import Chart
from farglide.present.draw.chart.ground import shaded, tops
from farglide.present.draw.chart.label import Label
from farglide.present.draw.chart.plane import Plane
from farglide.present.draw.chart.shapes import Line, Pen, Shape, Words, box, line
from farglide.present.draw.faces import folded
from farglide.present.draw.place import Edges, Point
from farglide.sortie.words import number_text

ORIGIN_M: Final = EastNorth(0.0, 0.0)
_ROUND_KM: Final = (200, 100, 50, 20, 10, 5, 2, 1, 0.5, 0.2, 0.1)
_RING: Final = Pen(0.8, "rule")
_TEXT_PX: Final = 12.0
_BAR_SHARE: Final = 0.26
_FILLS: Final = {"closed forest": "boughs", "water": "waves", "town": "bars", "gorge": "teeth"}
_OUTLINE: Final = Pen(1.3, "barrier")
_ROADS: Final = {
    "road": Pen(1.3, "barrier"), "rail": Pen(2.6, "barrier", (1.5, 4.0)),
    "wires": Pen(0.9, "barrier", (7.0, 2.5, 1.0, 2.5)),
}  # fmt: skip
_SWATCH_PX: Final = (28.0, 18.0)
_TOP_PX: Final = 4.0
_NEAR_PX: Final = 16.0


class KeyRow(NamedTuple):
    """One entry of a key: what fills its box, what that means, and a paint of its own."""

    fill: str
    words: str
    paint: str = ""


def add_ground(chart: Chart, plane: Plane, grid: GroundGrid | None) -> None:
    """Shade the ground, where its heights are known."""
    chart.ground += shaded(grid, plane)


def add_tops(chart: Chart, plane: Plane, grid: GroundGrid | None) -> None:
    """Mark the tops of the ground with their heights, clear of what is marked already."""
    taken = [((m.left + m.right) / 2.0, (m.top + m.bottom) / 2.0) for m in chart.placing.marks]
    for at, amsl_m in tops(grid, plane):
        if all(hypot(at.x - x, at.y - y) > _NEAR_PX for x, y in taken):
            corners = [(0.0, -_TOP_PX), (_TOP_PX, 0.7 * _TOP_PX), (-_TOP_PX, 0.7 * _TOP_PX)]
            points = tuple(Point(at.x + right, at.y + down) for right, down in corners)
            chart.mark([Line(points=points, fill="barrier", is_closed=True, says="top")], at, 5.0)
            words = f"{number_text(amsl_m)} m"
            chart.labels.append(Label(at=at, words=words, must=False))


def add_lines(chart: Chart, plane: Plane, lines: Sequence[MapLine]) -> None:
    """Draw barriers in their patterns, with their names, and roads, rails and wires."""
    for one in lines:
        says = one.kind if one.kind in _ROADS else "barrier"
        _add_line(chart, plane, one, _FILLS.get(one.kind, ""), says)


def add_outlines(chart: Chart, plane: Plane, lines: Sequence[MapLine]) -> None:
    """Draw barriers as outlines, and roads, on paper of their own: over other patterns."""
    for one in lines:
        drawn = _add_line(chart, plane, one, "", one.kind)
        width_px = _ROADS.get(one.kind, _OUTLINE).width_px + 2.6
        chart.areas.append(replace(drawn, pen=Pen(width_px, "paper"), says=""))


def _add_line(chart: Chart, plane: Plane, one: MapLine, fill: str, says: str) -> Line:
    """Draw one line of the map, an area with its name inside, and return it."""
    pen, is_closed = _ROADS.get(one.kind, _OUTLINE), one.kind not in _ROADS
    points = tuple(plane.line(one.points))
    drawn = Line(points=points, pen=pen, fill=fill, is_closed=is_closed, says=says)
    chart.draw(drawn, one.name)
    inside = tuple(_inside(plane, points)) if is_closed else ()
    if inside:
        words = one.name if one.kind in _FILLS else f"{one.name}, {one.kind}"
        label = Label(at=inside[0], words=words, along=inside, owner=one.name, clear_px=0.0)
        chart.labels.append(label)
    return drawn


def _inside(plane: Plane, points: Sequence[Point]) -> list[Point]:
    """Return places inside a shape and on the map, those nearest to their middle first."""
    if len(points) < 3:
        return []
    xs, ys = zip(*points, strict=True)
    left, right = max(min(xs), 0.0), min(max(xs), plane.width_px)
    top, bottom = max(min(ys), 0.0), min(max(ys), plane.height_px)
    n = 12
    tried = [
        Point(left + (right - left) * (i + 0.5) / n, top + (bottom - top) * (j + 0.5) / n)
        for j in range(n)
        for i in range(n)
    ]
    x, y = np.array(tried).T
    found = [at for at, is_in in zip(tried, encloses(np.array(points), x, y), strict=True) if is_in]
    if not found:
        return []
    middle = Point(*(sum(one) / len(found) for one in zip(*found, strict=True)))
    return sorted(found, key=lambda at: (round(hypot(at.x - middle.x, at.y - middle.y), 6), at))


def circle(plane: Plane, middle_m: EastNorth, radius_m: float) -> tuple[Point, ...]:
    """Return a circle of metres on the map."""
    turns = (2.0 * pi * k / 90.0 for k in range(90))
    east, north = middle_m
    return tuple(plane.xy(east + radius_m * sin(t), north + radius_m * cos(t)) for t in turns)


def add_rings(
    chart: Chart, plane: Plane, middle_m: EastNorth = ORIGIN_M, most_m: float = 1e9
) -> None:
    """Draw rings of round kilometres round a place, each with its distance where there is room."""
    long_km = max(plane.width_px, plane.height_px) / plane.px_per_m / 1000.0
    step_km = next((km for km in reversed(_ROUND_KM) if long_km / km <= 4.5), _ROUND_KM[0])
    n = 1
    while n * step_km < 1.5 * long_km and n * step_km * 1000.0 < most_m:
        points = circle(plane, middle_m, n * step_km * 1000.0)
        if any(plane.is_shown(at) for at in points):
            name = f"ring {n}"
            chart.draw(Line(points=points, pen=_RING, is_closed=True, says="ring"), name)
            shown = tuple(at for at in points if plane.is_shown(at, 10.0))[::3]
            words = f"{number_text(n * step_km, 0 if step_km >= 1.0 else 1)} km"
            if shown:
                chart.labels.append(
                    Label(at=shown[0], words=words, along=shown, owner=name, must=False)
                )
        n += 1


def add_scale(chart: Chart, plane: Plane) -> None:
    """Draw a bar of a round number of kilometres in a corner without marks, and where north is."""
    room_km = _BAR_SHARE * plane.width_px / plane.px_per_m / 1000.0
    km = next((one for one in _ROUND_KM if one <= room_km), _ROUND_KM[-1])
    length = km * 1000.0 * plane.px_per_m
    x, y = _corner(chart, plane, max(length, 92.0))
    decimals = 0 if km >= 1.0 else 1
    words = f"{number_text(km, decimals)} km, north up"
    back = _bar_back(x, y, max(length, 92.0))
    ends = [line([Point(a, y - 4.0), Point(a, y + 4.0)], Pen(1.6)) for a in (x, x + length)]
    bar = line([Point(x, y), Point(x + length, y)], Pen(3.0), "scale")
    chart.placing.marks.append(back)
    chart.covers.append(back)
    written = Words(x=x, y=y - 7.0, words=words, size_px=_TEXT_PX)
    chart.marks += [box(back, "paper"), bar, *ends, written]


def _bar_back(x: float, y: float, wide: float) -> Edges:
    return Edges(x - 6.0, y - 20.0, x + wide + 4.0, y + 7.0)


def _corner(chart: Chart, plane: Plane, wide: float) -> Point:
    """Return where a bar begins: lower left, or in the next corner in which no mark stands."""
    right, low = plane.width_px - wide - 10.0, plane.height_px - 11.0
    corners = [Point(x, y) for y in (low, 26.0) for x in (10.0, right)]
    for x, y in corners:
        back = _bar_back(x, y, wide)
        if not any(
            one.left < back.right and back.left < one.right
            and one.top < back.bottom and back.top < one.bottom
            for one in chart.placing.marks
        ):  # fmt: skip
            return Point(x, y)
    return corners[0]


def key_shapes(
    rows: Sequence[KeyRow], at: Point, width_px: float, n_columns: int
) -> tuple[list[Shape], float]:
    """Return a key in columns, row by row, and how high it is."""
    found: list[Shape] = []
    wide = width_px / n_columns
    room = wide - _SWATCH_PX[0] - 16.0
    texts = [folded(row.words, _TEXT_PX, room, 3) for row in rows]
    y, lines = at.y, [texts[i : i + n_columns] for i in range(0, len(texts), n_columns)]
    for i, texts_of_line in enumerate(lines):
        for j, text in enumerate(texts_of_line):
            x = at.x + j * wide
            swatch = Edges(x, y, x + _SWATCH_PX[0], y + _SWATCH_PX[1])
            row = rows[i * n_columns + j]
            found.append(replace(box(swatch, row.fill, Pen(1.2), "key"), paint=row.paint))
            found += [
                Words(x=x + _SWATCH_PX[0] + 7.0, y=y + 13.5 + 14.0 * k, words=one,
                      size_px=_TEXT_PX, weight=500)
                for k, one in enumerate(text)
            ]  # fmt: skip
        y += max(_SWATCH_PX[1], 14.0 * max(map(len, texts_of_line)) + 3.0) + 5.0
    return found, y - at.y
