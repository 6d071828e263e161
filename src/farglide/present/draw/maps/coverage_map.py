"""A picture of coverage: steps of margin in clear patterns over the ground, with their key."""

import math
from collections.abc import Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from farglide.arrays import BoolArray
from farglide.outlook.coverage import STEPS_DB, UNKNOWN, Coverage
from farglide.present.draw.chart.chart import Chart
from farglide.present.draw.chart.furniture import (
    ORIGIN_M,
    KeyRow,
    add_ground,
    add_outlines,
    add_rings,
    add_scale,
    add_tops,
    circle,
    key_shapes,
)
from farglide.present.draw.chart.patterns import STEPS, pattern_ink
from farglide.present.draw.chart.plane import Plane
from farglide.present.draw.chart.shapes import Line, Pen, Raster, Shape, Words, moved
from farglide.present.draw.chart.to_png import SCALE, chart_png, inside
from farglide.present.draw.chart.to_svg import lone_svg
from farglide.present.draw.faces import folded
from farglide.present.draw.maps.coverage_plane import MAP_PX, plane_of
from farglide.present.draw.place import Point, Size
from farglide.present.say.links.coverage import (
    NOT_KNOWN,
    ground_words,
    hole_words,
    step_words,
    title,
)
from farglide.present.say.links.hearing import ASSUMED
from farglide.present.say.text import compass_words
from farglide.sortie.words import km_text, number_text

PNG: Final = "coverage.png"
SVG: Final = "coverage.svg"
MARGIN_PX: Final = 10.0
_WIDE_PX: Final = MAP_PX + 2.0 * MARGIN_PX
_HEAD_PX: Final = 15.0
_TEXT_PX: Final = 12.0
_LEADING: Final = 1.25
_N_COLUMNS: Final = 2
_PAINT: Final = "link"
_RIM_CELLS: Final = 1.5


def coverage_files(cover: Coverage) -> dict[str, str | bytes]:
    """Return the picture as the files that a command writes, by their names.

    Each stands alone and says in words what it shows; the SVG has its steps as a raster inside.
    """
    shapes, high_px = _shapes(cover)
    size_px, says = Size(_WIDE_PX, high_px), coverage_sentence(cover)
    return {
        PNG: chart_png(shapes, size_px, says),
        SVG: lone_svg(shapes, size_px, says, "coverage"),
    }


def coverage_sentence(cover: Coverage) -> str:
    """Return what the picture shows, for those who do not see it."""
    reach = []
    for ray in cover.rays:
        end = "nowhere" if math.isnan(ray.to_m) else f"to {km_text(ray.to_m, 0)} km"
        reach.append(f"{compass_words(ray.bearing_deg)} {end}")
    return f"{title(cover)}. It holds {', '.join(reach)}. {ground_words(cover)}"


def _shapes(cover: Coverage) -> tuple[list[Shape], float]:
    """Return head, map, key and foot below one another, and how high all of it is."""
    head = _lines(f"{cover.name}: {title(cover)}", _HEAD_PX)
    found = _written(head, MARGIN_PX, _HEAD_PX, 600)
    top = MARGIN_PX + _LEADING * _HEAD_PX * len(head) + 4.0
    chart, left_out = _map(cover)
    found += [moved(shape, MARGIN_PX, top) for shape in chart]
    key, high_px = key_shapes(_key(), Point(MARGIN_PX, top + MAP_PX + 10.0), MAP_PX, _N_COLUMNS)
    below = top + MAP_PX + 10.0 + high_px + 4.0
    foot = [one for words in _foot(cover, left_out) for one in _lines(words, _TEXT_PX)]
    found += [*key, *_written(foot, below, _TEXT_PX, 500)]
    return found, below + _LEADING * _TEXT_PX * len(foot) + MARGIN_PX


def _lines(words: str, size_px: float) -> tuple[str, ...]:
    return folded(words, size_px, MAP_PX, 99)


def _written(lines: Sequence[str], top: float, size_px: float, weight: int) -> list[Shape]:
    step = _LEADING * size_px
    return [
        Words(x=MARGIN_PX, y=top + i * step + size_px, words=one, size_px=size_px, weight=weight)
        for i, one in enumerate(lines)
    ]


