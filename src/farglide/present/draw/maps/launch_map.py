"""The area to launch from, north up: steps of chance as patterns, and what stands in it."""

from collections.abc import Iterator
from math import cos, hypot, pi, radians, sin
from typing import Final

from farglide.earth.geodesy import east_north_m
from farglide.earth.state import Place
from farglide.outlook.launch import LaunchArea, ToldSpot
from farglide.present.draw.maps.launch_fill import (
    STEP_WORDS,
    STEPS,
    grid_of,
    lines,
    patterns,
    strips,
)
from farglide.present.draw.place import Edges, Placer, Point
from farglide.present.draw.svg import (
    drawn,
    level,
    line,
    number,
    path,
    picture,
    polyline,
    rect,
    ring,
    stroke,
    text,
)
from farglide.present.say.launch import from_text, told_spots
from farglide.sortie.words import chance_words, km_text, number_text

WIDTH_PX: Final = 472.0
HEIGHT_PX: Final = 390.0
SMALL_WIDTH_PX: Final = 226.0
SMALL_HEIGHT_PX: Final = 180.0
LAYERS: Final = {
    "home_ratio": "home",
    "home_any_height_ratio": "home, released at any height",
    "any_field_ratio": "the best of all fields",
}
_SHOWN_RATIO: Final = 0.05
_TEXT_PX: Final = 12.0
_ROUND_M: Final = 8_000.0


class _Map:
    """One map of an area: its scale, the same both ways, fitted to where there is a chance."""

    def __init__(self, area: LaunchArea, layer: str, width_px: float, height_px: float) -> None:
        self.area, self.width_px, self.height_px = area, width_px, height_px
        home = area.marks[0]
        self.home = Place(lat_deg=home.lat_deg, lon_deg=home.lon_deg, amsl_m=0.0)
        east, north = zip(*self._framed(layer), strict=True)
        wide_m = max(east) - min(east) + 2.0 * _ROUND_M
        high_m = max(north) - min(north) + 2.0 * _ROUND_M
        self.px_per_m = min(width_px / wide_m, height_px / high_m)
        self.middle = 0.5 * (max(east) + min(east)), 0.5 * (max(north) + min(north))
        self.placer = Placer(width_px=width_px, height_px=height_px)

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
        axis = radians(self.area.axis_deg)
        return (
            -up_m * sin(axis) - left_m * cos(axis),
            -up_m * cos(axis) + left_m * sin(axis),
        )

    def xy(self, east_m: float, north_m: float) -> Point:
        """Return where a place stands."""
        x = 0.5 * self.width_px + (east_m - self.middle[0]) * self.px_per_m
        return Point(x, 0.5 * self.height_px - (north_m - self.middle[1]) * self.px_per_m)

    def at(self, lat_deg: float, lon_deg: float) -> Point:
        """Return where a latitude and longitude stand."""
        return self.xy(*self.metres(lat_deg, lon_deg))

    @drawn
    def chances(self, layer: str, key: str) -> Iterator[str]:
        """Return the steps of chance as patterns and the lines of 9 in 10 and of even."""
        grid = grid_of(self.area, layer)
        for name, low, high in STEPS:
            shapes = []
            for one in strips(grid, low, high):
                corners = (
                    (one.from_up_m, one.from_left_m), (one.to_up_m, one.from_left_m),
                    (one.to_up_m, one.to_left_m), (one.from_up_m, one.to_left_m),
                )  # fmt: skip
                points = (self.xy(*self.turned(*corner)) for corner in corners)
                shapes.append("M" + "L".join(f"{number(x)} {number(y)}" for x, y in points) + "Z")
            if shapes:
                yield path("".join(shapes), f'fill="url(#{name}-{key})" data-step="{name}"')
        for chance, width_px in ((0.5, 1.2), (0.9, 2.6)):
            pieces = []
            for ends in lines(grid, chance):
                start, end = (self.xy(*self.turned(*one)) for one in ends)
                pieces.append(
                    f"M{number(start.x)} {number(start.y)}L{number(end.x)} {number(end.y)}"
                )
            if pieces:
                yield path("".join(pieces), stroke(width_px))

    @drawn
    def barriers(self) -> Iterator[str]:
        """Return the outlines of the barriers, paper inside."""
        for one in self.area.lines:
            points = [self.at(*corner) for corner in one.points]
            style = 'class="f-paper s-mark" stroke-width="1" stroke-dasharray="4 2"'
            yield polyline(points, style, "Z")

    def limit(self) -> str:
        """Return the circle within which the drive keeps, where one is stated."""
        radius_m = self.area.drive_radius_m
        if radius_m is None:
            return ""
        turns = (2.0 * pi * k / 90 for k in range(90))
        points = (self.xy(radius_m * sin(turn), radius_m * cos(turn)) for turn in turns)
        return polyline(points, stroke(1.4, dashes="7 3 1.5 3"), "Z")

    @drawn
    def marks(self, named: bool) -> Iterator[str]:
        """Return home, fields and stands; `named`: with their names."""
        for n, one in enumerate(self.area.marks):
            x, y = at = self.at(one.lat_deg, one.lon_deg)
            if one.kind == "stand":
                yield rect(x - 4.0, y - 4.0, 8.0, 8.0, 'class="f-paper s-mark" stroke-width="2"')
            elif not n or named:
                yield rect(x - 4.0, y - 4.0, 8.0, 8.0, 'class="f-paper"')
                yield rect(x - 3.0, y - 3.0, 6.0, 6.0, 'class="f-ink"')
            self.placer.keep(*at, 5.0)
        for n, one in enumerate(self.area.marks if named else self.area.marks[:1]):
            at = self.at(one.lat_deg, one.lon_deg)
            words = f"home, {one.name}" if not n and named else "home" if not n else one.name
            if not (one.kind == "stand" and self._is_taken(at)):
                yield self.placer.put(words, _TEXT_PX, self.placer.farther(*at, _TEXT_PX))

    def _is_taken(self, at: Point) -> bool:
        """Tell whether a stand lies at home, whose name is enough."""
        home = self.at(self.home.lat_deg, self.home.lon_deg)
        return hypot(at.x - home.x, at.y - home.y) < 3.0

    @drawn
    def told(self, named: bool) -> Iterator[str]:
        """Return the spots looked at closely: a ring the stated launch, crosses all others."""
        spots = sorted(told_spots(self.area), key=lambda one: one != self.area.advised)
        for spot in spots:
            x, y = at = self.at(spot.lat_deg, spot.lon_deg)
            yield ring(x, y, 6.5) if spot.kind == "launch" else _cross(x, y)
            self.placer.keep(*at, 8.0)
        for spot in spots:
            at = self.at(spot.lat_deg, spot.lon_deg)
            if named:
                words = f"{_called(spot)}: {chance_words(spot.home_ratio)}"
                yield self.placer.put(words, 14.0, self.placer.farther(*at, 14.0))

    def scale(self) -> str:
        """Return a bar of a round number of kilometres at the lower left."""
        room_km = 0.3 * self.width_px / self.px_per_m / 1000.0
        km = next((k for k in (200, 100, 50, 20, 10, 5, 2, 1) if k <= room_km), 1)
        x, y, length = 9.0, self.height_px - 9.0, km * 1000.0 * self.px_per_m
        self.placer.boxes.append(Edges(x, y - 18.0, x + length, y + 4.0))
        style = 'font-weight="600" class="halo"'
        return level(x, x + length, y, stroke(2.4)) + text(
            x, y - 5.0, f"{number_text(km)} km", _TEXT_PX, style
        )


