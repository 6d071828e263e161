"""A sketch of the places: the ground and what lies on it, fields as figures, stands as squares."""

from collections.abc import Sequence
from itertools import chain
from math import hypot
from typing import Final

from farglide.atlas.outline import LatLon
from farglide.earth.state import Placed, place_of
from farglide.errors import InputError
from farglide.outlook.places import PlaceView
from farglide.present.draw.chart.chart import HEAVY, Chart
from farglide.present.draw.chart.furniture import (
    add_ground,
    add_lines,
    add_rings,
    add_scale,
    add_tops,
)
from farglide.present.draw.chart.label import Label
from farglide.present.draw.chart.plane import Plane
from farglide.present.draw.chart.shapes import Line, Pen, box, square
from farglide.present.draw.chart.to_png import chart_png
from farglide.present.draw.chart.to_svg import lone_svg
from farglide.present.draw.place import Point, Size
from farglide.present.say.places.places import LETTERS
from farglide.sortie.words import km_text

SVG: Final = "places.svg"
PNG: Final = "places.png"
WIDTH_PX: Final = 500.0
_HEIGHTS_PX: Final = (320.0, 640.0)
_MARGIN_PX: Final = 46.0
_NEAR_PX: Final = 9.0
_DRIFT: Final = Pen(3.2, "ink", (0.0, 6.5))
_WAY: Final = Pen(3.0)
_EDGE: Final = Pen(1.6)


class _Sketch:
    """The scale of one sketch: the same both ways, the height fitted to the places."""

    def __init__(self, view: PlaceView) -> None:
        self.view = view
        origin = place_of(view.launch, 0.0)
        trial = Plane.round(origin, [(0.0, 0.0)], Size(WIDTH_PX, WIDTH_PX), _MARGIN_PX)
        metres = [trial.metres(*point) for point in self._framed(trial)]
        wide = Plane.round(origin, metres, Size(WIDTH_PX, _HEIGHTS_PX[1]), _MARGIN_PX)
        high_m = max(north for _, north in metres) - min(north for _, north in metres)
        height_px = max(high_m * wide.px_per_m + 2.0 * _MARGIN_PX, _HEIGHTS_PX[0])
        self.plane = Plane.round(origin, metres, Size(WIDTH_PX, height_px), _MARGIN_PX)
        self.chart = Chart(width_px=WIDTH_PX, height_px=height_px)

    def _framed(self, trial: Plane) -> list[LatLon]:
        """Return the points that the sketch must hold: all but roads and far corners."""
        view = self.view
        fields = [one.field for one in view.fields]
        placed: tuple[Placed, ...] = (view.launch, *fields, *view.stands, *view.otherwise.places)
        points = [*view.drift, *((one.lat_deg, one.lon_deg) for one in placed)]
        span_m = max(hypot(*trial.metres(*point)) for point in points)
        corners = chain.from_iterable(one.outline.points for one in view.places.barriers)
        return points + [one for one in corners if _away_m(trial, one) < 1.3 * span_m + 5e3]

    def add_drift(self) -> None:
        """Draw the drift as dots up to the release, which is a ring."""
        points = self.plane.thinned(self.plane.at(*point) for point in self.view.drift)
        self.chart.draw(Line(points=points, pen=_DRIFT, says="drift"), "drift", HEAVY)
        self.chart.ring(points[-1], 5.0)
        words = "release" if self.view.release_planned else "burst"
        self.chart.labels.append(Label(at=points[-1], words=words, clear_px=7.0))

    def add_ways(self) -> None:
        """Draw each way over a barrier from edge to edge, with the height to commit."""
        numbers = {one.field.name: n for n, one in enumerate(self.view.fields, start=1)}
        for way in self.view.ways:
            edge, _, far = (self.plane.at(one.lat_deg, one.lon_deg) for one in way.stations)
            self.chart.draw(Line(points=(edge, far), pen=_WAY, says="way"), cost=HEAVY)
            self.chart.ring(edge, 4.0)
            needed_m = way.stations[0].ahead.amsl_m
            if needed_m == needed_m:
                words = f"to {numbers[way.ahead]} from {km_text(needed_m)} km"
                self.chart.labels.append(Label(at=edge, words=words, clear_px=6.0))

    def add_fields(self) -> None:
        """Mark the fields, with their outlines where they are known."""
        for n, one in enumerate(self.view.fields, start=1):
            if one.field.outline is not None:
                points = tuple(self.plane.line(one.field.outline.points))
                outline = Line(points=points, pen=_EDGE, is_closed=True, says="outline")
                self.chart.draw(outline, f"field {n}")
            self.chart.field(self._at(one.field), str(n), one.field.name)

    def add_stands(self) -> None:
        """Mark the stands; one at a field of its name needs no words of its own."""
        fields = [(one.field.name, self._at(one.field)) for one in self.view.fields]
        for stand in self.view.stands:
            at = self._at(stand)
            is_told = any(
                name == stand.name and hypot(there.x - at.x, there.y - at.y) < _NEAR_PX
                for name, there in fields
            )
            self.chart.stand(at, "" if is_told else stand.name)

    def add_landmarks(self) -> None:
        """Draw houses; roads, rails and wires are lines of the map."""
        for one in self.view.places.landmarks:
            points = tuple(self.plane.line(one.points)) if one.kind == "house" else ()
            if len(points) == 1:
                self.chart.areas.append(box(square(points[0], 2.0), "ink", says="house"))
            elif points:
                house = Line(points=points, fill="ink", pen=Pen(1.0), is_closed=True, says="house")
                self.chart.areas.append(house)

    def add_otherwise(self) -> None:
        """Mark with letters where else to come down."""
        for letter, one in zip(LETTERS, self.view.otherwise.places, strict=False):
            self.chart.ring(self._at(one), 4.0)
            label = Label(at=self._at(one), words="", figure=letter, clear_px=6.0)
            self.chart.labels.append(label)

    def _at(self, placed: Placed) -> Point:
        return self.plane.at(placed.lat_deg, placed.lon_deg)


