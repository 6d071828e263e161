"""A sketch of the places: north up, black on white, fields as figures, stands as squares."""

from collections.abc import Sequence
from itertools import chain
from math import hypot
from typing import Final

from farglide.atlas.outline import LatLon, middle_of
from farglide.earth.geodesy import east_north_m
from farglide.earth.state import Place, place_of
from farglide.errors import InputError
from farglide.outlook.places import PlaceView
from farglide.present.draw.place import Anchor, Placer, between
from farglide.present.draw.svg import line, number, picture, polyline, rect, ring, text
from farglide.present.say.places.places import LETTERS
from farglide.present.say.text import km_text, number_text

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
        launch = view.launch
        self.origin = place_of(launch, 0.0)
        at = [self.metres(point) for point in self._framed()]
        east, north = [one[0] for one in at], [one[1] for one in at]
        wide_m, high_m = max(max(east) - min(east), 2e3), max(max(north) - min(north), 2e3)
        low_px, most_px = _HEIGHTS_PX
        room_px = WIDTH_PX - 2.0 * _MARGIN_PX, most_px - 2.0 * _MARGIN_PX
        self.px_per_m = min(room_px[0] / wide_m, room_px[1] / high_m)
        self.height_px = max(high_m * self.px_per_m + 2.0 * _MARGIN_PX, low_px)
        self.middle = (max(east) + min(east)) / 2.0, (max(north) + min(north)) / 2.0
        self.placer = Placer(width_px=WIDTH_PX, height_px=self.height_px)

    def _framed(self) -> list[LatLon]:
        """Return the points that the sketch must hold: all but roads and far corners."""
        view = self.view
        points = [(view.launch.lat_deg, view.launch.lon_deg), *view.drift]
        points += [(one.field.lat_deg, one.field.lon_deg) for one in view.fields]
        points += [(one.lat_deg, one.lon_deg) for one in view.stands]
        points += [(one.lat_deg, one.lon_deg) for one in view.otherwise.places]
        near = [(hypot(*self.metres(point)), point) for point in points]
        span_m = max(away_m for away_m, _ in near)
        corners = chain.from_iterable(one.outline.points for one in view.places.barriers)
        return points + [one for one in corners if self._away_m(one) < 1.3 * span_m + 5e3]

    def _away_m(self, point: LatLon) -> float:
        try:
            return hypot(*self.metres(point))
        except InputError:  # beyond the plane
            return float("inf")

    def metres(self, point: LatLon) -> tuple[float, float]:
        place = Place(lat_deg=point[0], lon_deg=point[1], amsl_m=0.0)
        east_m, north_m = east_north_m(self.origin, place)
        return east_m, north_m

    def xy(self, point: LatLon) -> tuple[float, float]:
        """Return where a place stands."""
        east_m, north_m = self.metres(point)
        x = WIDTH_PX / 2.0 + (east_m - self.middle[0]) * self.px_per_m
        return x, self.height_px / 2.0 - (north_m - self.middle[1]) * self.px_per_m

    def label(self, words: str, at: tuple[float, float], size_px: float = _TEXT_PX) -> str:
        return self.put(words, size_px, self.placer.farther(*at, size_px))

    def put(self, words: str, size_px: float, spots: Sequence[tuple[float, float, Anchor]]) -> str:
        """Return a label where there is room for it in a plain face, wider than the sheets' own."""
        room_px = _PLAIN_FACE * size_px
        placed = self.placer.put(words, room_px, spots)
        return placed.replace(f'font-size="{number(room_px)}"', f'font-size="{number(size_px)}"')

    def barriers(self) -> str:
        parts = []
        for barrier in self.view.places.barriers:
            points = [self.xy(point) for point in barrier.outline.points]
            fill = _FILLS.get(barrier.kind)
            filled = f"url(#{fill})" if fill else "none"
            style = f'fill="{filled}" stroke="#000" stroke-width="1.8"'
            parts.append(polyline(points, style, "Z"))
        return "".join(parts)

    def names(self) -> str:
        """Return the names of the barriers, each in its middle or where there is room."""
        parts = []
        for barrier in self.view.places.barriers:
            x, y = self.xy(middle_of(barrier.outline))
            words = barrier.name if barrier.kind in _FILLS else f"{barrier.name}, {barrier.kind}"
            corners = [self.xy(point) for point in barrier.outline.points]
            spots: list[tuple[float, float, Anchor]] = [(x, y, "middle")]
            spots += [
                (x + share * (a - x), y + share * (b - y), "middle")
                for share in (0.3, 0.5)
                for a, b in corners
            ]
            parts.append(self.put(words, _TEXT_PX, spots))
        return "".join(parts)

    def landmarks(self) -> str:
        parts = []
        for landmark in self.view.places.landmarks:
            points = [self.xy(point) for point in landmark.points if self._away_m(point) < 9e5]
            if landmark.kind == "house" and len(points) == 1:
                ((x, y),) = points
                parts.append(rect(x - 2.0, y - 2.0, 4.0, 4.0, 'class="f-ink"'))
            elif len(points) > 1:
                parts.append(polyline(points, _LANDMARK_STYLES[landmark.kind]))
        return "".join(parts)

    def drift(self) -> str:
        """Return the drift as dots up to the release, which is a ring."""
        points = [self.xy(point) for point in self.view.drift]
        self.placer.avoid(points)
        dots = 'class="s-ink" stroke-width="3.4" stroke-linecap="round" stroke-dasharray="0 9"'
        drawn = polyline(points, dots) + ring(*points[-1], 5.0)
        self.placer.keep(*points[-1], 7.0)
        words = "release" if self.view.release_planned else "burst"
        return drawn + self.label(words, points[-1])

    def ways(self) -> str:
        """Return each way over a barrier from edge to edge, with the height to commit."""
        parts = []
        for way in self.view.ways:
            edge, far = (
                self.xy((one.lat_deg, one.lon_deg)) for one in (way.stations[0], way.stations[2])
            )
            parts.append(line(*edge, *far, 'class="s-ink" stroke-width="3"'))
            self.placer.avoid([*between(edge, far, 20), far])
            parts.append(ring(*edge, 4.0))
            self.placer.keep(*edge, 5.0)
            needed_m = way.stations[0].ahead.amsl_m
            if needed_m == needed_m:
                number_of = [one.field.name for one in self.view.fields].index(way.ahead) + 1
                parts.append(self.label(f"to {number_of} from {km_text(needed_m)} km", edge))
        return "".join(parts)

    def outlines(self) -> str:
        style = 'class="s-ink" stroke-width="1.6"'
        found = [one.field.outline for one in self.view.fields]
        return "".join(
            polyline([self.xy(point) for point in one.points], style, "Z")
            for one in found
            if one is not None
        )

    def fields(self) -> str:
        marks, labels = [], []
        for n, one in enumerate(self.view.fields, start=1):
            at = self.xy((one.field.lat_deg, one.field.lon_deg))
            marks.append(rect(at[0] - 3.0, at[1] - 3.0, 6.0, 6.0, 'class="f-ink"'))
            self.placer.keep(*at, 5.0)
            spots = self.placer.around(*at, _FIGURE_PX)
            labels.append(self.put(str(n), _FIGURE_PX, spots))
        return "".join([*marks, *labels])

    def stands(self) -> str:
        parts = []
        for stand in self.view.stands:
            at = self.xy((stand.lat_deg, stand.lon_deg))
            square = 'class="f-paper s-mark" stroke-width="2"'
            parts.append(rect(at[0] - 6.0, at[1] - 6.0, 12.0, 12.0, square))
            self.placer.keep(*at, 8.0)
            parts.append(self.label(stand.name, at))
        return "".join(parts)

    def otherwise(self) -> str:
        parts = []
        for letter, one in zip(LETTERS, self.view.otherwise.places, strict=False):
            at = self.xy((one.lat_deg, one.lon_deg))
            parts.append(ring(*at, 4.0))
            self.placer.keep(*at, 6.0)
            parts.append(self.label(letter, at, _FIGURE_PX))
        return "".join(parts)

    def scale(self) -> str:
        """Return a bar of a round number of kilometres and the arrow's word, north."""
        room_km = 0.25 * WIDTH_PX / self.px_per_m / 1000.0
        km = next((k for k in (200, 100, 50, 20, 10, 5, 2, 1) if k <= room_km), 1)
        x, y, length = 16.0, self.height_px - 16.0, km * 1000.0 * self.px_per_m
        self.placer.boxes.append((x, y - 26.0, x + length, y + 4.0))
        bar = line(x, y, x + length, y, 'class="s-ink" stroke-width="3"')
        words = f"{number_text(km)} km, north up"
        return bar + text(x, y - 8.0, words, _TEXT_PX, 'font-weight="600" class="halo"')