def launch_svg(area: LaunchArea, layer: str = "home_ratio", small: bool = False) -> str:
    """Return the map of one layer; the small one without names."""
    width, height = (SMALL_WIDTH_PX, SMALL_HEIGHT_PX) if small else (WIDTH_PX, HEIGHT_PX)
    one, key = _Map(area, layer, width, height), f"launch-{layer.replace('_', '-')}"
    scale, told = one.scale(), one.told(not small)
    marks = one.marks(not small)
    shown = f"{one.chances(layer, key)}{one.barriers()}{one.limit()}{scale}{marks}{told}"
    body = (
        f'{patterns(key)}<clipPath id="clip-{key}">{rect(0.0, 0.0, width, height)}</clipPath>'
        f'<g clip-path="url(#clip-{key})">{shown}</g>'
        f"{rect(1.0, 1.0, width - 2.0, height - 2.0, stroke(2))}"
    )
    return picture(width, height, _sentence(area, layer), body)


def launch_note(area: LaunchArea) -> str:
    """Return how to read the maps, naming only what they hold."""
    words = f"Chance by where it is launched, {from_text(area)}. {STEP_WORDS} "
    words += "Ring: the stated launch; cross: another spot; squares: black fields, open stands."
    if area.lines:
        words += " Broken outline: a barrier, from which nothing is launched."
    if area.drive_radius_m is not None:
        radius = km_text(area.drive_radius_m, 0)
        words += f" Dash-dot circle: as far as the drive leads, some {radius} km."
    return words


def _called(spot: ToldSpot) -> str:
    return "launch" if spot.kind == "launch" else spot.name


def _cross(x: float, y: float) -> str:
    arms = [(x - 6.0, y - 6.0, x + 6.0, y + 6.0), (x - 6.0, y + 6.0, x + 6.0, y - 6.0)]
    under = "".join(line(*arm, stroke(7.0, "paper")) for arm in arms)
    return under + "".join(line(*arm, stroke(3.4)) for arm in arms)


def _sentence(area: LaunchArea, layer: str) -> str:
    parts = [f"Map, north up: chance of {LAYERS[layer]} by where it is launched."]
    parts += [f"{_called(one)}: {chance_words(one.home_ratio)}." for one in told_spots(area)]
    return " ".join(parts)