def _away_m(plane: Plane, point: LatLon) -> float:
    try:
        return hypot(*plane.metres(*point))
    except InputError:  # beyond the plane
        return float("inf")


def place_files(view: PlaceView) -> dict[str, str | bytes]:
    """Return the sketch as the files that a command writes, by their names."""
    sketch = _Sketch(view)
    plane, chart = sketch.plane, sketch.chart
    add_ground(chart, plane, view.relief)
    # what comes first finds its label's place first
    sketch.add_fields()
    sketch.add_stands()
    sketch.add_otherwise()
    sketch.add_drift()
    sketch.add_ways()
    add_lines(chart, plane, view.lines)
    sketch.add_landmarks()
    add_tops(chart, plane, view.relief)
    add_rings(chart, plane)
    add_scale(chart, plane)
    shapes, high_px = chart.drawn()
    size_px, says = Size(WIDTH_PX, high_px), map_sentence(view)
    return {
        SVG: lone_svg(shapes, size_px, says, "places"),
        PNG: chart_png(shapes, size_px, says),
    }


def map_sentence(view: PlaceView) -> str:
    """Return what the sketch shows, for those who do not see it."""
    parts = ["Sketch of the places, north up."]
    parts += [f"Field {n}, {one.field.name}." for n, one in enumerate(view.fields, start=1)]
    parts += [f"{one.name}, {one.kind}." for one in view.places.barriers]
    parts += [f"Stand {one.name}." for one in view.stands]
    return " ".join(parts)


def legend(view: PlaceView) -> Sequence[str]:
    """Return how to read the sketch, naming only what it holds."""
    lines = [
        "Figures: fields. Squares: stands. Dots: drift up to the ring. Grey rings: kilometres from "
        "the launch."
    ]
    if view.relief is not None:
        lines.append("Grey slopes: hills, lit from the north-west. Triangles: tops, with heights.")
    if view.ways:
        lines.append("Thick line: a way over a barrier, from the height to commit at its ring.")
    if view.otherwise.places:
        lines.append("Letters: where else, if no field is open.")
    return lines
