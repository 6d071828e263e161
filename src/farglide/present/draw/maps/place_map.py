"""A sketch of the places: north up, black on white, fields as figures, stands as squares."""

from collections.abc import Iterator, Sequence
from itertools import chain
from math import hypot
from typing import Final

from farglide.atlas.outline import LatLon, middle_of
from farglide.earth.geodesy import EastNorth, east_north_m
from farglide.earth.state import Place, Placed, place_of
from farglide.errors import InputError
from farglide.outlook.places import PlaceView
from farglide.present.draw import svg
from farglide.present.draw.place import Edges, Placer, Point, Spot, between
from farglide.present.say.places.places import LETTERS
from farglide.sortie.words import km_text, number_text

WIDTH_PX: Final = 900.0
_HEIGHTS_PX: Final = (500.0, 1100.0)
_MARGIN_PX: Final = 60.0
_TEXT_PX: Final = 15.0
_FIGURE_PX: Final = 21.0
_PLAIN_FACE: Final = 1.2
"""Widths are measured for a narrow face; a sketch that stands alone may be shown in another."""
_FILLS: Final = {"closed forest": "boughs", "water": "waves", "town": "bars", "gorge": "teeth"}
_TILES: Final = {  # width, height and strokes of the patterns
    "boughs": (20, 18, "M3 9l3.4-6 3.4 6M13 17l3.4-6 3.4 6"),
    "waves": (24, 12, "M0 6q3-4 6 0t6 0t6 0t6 0"),
    "bars": (9, 9, "M4.5 0v9"),
    "teeth": (16, 14, "M2 3l4 7 4-7"),
}
_PATTERNS: Final = "".join(
    f'<pattern id="{name}" width="{wide}" height="{high}" '
    f'patternUnits="userSpaceOnUse"><path d="{d}" class="s-ink" stroke-width="1.1"/></pattern>'
    for name, (wide, high, d) in _TILES.items()
)
_STYLE: Final = (
    "<style>text{font-family:'Barlow Semi Condensed','Arial Narrow',Arial,sans-serif;fill:#000}"
    ".f-ink{fill:#000}.f-paper{fill:#fff}.s-ink,.s-mark{stroke:#000}.s-ink{fill:none}"
    ".halo{paint-order:stroke;stroke:#fff;stroke-width:4px;stroke-linejoin:round}</style>"
)
_LANDMARK_STYLES: Final = {
    "road": 'class="s-ink" stroke-width="1.2"',
    "rail": 'class="s-ink" stroke-width="3" stroke-dasharray="1.5 5"',
    "wires": 'class="s-ink" stroke-width="0.8" stroke-dasharray="8 3 1 3"',
    "house": 'class="f-ink" stroke="#000" stroke-width="2"',
}


