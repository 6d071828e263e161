"""What stands on the map of a flight: fields, stands, drift, burst, reach, where to launch."""

from math import atan2, cos, hypot, pi, sin
from typing import Final

from farglide.earth.state import Place
from farglide.outlook.outlook import Outlook
from farglide.present.draw.chart.chart import HEAVY, PLAIN, Chart
from farglide.present.draw.chart.hull import hull
from farglide.present.draw.chart.label import Label
from farglide.present.draw.chart.plane import Plane
from farglide.present.draw.chart.shapes import Line, Pen
from farglide.present.draw.lookup import burst_height_amsl_m, first_crossing, interpolated
from farglide.present.draw.maps.launch_fill import grid_of, joined, lines
from farglide.present.draw.maps.launch_map import turned
from farglide.present.draw.place import Point, Size
from farglide.sortie.words import chance_words, km_text

DASHES: Final = ((), (6.0, 3.4), (2.0, 2.6), (9.0, 2.5, 2.0, 2.5))
"""The line of field 1, 2, 3, 4 and on."""
_MARGIN_SHARE: Final = 0.11
_BURST_SHARES: Final = (0.05, 0.95)
_LAUNCH_RATIO: Final = 0.9
_NEAR_PX: Final = 9.0
_APART_M: Final = 800.0  # rings nearer than this to the release would only hide it


