"""The flight from above: fields as figures, the drift with rings, the lines of reach."""

from collections.abc import Iterator, Sequence
from itertools import pairwise
from math import atan2, degrees, hypot
from typing import Final

from farglide.outlook.fields import Contour
from farglide.outlook.outlook import Outlook
from farglide.present.draw.lookup import burst_height_amsl_m, first_crossing
from farglide.present.draw.place import Anchor, Edges, Placer, Point, Spot, between
from farglide.present.draw.svg import drawn, level, picture, polyline, rect, ring, stroke, text
from farglide.present.say.text import compass_words
from farglide.sortie.words import km_text, number_text

SIDES: Final[tuple[tuple[float, Anchor], ...]] = ((0.0, "middle"), (5.0, "start"), (-5.0, "end"))
DASHES: Final = ("", "6 3.4", "2 2.6", "9 2.5 2 2.5")  # the line of field 1, 2, 3, 4 and on
_CROWDED: Final = 400.0
"""A label of a line that would lie over others is left out: the note says how lines are read."""
DASH_WORDS: Final = ("full", "dashed", "dotted", "dash and dot")
WIDTH_PX: Final = 226.0
HEIGHT_PX: Final = 226.0
_TEXT_PX: Final = 12.0
_FIGURE_PX: Final = 16.0


