"""The flight from above: fields, stands, drift, burst and reach over the ground, north up."""

from math import atan2, degrees, hypot
from typing import Final

from farglide.outlook.outlook import Outlook
from farglide.present.draw.chart.furniture import (
    add_ground,
    add_lines,
    add_rings,
    add_scale,
    add_tops,
)
from farglide.present.draw.chart.to_svg import chart_svg
from farglide.present.draw.maps.plan_sketch import DASHES, FlightSketch
from farglide.present.draw.place import Size
from farglide.present.say.text import compass_words
from farglide.sortie.words import km_text, number_text

SIZE_MM: Final = Size(80.0, 80.0)
PX_PER_MM: Final = 96.0 / 25.4
DASH_WORDS: Final = ("full", "dashed", "dotted", "dash and dot")


def map_svg(outlook: Outlook, size_mm: Size = SIZE_MM, key: str = "map") -> str:
    """Return the map as SVG, so many millimetres wide and high.

    Places whose names find no room are named in its description. `key` keeps its ids apart from
    those of other pictures.
    """
    size_px = _size_px(size_mm)
    sketch, chart = FlightSketch(outlook, size_px), outlook.chart
    plane, drawn = sketch.plane, sketch.chart
    add_ground(drawn, plane, chart.ground if chart else None)
    # what comes first finds its label's place first
    sketch.add_fields()
    sketch.add_launch()
    sketch.add_stands()
    sketch.add_drift()
    add_lines(drawn, plane, chart.lines if chart else ())
    sketch.add_reach()
    sketch.add_heights()
    add_tops(drawn, plane, chart.ground if chart else None)
    add_rings(drawn, plane)
    add_scale(drawn, plane)
    shapes, says = drawn.shapes(), _sentence(outlook)
    return chart_svg(shapes, size_px, drawn.with_left_out(says), key)


def _size_px(size_mm: Size) -> Size:
    return Size(*(one * PX_PER_MM for one in size_mm))


def map_note(outlook: Outlook) -> str:
    """Return how to read the map, naming only what it holds."""
    drawn = FlightSketch(outlook, _size_px(SIZE_MM)).shown_reach()
    parts = ["Thick line: drift, rings at km of height; dots: where it most likely bursts."]
    if drawn:
        lines = ", ".join(f"{DASH_WORDS[min(n, len(DASHES)) - 1]} field {n}" for n in drawn)
        parts.append(f"A ring inside the thin line of its own height is in reach: {lines}.")
    if outlook.car is not None or (outlook.chart and outlook.chart.stands):
        parts.append("Squares: stands, solid the car's.")
    return " ".join(parts)


def _sentence(outlook: Outlook) -> str:
    parts = ["Map, north up."]
    for n, field in enumerate(outlook.fields, start=1):
        distance = hypot(field.east_m, field.north_m)
        if distance < 500.0:
            parts.append(f"Field {n}, {field.name}, at the launch.")
            continue
        where = compass_words(degrees(atan2(field.east_m, field.north_m)))
        parts.append(f"Field {n}, {field.name}, {km_text(distance, 0)} km {where}.")
    farthest = number_text(outlook.ascent.farthest_km)
    parts.append(f"The drift goes to at most {farthest} km from the launch.")
    return " ".join(parts)