def _map(cover: Coverage) -> tuple[list[Shape], tuple[str, ...]]:
    """Return the shapes of the map, and the names that found no room on it."""
    plane, half = plane_of(cover), 0.5 * MAP_PX
    chart = Chart(width_px=MAP_PX, height_px=MAP_PX)
    add_ground(chart, plane, cover.relief)
    chart.ground += _steps(cover, plane)
    rim = circle(plane, ORIGIN_M, cover.circle.radius_m)
    chart.areas.append(Line(points=rim, is_closed=True, pen=Pen(1.6), says="rim"))
    chart.stand(Point(half, half), cover.stand.name, True)
    for n, at in _shown(cover, plane):
        chart.field(at, str(n), cover.fields[n - 1].name)
    add_outlines(chart, plane, cover.lines)
    add_tops(chart, plane, cover.relief)
    add_rings(chart, plane, most_m=0.99 * cover.circle.radius_m)
    add_scale(chart, plane)
    return chart.shapes(), chart.left_out


def _shown(cover: Coverage, plane: Plane) -> list[tuple[int, Point]]:
    """Return the number of each field in the circle, and where it lies."""
    half = 0.5 * MAP_PX
    places = [plane.at(one.lat_deg, one.lon_deg) for one in cover.fields]
    return [
        (n, at)
        for n, at in enumerate(places, 1)
        if math.hypot(at.x - half, at.y - half) < half - 4.0
    ]


def _steps(cover: Coverage, plane: Plane) -> list[Raster]:
    """Return the cells in the patterns of their steps, with a line between steps."""
    wide = round(MAP_PX * SCALE)
    rows, columns = (
        ((np.arange(wide) + 0.5) * n / wide).astype(np.int64) for n in cover.margins_db.shape
    )
    picked = np.ix_(rows, columns)
    steps, radius_m = cover.steps[picked], cover.circle.radius_m
    # beside the rim a line between steps would only tell how coarse the cells are
    within, well_within = (
        inside(circle(plane, ORIGIN_M, share * radius_m), wide, wide)
        for share in (1.0, 1.0 - _RIM_CELLS * 2.0 / cover.circle.n_rows)
    )
    ink = np.zeros(steps.shape, np.uint8)
    for step in range(UNKNOWN, len(STEPS_DB) + 1):
        name = _pattern(step)
        if name:
            np.copyto(ink, pattern_ink(name, wide, wide, SCALE), where=steps == step)
    ink[_edges(steps) & well_within] = 255
    ink[~within] = 0
    return [Raster(box=plane.edges, ink=ink, paint=_PAINT)]


def _pattern(step: int) -> str:
    """Return what fills a step: the more margin, the more ink."""
    return "crosses" if step == UNKNOWN else STEPS[step]


def _edges(values: NDArray[np.int8]) -> BoolArray:
    """Return the pixels beside others of another value."""
    out = np.zeros(values.shape, np.bool_)
    out[1:] |= values[1:] != values[:-1]
    out[:, 1:] |= values[:, 1:] != values[:, :-1]
    return out


def _key() -> list[KeyRow]:
    """Return each pattern with what it means, the strongest first."""
    steps = reversed(range(len(STEPS_DB) + 1))
    rows = [KeyRow(_pattern(step), step_words(step), _PAINT) for step in steps]
    return [*rows, KeyRow("crosses", NOT_KNOWN, _PAINT)]


def _foot(cover: Coverage, left_out: tuple[str, ...]) -> list[str]:
    """Return how to read the marks, and what stands behind the picture."""
    shown = {n for n, _ in _shown(cover, plane_of(cover))}
    away = [one.name for n, one in enumerate(cover.fields, 1) if n not in shown]
    radius = f"{number_text(cover.circle.radius_m / 1000.0)} km"
    marks = f"Solid square: {cover.stand.name}. Figures: fields. Circle: {radius} round the stand."
    marks += f" Outside: {', '.join(away)}." if away else ""
    marks += f" Without room: {', '.join(left_out)}." if left_out else ""
    told = [marks, hole_words(cover), f"{ground_words(cover)} {ASSUMED}"]
    return [one for one in told if one]