class _Map:
    """The scale of one map: north up, the same both ways."""

    def __init__(self, outlook: Outlook, height_px: float) -> None:
        self.outlook, self.height_px = outlook, height_px
        top_m = burst_height_amsl_m(outlook.ascent.burst, 0.9)
        self.drift = [p for p in outlook.ascent.track if p.amsl_m <= top_m]
        places = [(p.east_m, p.north_m) for p in self.drift] + [(0.0, 0.0)]
        span_m = max(hypot(*place) for place in places)
        places += [
            (f.east_m, f.north_m)
            for f in outlook.fields
            if min(hypot(f.east_m - e, f.north_m - n) for e, n in places) < span_m
        ]
        east, north = zip(*places, strict=True)
        wide_m, high_m = (max(max(one) - min(one), 2000.0) for one in (east, north))
        self.px_per_m = min(0.76 * WIDTH_PX / wide_m, 0.72 * height_px / high_m)
        self.mid = ((max(east) + min(east)) / 2.0, (max(north) + min(north)) / 2.0)
        self.placer = Placer(width_px=WIDTH_PX, height_px=height_px)
        self.numbers = {f.name: n for n, f in enumerate(outlook.fields, start=1)}

    def xy(self, east_m: float, north_m: float) -> Point:
        """Return where a place stands."""
        x = WIDTH_PX / 2.0 + (east_m - self.mid[0]) * self.px_per_m
        return Point(x, self.height_px / 2.0 - (north_m - self.mid[1]) * self.px_per_m)

    def contours(self) -> tuple[str, str]:
        """Return the lines of reach and their labels, "field from km"."""
        lines, labels, outlines = [], [], []
        for contour in self.outlook.contours:
            n = self.numbers.get(contour.field, 0)
            dashes = DASHES[min(max(n, 1), len(DASHES)) - 1] or "none"
            points = [self.xy(*point) for point in contour.points]
            lines.append(polyline(points, stroke(1.2, dashes=dashes), "Z"))
            outlines.append(list(filter(self._is_inside, _between([*points, *points[:1]]))))
        drift = self.placer.points
        for i, contour in enumerate(self.outlook.contours):
            others = [point for j, line in enumerate(outlines) if j != i for point in line]
            self.placer.points = drift + others
            labels.append(self._contour_label(contour, outlines[i]))
        self.placer.points = drift
        return "".join(lines), "".join(labels)

    def _is_inside(self, point: Point) -> bool:
        return 8.0 < point.x < WIDTH_PX - 8.0 and 12.0 < point.y < self.height_px - 6.0

    def _contour_label(self, contour: Contour, inside: Sequence[Point]) -> str:
        if not inside:
            return ""
        field = self.numbers.get(contour.field, contour.field)
        step = max(1, len(inside) // 24)
        spots = [Spot(x + a, y + 4.0, anchor) for x, y in inside[::step] for a, anchor in SIDES]
        words = f"{field} from {km_text(contour.amsl_m, 0)}"
        return self.placer.put(words, _TEXT_PX, spots, _CROWDED)

    def track(self) -> str:
        """Return the drift of the median balloon as a thick line."""
        points = [self.xy(p.east_m, p.north_m) for p in self.drift]
        self.placer.avoid(_between(points))
        return polyline(points, stroke(3))

    @drawn
    def rings(self) -> Iterator[str]:
        """Return rings on the drift at the heights of the lines of reach and of the release."""
        heights = {round(c.amsl_m): km_text(c.amsl_m, 0) for c in self.outlook.contours}
        release = self.outlook.release
        if release is not None:
            amsl_m = release.release_by_amsl_m
            heights = {h: w for h, w in heights.items() if abs(h - amsl_m) > 800.0}
            heights[round(amsl_m)] = f"{km_text(amsl_m, 0)} release"
        spots = [(self._on_track(float(h)), words) for h, words in sorted(heights.items())]
        found = [(xy, words) for xy, words in spots if xy is not None]
        for xy, _ in found:
            self.placer.keep(*xy, 5.0)
            yield ring(*xy)
        for xy, words in sorted(found, key=lambda one: "release" not in one[1]):
            most_cost = float("inf") if "release" in words else _CROWDED  # the others give way
            yield self.placer.put(words, _TEXT_PX, self.placer.around(*xy, _TEXT_PX), most_cost)

    def _on_track(self, amsl_m: float) -> Point | None:
        east_m = first_crossing([(p.east_m, p.amsl_m) for p in self.drift], amsl_m)
        north_m = first_crossing([(p.north_m, p.amsl_m) for p in self.drift], amsl_m)
        return None if east_m is None or north_m is None else self.xy(east_m, north_m)

    def _is_shown(self, at: Point) -> bool:
        return 0.0 < at.x < WIDTH_PX and 0.0 < at.y < self.height_px

    @drawn
    def fields(self) -> Iterator[str]:
        """Return the fields as dots with their figures beside them."""
        for n, field in enumerate(self.outlook.fields, start=1):
            x, y = at = self.xy(field.east_m, field.north_m)
            if not self._is_shown(at):
                yield self._beyond(n, at, hypot(field.east_m, field.north_m))
                continue
            yield rect(x - 2.5, y - 2.5, 5.0, 5.0, 'class="f-ink"')
            self.placer.keep(x, y, 4.0)
            yield self.placer.put(str(n), _FIGURE_PX, self.placer.around(x, y, _FIGURE_PX))

    @drawn
    def car(self) -> Iterator[str]:
        """Return the stand of the car as an open square, where it lies on the map."""
        car = self.outlook.car
        if car is not None and self._is_shown(self.xy(car.east_m, car.north_m)):
            x, y = self.xy(car.east_m, car.north_m)
            yield rect(x - 4.5, y - 4.5, 9.0, 9.0, 'class="f-paper s-mark" stroke-width="2.2"')
            self.placer.keep(x, y, 6.0)
            yield self.placer.put("car", _TEXT_PX, self.placer.around(x, y, _TEXT_PX))

    def _beyond(self, n: int, at: Point, distance_m: float) -> str:
        """Return the figure and distance of a field off the map, at the edge toward it."""
        width, height = WIDTH_PX, self.height_px
        x, y = min(max(at.x, 6.0), width - 6.0), min(max(at.y, 20.0), height - 8.0)
        anchor: Anchor = "start" if x < width / 3 else "end" if x > 2 * width / 3 else "middle"
        words = f"{n}, {km_text(distance_m, 0)} km off"
        spots = [Spot(x, y + down, anchor) for down in (0.0, -26.0, 14.0)]  # over the scale bar
        return self.placer.put(words, _TEXT_PX, spots)

    def scale(self) -> str:
        """Return a bar of a round number of kilometres at the lower left."""
        room_km = 0.3 * WIDTH_PX / self.px_per_m / 1000.0
        km = next((k for k in (200, 100, 50, 20, 10, 5, 2, 1) if k <= room_km), 1)
        x, y, length = 9.0, self.height_px - 9.0, km * 1000.0 * self.px_per_m
        self.placer.boxes.append(Edges(x, y - 18.0, x + length, y + 4.0))
        style = 'font-weight="600" class="halo"'
        bar = level(x, x + length, y, stroke(2.4))
        return bar + text(x, y - 5.0, f"{number_text(km)} km", _TEXT_PX, style)


def map_svg(outlook: Outlook, height_px: float = HEIGHT_PX, key: str = "map") -> str:
    """Return the map as SVG; `key` keeps its ids apart from those of other pictures."""
    plan = _Map(outlook, height_px)
    # what comes first finds its label's place first
    track, scale, fields, car = plan.track(), plan.scale(), plan.fields(), plan.car()
    rings, (lines, labels) = plan.rings(), plan.contours()
    body = (
        f'<clipPath id="clip-{key}">{rect(0.0, 0.0, WIDTH_PX, height_px)}</clipPath>'
        f'<g clip-path="url(#clip-{key})">{lines}{track}{scale}{rings}{fields}{car}{labels}</g>'
        f"{rect(1.0, 1.0, WIDTH_PX - 2.0, height_px - 2.0, stroke(2))}"
    )
    return picture(WIDTH_PX, height_px, _sentence(outlook), body)


def map_note(outlook: Outlook) -> str:
    """Return how to read the map, naming only the line styles it holds."""
    numbers = {f.name: n for n, f in enumerate(outlook.fields, start=1)}
    drawn = sorted({numbers[c.field] for c in outlook.contours if c.field in numbers})
    lines = ", ".join(f"{DASH_WORDS[min(n, 4) - 1]} field {n}" for n in drawn)
    words = "Thick line: drift, rings at km of height."
    if not drawn:
        return words
    return f"{words} A ring inside the thin line of its own height is in reach: {lines}."


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


def _between(points: Sequence[Point]) -> Iterator[Point]:
    """Yield the points with more between them, a few pixels apart."""
    for start, end in pairwise(points):
        length_px = hypot(end.x - start.x, end.y - start.y)
        yield from between(start, end, max(1, min(200, int(length_px // 5.0))))
