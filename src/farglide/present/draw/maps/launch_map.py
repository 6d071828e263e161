"""The area to launch from, north up: steps of chance as patterns, and what stands in it."""

from math import cos, hypot, radians, sin
from typing import Final

from farglide.earth.geodesy import east_north_m
from farglide.earth.state import Place
from farglide.outlook.charted import GroundGrid
from farglide.outlook.launch import LaunchArea, ToldSpot
from farglide.present.draw.chart.chart import PLAIN, Chart
from farglide.present.draw.chart.furniture import (
    ORIGIN_M,
    KeyRow,
    add_ground,
    add_lines,
    add_rings,
    add_scale,
    circle,
    key_shapes,
)
from farglide.present.draw.chart.label import Label
from farglide.present.draw.chart.plane import Plane
from farglide.present.draw.chart.shapes import Line, Pen
from farglide.present.draw.chart.to_svg import chart_svg
from farglide.present.draw.maps.launch_fill import STEPS, grid_of, joined, lines, step_rows, strips
from farglide.present.draw.place import Point, Size
from farglide.present.say.launch import told_spots
from farglide.present.say.text import from_text
from farglide.sortie.words import chance_words, km_text

WIDTH_PX: Final = 472.0
HEIGHT_PX: Final = 390.0
SMALL_WIDTH_PX: Final = 226.0
SMALL_HEIGHT_PX: Final = 180.0
LAYERS: Final = {
    "home_ratio": "home",
    "home_any_height_ratio": "home, released at any height",
    "any_field_ratio": "the best of all fields",
}
THIN_RATIO: Final = 0.5
THICK_RATIO: Final = 0.9
"""Chances that lines are drawn of, where any spot has them."""
_SHOWN_RATIO: Final = 0.05
_ROUND_M: Final = 8_000.0
_NEAR_PX: Final = 8.0
_LIMIT: Final = Pen(1.4, "ink", (7.0, 3.0, 1.5, 3.0))
_KEY_GAP_PX: Final = 8.0


class _Map:
    """One map of an area: its scale, the same both ways, fitted to where there is a chance."""

    def __init__(self, area: LaunchArea, layer: str, size_px: Size) -> None:
        self.area = area
        home = area.marks[0]
        self.home = Place(lat_deg=home.lat_deg, lon_deg=home.lon_deg, amsl_m=0.0)
        width_px, height_px = size_px
        self.chart = Chart(width_px=width_px, height_px=height_px)
        framed = [
            (east + a * _ROUND_M, north + a * _ROUND_M)
            for east, north in self._framed(layer)
            for a in (-1.0, 1.0)
        ]
        self.plane = Plane.round(self.home, framed, size_px, 0.0)

    def _framed(self, layer: str) -> list[tuple[float, float]]:
        """Return metres east and north of what the map must hold."""
        told = [self.metres(one.lat_deg, one.lon_deg) for one in told_spots(self.area)]
        marks = [self.metres(one.lat_deg, one.lon_deg) for one in self.area.marks]
        hopeful = [
            self.turned(one.up_drift_m, one.across_m)
            for one in self.area.spots
            if getattr(one, layer) >= _SHOWN_RATIO
        ]
        return [*told, *marks, *hopeful]

    def metres(self, lat_deg: float, lon_deg: float) -> tuple[float, float]:
        """Return metres east and north of home."""
        return east_north_m(self.home, Place(lat_deg=lat_deg, lon_deg=lon_deg, amsl_m=0.0))

    def turned(self, up_m: float, left_m: float) -> tuple[float, float]:
        """Return metres east and north for a way up the drift and to its left."""
        return turned(self.area, up_m, left_m)

    def add_chances(self, layer: str) -> None:
        """Fill the steps of chance with patterns; draw the lines of 9 in 10 and of even."""
        grid = grid_of(self.area, layer)
        for name, low, high in STEPS:
            shapes = []
            for one in strips(grid, low, high):
                corners = (
                    (one.from_up_m, one.from_left_m), (one.to_up_m, one.from_left_m),
                    (one.to_up_m, one.to_left_m), (one.from_up_m, one.to_left_m),
                )  # fmt: skip
                shapes.append(tuple(self.plane.xy(*self.turned(*corner)) for corner in corners))
            if shapes:
                self.chart.areas.append(
                    Line(points=shapes[0], holds=tuple(shapes[1:]), fill=name, is_closed=True,
                         says=name)
                )  # fmt: skip
        for chance, width_px in ((THIN_RATIO, 1.2), (THICK_RATIO, 2.6)):
            for piece in joined(lines(grid, chance)):
                points = tuple(self.plane.xy(*self.turned(*one)) for one in piece)
                self.chart.draw(Line(points=points, pen=Pen(width_px)), cost=PLAIN)

    def add_barriers(self) -> None:
        """Draw the barriers on paper: no chance is told where nothing is launched."""
        for one in self.area.lines:
            points = tuple(self.plane.line(one.points))
            self.chart.areas.append(Line(points=points, fill="paper", is_closed=True))
        add_lines(self.chart, self.plane, self.area.lines)

    def add_limit(self) -> None:
        """Draw the circle within which the drive keeps, where one is stated."""
        radius_m = self.area.drive_radius_m
        if radius_m is not None:
            points = circle(self.plane, ORIGIN_M, radius_m)
            self.chart.draw(Line(points=points, pen=_LIMIT, is_closed=True, says="drive"))

    def add_marks(self, is_named: bool) -> None:
        """Mark home, fields and stands; `is_named`: with their names."""
        fields = [one for one in self.area.marks if one.kind == "field"]
        for n, one in enumerate(fields, start=1):
            if is_named or n == 1:
                name = one.name if is_named else ""
                self.chart.field(self.plane.at(one.lat_deg, one.lon_deg), str(n), name)
        for one in self.area.marks:
            if one.kind == "stand":
                at = self.plane.at(one.lat_deg, one.lon_deg)
                is_told = is_named and not any(
                    field.name == one.name
                    and self._apart_px(at, field.lat_deg, field.lon_deg) < _NEAR_PX
                    for field in fields
                )
                self.chart.stand(at, one.name if is_told else "")

    def _apart_px(self, at: Point, lat_deg: float, lon_deg: float) -> float:
        there = self.plane.at(lat_deg, lon_deg)
        return hypot(at.x - there.x, at.y - there.y)

    def add_told(self, is_named: bool) -> None:
        """Mark the spots looked at closely: the stated launch, others, the one advised framed."""
        for spot in sorted(told_spots(self.area), key=lambda one: one == self.area.advised):
            at = self.plane.at(spot.lat_deg, spot.lon_deg)
            self.chart.spot(at, spot.kind == "launch", spot == self.area.advised)
            if is_named:
                words = f"{_called(spot)}: {chance_words(spot.home_ratio)}"
                self.chart.labels.insert(0, Label(at=at, words=words, size_px=14.0, clear_px=12.0))