class _Sketch:
    """The scale of one sketch: the same both ways, the height fitted to the places."""

    def __init__(self, view: PlaceView) -> None:
        self.view = view
        self.origin = place_of(view.launch, 0.0)
        east, north = zip(*map(self.metres, self._framed()), strict=True)
        wide_m, high_m = (max(max(one) - min(one), 2e3) for one in (east, north))
        low_px, most_px = _HEIGHTS_PX
        room_px = WIDTH_PX - 2.0 * _MARGIN_PX, most_px - 2.0 * _MARGIN_PX
        self.px_per_m = min(room_px[0] / wide_m, room_px[1] / high_m)
        self.height_px = max(high_m * self.px_per_m + 2.0 * _MARGIN_PX, low_px)
        self.middle = (max(east) + min(east)) / 2.0, (max(north) + min(north)) / 2.0
        self.placer = Placer(width_px=WIDTH_PX, height_px=self.height_px)

    def _framed(self) -> list[LatLon]:
        """Return the points that the sketch must hold: all but roads and far corners."""
        view = self.view
        fields = [one.field for one in view.fields]
        placed: tuple[Placed, ...] = (view.launch, *fields, *view.stands, *view.otherwise.places)
        points = [*view.drift, *((one.lat_deg, one.lon_deg) for one in placed)]
        span_m = max(hypot(*self.metres(point)) for point in points)
        corners = chain.from_iterable(one.outline.points for one in view.places.barriers)
        return points + [one for one in corners if self._away_m(one) < 1.3 * span_m + 5e3]

    def _away_m(self, point: LatLon) -> float:
        try:
            return hypot(*self.metres(point))
        except InputError:  # beyond the plane
            return float("inf")

    def metres(self, point: LatLon) -> EastNorth:
        place = Place(lat_deg=point[0], lon_deg=point[1], amsl_m=0.0)
        return east_north_m(self.origin, place)

    def xy(self, point: LatLon) -> Point:
        """Return where a place stands."""
        east_m, north_m = self.metres(point)
        x = WIDTH_PX / 2.0 + (east_m - self.middle[0]) * self.px_per_m
        return Point(x, self.height_px / 2.0 - (north_m - self.middle[1]) * self.px_per_m)

    def label(self, words: str, at: Point, size_px: float = _TEXT_PX) -> str:
        return self.put(words, size_px, self.placer.farther(*at, size_px))

    def put(self, words: str, size_px: float, spots: Sequence[Spot]) -> str:
        """Return a label where there is room for it in a plain face, wider than the sheets' own."""
        room_px = _PLAIN_FACE * size_px
        placed = self.placer.put(words, room_px, spots)
        wide, shown = (f'font-size="{svg.number(one)}"' for one in (room_px, size_px))
        return placed.replace(wide, shown)

    @svg.drawn
    def barriers(self) -> Iterator[str]:
        for barrier in self.view.places.barriers:
            fill = _FILLS.get(barrier.kind)
            filled = f"url(#{fill})" if fill else "none"
            style = f'fill="{filled}" stroke="#000" stroke-width="1.8"'
            yield svg.polyline(map(self.xy, barrier.outline.points), style, "Z")

    @svg.drawn
    def names(self) -> Iterator[str]:
        """Return the names of the barriers, each in its middle or where there is room."""
        for barrier in self.view.places.barriers:
            x, y = self.xy(middle_of(barrier.outline))
            words = barrier.name if barrier.kind in _FILLS else f"{barrier.name}, {barrier.kind}"
            spots = [
                Spot(x + share * (corner_x - x), y + share * (corner_y - y), "middle")
                for share in (0.3, 0.5)
                for corner_x, corner_y in map(self.xy, barrier.outline.points)
            ]
            yield self.put(words, _TEXT_PX, [Spot(x, y, "middle"), *spots])

    @svg.drawn
    def landmarks(self) -> Iterator[str]:
        for landmark in self.view.places.landmarks:
            points = [self.xy(point) for point in landmark.points if self._away_m(point) < 9e5]
            if landmark.kind == "house" and len(points) == 1:
                ((x, y),) = points
                yield svg.rect(x - 2.0, y - 2.0, 4.0, 4.0, 'class="f-ink"')
            elif len(points) > 1:
                yield svg.polyline(points, _LANDMARK_STYLES[landmark.kind])

    def drift(self) -> str:
        """Return the drift as dots up to the release, which is a ring."""
        points = [self.xy(point) for point in self.view.drift]
        self.placer.avoid(points)
        dots = 'class="s-ink" stroke-width="3.4" stroke-linecap="round" stroke-dasharray="0 9"'
        drift = svg.polyline(points, dots) + self.ringed(points[-1], 5.0, 7.0)
        return drift + self.label("release" if self.view.release_planned else "burst", points[-1])

    def ringed(self, at: Point, radius_px: float, kept_px: float) -> str:
        """Return a ring, with labels kept off it."""
        self.placer.keep(*at, kept_px)
        return svg.ring(*at, radius_px)

    @svg.drawn
    def ways(self) -> Iterator[str]:
        """Return each way over a barrier from edge to edge, with the height to commit."""
        numbers = {one.field.name: n for n, one in enumerate(self.view.fields, start=1)}
        for way in self.view.ways:
            edge, _, far = (self.xy((one.lat_deg, one.lon_deg)) for one in way.stations)
            yield svg.line(*edge, *far, svg.stroke(3))
            self.placer.avoid([*between(edge, far, 20), far])
            yield self.ringed(edge, 4.0, 5.0)
            needed_m = way.stations[0].ahead.amsl_m
            if needed_m == needed_m:
                yield self.label(f"to {numbers[way.ahead]} from {km_text(needed_m)} km", edge)

    @svg.drawn
    def outlines(self) -> Iterator[str]:
        for one in self.view.fields:
            if one.field.outline is not None:
                yield svg.polyline(map(self.xy, one.field.outline.points), svg.stroke(1.6), "Z")

    def fields(self) -> str:
        marks, labels = [], []
        for n, one in enumerate(self.view.fields, start=1):
            at = self.xy((one.field.lat_deg, one.field.lon_deg))
            marks.append(svg.rect(at.x - 3.0, at.y - 3.0, 6.0, 6.0, 'class="f-ink"'))
            self.placer.keep(*at, 5.0)
            labels.append(self.put(str(n), _FIGURE_PX, self.placer.around(*at, _FIGURE_PX)))
        return "".join([*marks, *labels])

    @svg.drawn
    def stands(self) -> Iterator[str]:
        for stand in self.view.stands:
            x, y = at = self.xy((stand.lat_deg, stand.lon_deg))
            yield svg.rect(x - 6.0, y - 6.0, 12.0, 12.0, 'class="f-paper s-mark" stroke-width="2"')
            self.placer.keep(x, y, 8.0)
            yield self.label(stand.name, at)

    @svg.drawn
    def otherwise(self) -> Iterator[str]:
        for letter, one in zip(LETTERS, self.view.otherwise.places, strict=False):
            at = self.xy((one.lat_deg, one.lon_deg))
            yield self.ringed(at, 4.0, 6.0) + self.label(letter, at, _FIGURE_PX)

    def scale(self) -> str:
        """Return a bar of a round number of kilometres and the arrow's word, north."""
        room_km = 0.25 * WIDTH_PX / self.px_per_m / 1000.0
        km = next((k for k in (200, 100, 50, 20, 10, 5, 2, 1) if k <= room_km), 1)
        x, y, length = 16.0, self.height_px - 16.0, km * 1000.0 * self.px_per_m
        self.placer.boxes.append(Edges(x, y - 26.0, x + length, y + 4.0))
        words, style = f"{number_text(km)} km, north up", 'font-weight="600" class="halo"'
        return svg.level(x, x + length, y, svg.stroke(3)) + svg.text(
            x, y - 8.0, words, _TEXT_PX, style
        )