class FlightSketch:
    """The scale of one map, fitted to drift and fields, and what is put on it."""

    def __init__(self, outlook: Outlook, size_px: Size) -> None:
        self.outlook = outlook
        top_m = burst_height_amsl_m(outlook.ascent.burst, 0.5)
        self.drift = [p for p in outlook.ascent.track if p.amsl_m <= top_m]
        places = [(p.east_m, p.north_m) for p in self.drift] + [(0.0, 0.0)]
        span_m = max(hypot(*place) for place in places)
        places += [
            (f.east_m, f.north_m)
            for f in outlook.fields
            if min(hypot(f.east_m - e, f.north_m - n) for e, n in places) < span_m
        ]
        if outlook.car is not None:
            places.append((outlook.car.east_m, outlook.car.north_m))
        self.plane = Plane.round(_launch(outlook), places, size_px, _MARGIN_SHARE * min(size_px))
        self.chart = Chart(width_px=size_px[0], height_px=size_px[1])
        self.numbers = {f.name: n for n, f in enumerate(outlook.fields, start=1)}

    def add_fields(self) -> None:
        """Mark each field with figure and name; one off the map at the edge toward it."""
        nearest_m = min((hypot(f.east_m, f.north_m) for f in self.outlook.fields), default=0.0)
        for n, field in enumerate(self.outlook.fields, start=1):
            at = self.plane.xy(field.east_m, field.north_m)
            away_m = hypot(field.east_m, field.north_m)
            if self.plane.is_shown(at, 4.0):
                is_launch = away_m == nearest_m and away_m * self.plane.px_per_m < _NEAR_PX
                self.chart.field(at, str(n), f"{field.name}, launch" if is_launch else field.name)
            else:
                self._add_beyond(at, str(n), f"{field.name}, {km_text(away_m, 0)} km off")

    def _add_beyond(self, at: Point, figure: str, words: str) -> None:
        """Put the words of a place off the map at the edge toward it, with an arrow."""
        plane = self.plane
        edge = Point(
            min(max(at.x, 12.0), plane.width_px - 12.0),
            min(max(at.y, 12.0), plane.height_px - 12.0),
        )
        turn = atan2(at.y - edge.y, at.x - edge.x)
        corners = [(7.0, 0.0), (-5.0, 5.0), (-5.0, -5.0)]
        points = tuple(
            Point(edge.x + a * cos(turn) - b * sin(turn), edge.y + a * sin(turn) + b * cos(turn))
            for a, b in corners
        )
        self.chart.mark([Line(points=points, fill="ink", is_closed=True, says="beyond")], edge, 8.0)
        self.chart.labels.append(Label(at=edge, words=words, figure=figure, clear_px=8.0))

    def add_launch(self) -> None:
        """Mark the launch where no field's figure stands there, and what is known of its area."""
        origin = self.plane.xy(0.0, 0.0)
        away = [hypot(f.east_m, f.north_m) * self.plane.px_per_m for f in self.outlook.fields]
        if min(away, default=_NEAR_PX) >= _NEAR_PX:
            self.chart.ring(origin, 5.0, 2.0)
            words = f"launch, {self.outlook.launch_name}"
            self.chart.labels.append(Label(at=origin, words=words, clear_px=7.0))
        area = self.outlook.launch
        if area is None:
            return
        home = self.plane.metres(area.marks[0].lat_deg, area.marks[0].lon_deg)
        for piece in joined(lines(grid_of(area, "home_ratio"), _LAUNCH_RATIO)):
            shifts = [turned(area, *one) for one in piece]
            points = tuple(self.plane.xy(home[0] + e, home[1] + n) for e, n in shifts)
            inside = tuple(at for at in points if self.plane.is_shown(at, 14.0))
            if inside:
                pen = Pen(1.6, "open", (1.0, 2.0, 5.0, 2.0))
                self.chart.draw(Line(points=points, pen=pen, says="launch area"), "launch", PLAIN)
                words = f"launch inside: home {chance_words(_LAUNCH_RATIO)} or more"
                middle = inside[len(inside) // 2]
                self.chart.labels.append(
                    Label(at=middle, words=words, along=inside, owner="launch", must=False)
                )

    def add_stands(self) -> None:
        """Mark the stands; that of the car is solid."""
        car, chart = self.outlook.car, self.outlook.chart
        stands = chart.stands if chart else ()
        named = [(one.name, self.plane.at(one.lat_deg, one.lon_deg)) for one in stands]
        if car is not None and car.stand not in dict(named):
            named.append((car.stand, self.plane.xy(car.east_m, car.north_m)))
        fields = {f.name: self.plane.xy(f.east_m, f.north_m) for f in self.outlook.fields}
        for name, at in named:
            if not self.plane.is_shown(at, 6.0):
                continue
            field = fields.get(name, Point(-99.0, -99.0))
            is_told = hypot(field.x - at.x, field.y - at.y) < _NEAR_PX
            is_cars = car is not None and car.stand == name
            words = f"car at {name}" if is_cars else "" if is_told else name
            self.chart.stand(at, words, is_cars)

    def add_drift(self) -> None:
        """Draw the drift of the median balloon as a thick line, and where it most likely bursts."""
        points = self.plane.thinned(self.plane.xy(p.east_m, p.north_m) for p in self.drift)
        self.chart.draw(Line(points=points, pen=Pen(3.0), says="drift"), "drift", HEAVY)
        rim = self._burst_area()
        if rim:
            pen = Pen(2.4, "burst", (0.0, 4.6))
            self.chart.draw(Line(points=rim, pen=pen, is_closed=True, says="burst"), "burst", PLAIN)
            shown = tuple(at for at in rim if self.plane.is_shown(at, 14.0))
            if shown:
                label = Label(at=shown[0], words="burst", along=shown[::2], owner="burst")
                self.chart.labels.append(label)

    def _burst_area(self) -> tuple[Point, ...]:
        """Return the outline round the places of nine bursts in ten, spread across the drift."""
        times = [first_crossing(self.outlook.ascent.burst.by_time, q) for q in _BURST_SHARES]
        track = self.outlook.ascent.track
        if times[0] is None or len(track) < 2:
            return ()
        to_s = times[1] if times[1] is not None else track[-1].after_launch_s
        steps = [times[0] + (to_s - times[0]) * k / 8.0 for k in range(9)]
        rim = []
        for t_s in steps:
            east, north, spread = (
                interpolated([(p.after_launch_s, getattr(p, name)) for p in track], t_s)
                for name in ("east_m", "north_m", "spread_m")
            )
            turns = (2.0 * pi * k / 24.0 for k in range(24))
            rim += [self.plane.xy(east + spread * cos(a), north + spread * sin(a)) for a in turns]
        return tuple(hull(rim))

    def add_reach(self) -> None:
        """Draw the lines of reach, each with its field and from which height on it holds."""
        for i, one in enumerate(self.outlook.contours):
            n = self.numbers.get(one.field, 0)
            points = tuple(self.plane.xy(*point) for point in one.points)
            pen, name = Pen(1.2, "ink", DASHES[min(max(n, 1), len(DASHES)) - 1]), f"reach {i}"
            self.chart.draw(Line(points=points, pen=pen, is_closed=True, says="reach"), name, PLAIN)
            shown = self.plane.shown_along(points)
            if shown:
                words = f"{n or one.field} from {km_text(one.amsl_m, 0)} km"
                step = max(1, len(shown) // 28)
                self.chart.labels.append(
                    Label(at=shown[0], words=words, along=shown[::step], owner=name, must=False)
                )

    def shown_reach(self) -> list[int]:
        """Return the numbers of the fields whose lines of reach can be seen."""
        known = [one for one in self.outlook.contours if one.field in self.numbers]
        return sorted(
            {
                self.numbers[one.field]
                for one in known
                if self.plane.shown_along(tuple(self.plane.xy(*point) for point in one.points))
            }
        )

    def add_heights(self) -> None:
        """Ring the drift at the heights of the lines of reach and at the release."""
        heights = {round(c.amsl_m): f"{km_text(c.amsl_m, 0)} km up" for c in self.outlook.contours}
        release = self.outlook.release
        if release is not None:
            amsl_m = release.release_by_amsl_m
            heights = {h: w for h, w in heights.items() if abs(h - amsl_m) > _APART_M}
            heights[round(amsl_m)] = f"release, {km_text(amsl_m, 0)} km up"
        for height_m, words in sorted(heights.items()):
            at = self._on_track(float(height_m))
            if at is not None:
                self.chart.ring(at)
                is_release = words.startswith("release")
                label = Label(at=at, words=words, must=is_release)
                self.chart.labels.insert(0 if is_release else len(self.chart.labels), label)

    def _on_track(self, amsl_m: float) -> Point | None:
        east_m = first_crossing([(p.east_m, p.amsl_m) for p in self.drift], amsl_m)
        north_m = first_crossing([(p.north_m, p.amsl_m) for p in self.drift], amsl_m)
        return None if east_m is None or north_m is None else self.plane.xy(east_m, north_m)


def _launch(outlook: Outlook) -> Place:
    """Return the launch; where the plan does not tell, that of the track."""
    chart, track = outlook.chart, outlook.ascent.track
    if chart is not None:
        return Place(lat_deg=chart.lat_deg, lon_deg=chart.lon_deg, amsl_m=0.0)
    first = track[0] if track else outlook.ascent.burst
    return Place(lat_deg=first.lat_deg, lon_deg=first.lon_deg, amsl_m=0.0)