def turned(area: LaunchArea, up_m: float, left_m: float) -> tuple[float, float]:
    """Return metres east and north of home for a way up the drift and to its left."""
    axis = radians(area.axis_deg)
    return -up_m * sin(axis) - left_m * cos(axis), -up_m * cos(axis) + left_m * sin(axis)


def launch_svg(
    area: LaunchArea,
    layer: str = "home_ratio",
    small: bool = False,
    ground: GroundGrid | None = None,
) -> str:
    """Return the map of one layer with the key of its steps; the small one without names or key."""
    size_px = Size(SMALL_WIDTH_PX, SMALL_HEIGHT_PX) if small else Size(WIDTH_PX, HEIGHT_PX)
    one, key = _Map(area, layer, size_px), f"launch-{layer.replace('_', '-')}"
    add_ground(one.chart, one.plane, ground)
    one.add_chances(layer)
    one.add_barriers()
    one.add_limit()
    if small:
        one.chart.labels.clear()  # names of barriers
    else:
        add_rings(one.chart, one.plane)
    one.add_marks(not small)
    one.add_told(not small)
    add_scale(one.chart, one.plane)
    shapes, (width_px, height_px) = one.chart.shapes(), size_px
    if not small:
        rows = [KeyRow(*row) for row in step_rows()]
        top = Point(0.0, height_px + _KEY_GAP_PX)
        drawn, high_px = key_shapes(rows, top, width_px, len(rows))
        shapes, height_px = [*shapes, *drawn], height_px + _KEY_GAP_PX + high_px
    return chart_svg(
        shapes, Size(width_px, height_px), one.chart.with_left_out(_sentence(area, layer)), key
    )


def launch_note(area: LaunchArea) -> str:
    """Return how to read the maps, naming only what they hold."""
    drawn = [
        f"the {name} line holds {chance_words(ratio)} or better"
        for name, ratio in (("thick", THICK_RATIO), ("thin", THIN_RATIO))
        if any(lines(grid_of(area, layer), ratio) for layer in LAYERS)
    ]
    words = "; ".join([f"Chance by where it is launched, {from_text(area)}", *drawn]) + (
        ". Framed: the advised spot. Ring: the stated launch; cross: another spot; figures: "
        "fields; squares: stands."
    )
    if area.lines:
        words += " Outlined pattern: a barrier, from which nothing is launched."
    if area.drive_radius_m is not None:
        radius = km_text(area.drive_radius_m, 0)
        words += f" Dash-dot circle: as far as the drive leads, some {radius} km."
    return words


def _called(spot: ToldSpot) -> str:
    return "launch" if spot.kind == "launch" else spot.name


def _sentence(area: LaunchArea, layer: str) -> str:
    parts = [f"Map, north up: chance of {LAYERS[layer]} by where it is launched."]
    parts += [f"{_called(one)}: {chance_words(one.home_ratio)}." for one in told_spots(area)]
    return " ".join(parts)