def place_map_svg(view: PlaceView) -> str:
    """Return the sketch as an SVG document that stands alone."""
    sketch = _Sketch(view)
    # What comes first finds its label's place first; what comes last is drawn on top.
    fields, scale = sketch.fields(), sketch.scale()
    drift, otherwise = sketch.drift(), sketch.otherwise()
    ways, stands, names = sketch.ways(), sketch.stands(), sketch.names()
    under = [sketch.barriers(), sketch.landmarks(), sketch.outlines()]
    body = "".join([*under, names, ways, drift, otherwise, scale, stands, fields])
    w, h = WIDTH_PX, sketch.height_px
    clip = f'<clipPath id="frame">{svg.rect(0.0, 0.0, w, h)}</clipPath>'
    paper = svg.rect(0.0, 0.0, w, h, 'class="f-paper"')
    group = f'<g clip-path="url(#frame)">{body}</g>'
    frame = svg.rect(1.0, 1.0, w - 2.0, h - 2.0, svg.stroke(2))
    picture_body = f"{_STYLE}<defs>{clip}{_PATTERNS}</defs>{paper}{group}{frame}"
    return svg.picture(w, h, map_sentence(view), picture_body) + "\n"


def map_sentence(view: PlaceView) -> str:
    """Return what the sketch shows, for those who do not see it."""
    parts = ["Sketch of the places, north up."]
    parts += [f"Field {n}, {one.field.name}." for n, one in enumerate(view.fields, start=1)]
    parts += [f"{one.name}, {one.kind}." for one in view.places.barriers]
    parts += [f"Stand {one.name}." for one in view.stands]
    return " ".join(parts)


def legend(view: PlaceView) -> Sequence[str]:
    """Return how to read the sketch, naming only what it holds."""
    lines = ["Figures: fields. Squares: stands. Dots: drift up to the ring."]
    if view.ways:
        lines.append("Thick line: a way over a barrier, from the height to commit at its ring.")
    if view.otherwise.places:
        lines.append("Letters: where else, if no field is open.")
    return lines