def place_map_svg(view: PlaceView) -> str:
    """Return the sketch as an SVG document that stands alone."""
    sketch = _Sketch(view)
    # What comes first finds its label's place first; what comes last is drawn on top.
    fields, scale = sketch.fields(), sketch.scale()
    drift, otherwise = sketch.drift(), sketch.otherwise()
    ways, stands, names = sketch.ways(), sketch.stands(), sketch.names()
    under = [sketch.barriers(), sketch.landmarks(), sketch.outlines()]
    w, h = WIDTH_PX, sketch.height_px
    frame = rect(1.0, 1.0, w - 2.0, h - 2.0, 'class="s-ink" stroke-width="2"')
    body = "".join([*under, names, ways, drift, otherwise, scale, stands, fields])
    clip = f'<clipPath id="frame">{rect(0.0, 0.0, w, h)}</clipPath>'
    paper = rect(0.0, 0.0, w, h, 'class="f-paper"')
    group = f'<g clip-path="url(#frame)">{body}</g>'
    drawn = f"{_STYLE}<defs>{clip}{_patterns()}</defs>{paper}{group}{frame}"
    return picture(w, h, map_sentence(view), drawn) + "\n"


def map_sentence(view: PlaceView) -> str:
    """Return what the sketch shows, for those who do not see it."""
    parts = ["Sketch of the places, north up."]
    parts += [f"Field {n}, {one.field.name}." for n, one in enumerate(view.fields, start=1)]
    parts += [f"{one.name}, {one.kind}." for one in view.places.barriers]
    parts += [f"Stand {one.name}." for one in view.stands]
    return " ".join(parts)


def _patterns() -> str:
    return "".join(
        f'<pattern id="{name}" width="{number(wide)}" height="{number(high)}" '
        f'patternUnits="userSpaceOnUse"><path d="{d}" class="s-ink" stroke-width="1.1"/></pattern>'
        for name, (wide, high, d) in _TILES.items()
    )


def legend(view: PlaceView) -> Sequence[str]:
    """Return how to read the sketch, naming only what it holds."""
    lines = ["Figures: fields. Squares: stands. Dots: drift up to the ring."]
    if view.ways:
        lines.append("Thick line: a way over a barrier, from the height to commit at its ring.")
    if view.otherwise.places:
        lines.append("Letters: where else, if no field is open.")
    return lines
