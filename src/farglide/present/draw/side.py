"""The flight from the side: height against distance along the drift, wind on the same axis."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise, starmap
from math import cos, isnan, radians, sin
from typing import Final

from farglide.outlook.outlook import Outlook
from farglide.outlook.release import BarrierSide, ReleaseOutlook
from farglide.present.draw import svg
from farglide.present.draw.lookup import (
    SHOWN_SHARE,
    burst_height_amsl_m,
    first_crossing,
    interpolated,
)
from farglide.present.draw.place import Edges, Placer, Point, Spot, between, text_width_px
from farglide.present.say.sentences import late_words, rising
from farglide.present.say.speeds import IN_TIME, second_way
from farglide.present.say.text import FlightClock, compass_words
from farglide.sortie.words import km_text, number_text

Table = Sequence[tuple[float, float]]
"""A line as an outlook has it: distance along the drift and height, in metres."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SideLook:
    """Sizes of a side view in pixels of its own picture."""

    width_px: float = 706.0
    height_px: float = 140.0
    left_px: float = 30.0
    wind_px: float = 84.0
    top_px: float = 15.0
    bottom_px: float = 34.0
    text_px: float = 12.0


PAPER: Final = SideLook()
_STRIP_PX: Final = 5.0
_SHARES: Final = (0.5, 0.4, 0.6, 0.3, 0.7)  # of a line, where words along it may stand
_END: Final = 'text-anchor="end" font-weight="600"'
PHONE: Final = SideLook(width_px=358.0, height_px=190.0, wind_px=58.0, text_px=12.4)


class _Side:
    """The scales of one side view."""

    def __init__(self, outlook: Outlook, look: SideLook) -> None:
        self.outlook, self.look = outlook, look
        self.clock = FlightClock(launch_t_s=outlook.launch_t_s, zone=outlook.zone)
        side = outlook.side
        self.second = side.timely if second_way(outlook) == IN_TIME else side.flattest
        axis_rad = radians(side.axis_deg)
        self.fields = [
            (n, f.east_m * sin(axis_rad) + f.north_m * cos(axis_rad))
            for n, f in enumerate(outlook.fields, start=1)
        ]
        along = [a for a, _ in (*side.climb, *side.quickest, *self.second)]
        along += [a for _, a in self.fields] + [0.0]
        pad = 0.06 * max(1000.0, max(along) - min(along))
        self.from_m, self.to_m = min(along) - pad, max(along) + 3.5 * pad
        self.cap_m = burst_height_amsl_m(outlook.ascent.burst, SHOWN_SHARE)
        self.top_m = max(self.cap_m, 1000.0) * 1.02
        self.right = look.width_px - look.wind_px
        self.placer = Placer(width_px=self.right + 4.0, height_px=look.height_px)

    def x(self, along_m: float) -> float:
        """Return where a distance along the drift stands."""
        share = (along_m - self.from_m) / (self.to_m - self.from_m)
        return self.look.left_px + (self.right - self.look.left_px) * share

    def y(self, amsl_m: float) -> float:
        """Return where a height stands."""
        look = self.look
        room_px = look.height_px - look.top_px - look.bottom_px
        return look.top_px + room_px * (1.0 - amsl_m / self.top_m)

    def points(self, table: Table) -> list[Point]:
        """Return a line of (along, height) in pixels, and keep words off it."""
        points = [Point(self.x(a), self.y(h)) for a, h in table]
        for start, end in pairwise(points):
            n = max(1, int(abs(end.x - start.x) // 4.0))
            self.placer.avoid([*between(start, end, n), end])
        return points

    @svg.drawn
    def scale(self) -> Iterator[str]:
        """Return the rulings of height and the ground line with the fields on it."""
        look, left = self.look, self.look.left_px
        for km in range(0, int(self.top_m / 1000.0) + 1, 10):
            y = self.y(km * 1000.0)
            yield svg.level(left, self.right, y, svg.stroke(0.7, "rule"))
            yield svg.text(left - 6.0, y + 4.0, str(km), look.text_px, _END)
        y = self.y(0.0)
        yield svg.level(left, self.right, y, svg.stroke(2))
        n_points = int((self.right - left) // 6.0)
        self.placer.avoid(Point(left + 6.0 * i, y) for i in range(n_points))
        yield from (self._field(words, x) for x, words in self._grouped())
        yield from map(self._distance, self._distances_km())
        yield svg.text(left - 6.0, look.top_px - 5.0, "km", look.text_px, _END)

    def _grouped(self) -> list[tuple[float, str]]:
        """Return the fields as (x, figures), those that stand on one another as one."""
        groups: list[tuple[float, str]] = []
        for along_m, n in sorted((along, n) for n, along in self.fields):
            x = self.x(along_m)
            if groups and x - groups[-1][0] < 14.0:
                groups[-1] = (groups[-1][0], f"{groups[-1][1]}, {n}")
            else:
                groups.append((x, str(n)))
        return groups

    def _field(self, words: str, x: float) -> str:
        y = self.y(0.0)
        half = 0.5 * text_width_px(words, 13.0) + 2.0
        self.placer.boxes.append(Edges(x - half, y - 9.0, x + half, y + 16.0))
        bold = 'text-anchor="middle" font-weight="700"'
        mark = svg.line(x, y - 9.0, x, y, svg.stroke(2.4))
        return mark + svg.text(x, y + 14.0, words, 13.0, bold)

    def _distances_km(self) -> list[int]:
        low, high = int(self.from_m // 1000.0), int(self.to_m // 1000.0)
        step = next((s for s in (1, 2, 5, 10, 20, 50, 100) if (high - low) / s <= 8), 200)
        return [km for km in range(-(-low // step) * step, high + 1, step) if low < km]

    def _distance(self, km: int) -> str:
        x, y, size = self.x(km * 1000.0), self.look.height_px - 4.0, self.look.text_px
        self.placer.boxes.append(Edges(x - 18.0, y - size, x + 18.0, y))
        return svg.text(x, y, f"{number_text(km)} km" if km else "0", size, 'text-anchor="middle"')

    @svg.drawn
    def climb(self) -> Iterator[str]:
        """Return the climb: whole line to the release, thin above it, ending in stipple."""
        climb, release = self.outlook.side.climb, self.outlook.release
        burst = self.outlook.ascent.burst
        cut_m = release.window.to_amsl_m if release else burst_height_amsl_m(burst, 0.02)
        lower = [row for row in climb if row[1] <= cut_m]
        upper = [row for row in climb if cut_m <= row[1] <= self.cap_m]
        yield svg.polyline(self.points(lower), svg.stroke(2.6))
        yield svg.polyline(self.points([*lower[-1:], *upper]), svg.stroke(1.2, dashes="2 2.5"))
        yield f'<g class="f-burst">{self._stipple(upper)}</g>'

    @svg.drawn
    def _stipple(self, upper: Table) -> Iterator[str]:
        previous = -1e9
        for along, amsl_m in _dense(upper):
            y = self.y(amsl_m)
            share = interpolated(self.outlook.ascent.burst.by_height, amsl_m)
            if abs(y - previous) >= 3.6 and 0.01 < share < 0.99:
                previous = y
                xs = [self.x(along) + 5.0 * k for k in (-2, -1, 0, 1, 2)]
                self.placer.avoid(Point(x, y) for x in xs)
                mark = f'cy="{svg.number(y)}" r="{svg.number(0.5 + 1.5 * share**0.5)}"/>'
                yield from (f'<circle cx="{svg.number(x)}" {mark}' for x in xs)

    @svg.drawn
    def glides(self) -> Iterator[str]:
        """Return two ways home, each with its end: the quickest whole, and dashed another.

        That is the flattest, or, where it ends too late, the one with most height in time.
        """
        release = self.outlook.release
        if release is None:
            return
        quick, second = self.points(self.outlook.side.quickest), self.points(self.second)
        over = self.clock.local(release.over_field_after_launch_s)
        narrow = self.look.width_px < 500.0
        words_quick = f"quickest, {over}" if narrow else f"quickest: over {release.field} {over}"
        yield svg.polyline(second, svg.stroke(1.3, dashes="7 4"))
        yield svg.polyline(quick, svg.stroke(2.6))
        yield self._along_line(words_quick, quick, 1.0)
        yield self._along_line(self._second_words(release, narrow), second, -1.0)

    def _second_words(self, release: ReleaseOutlook, narrow: bool) -> str:
        if release.timely is not None:
            down = self.clock.local(release.timely.down_after_launch_s)
            return f"most in time, {down}" if narrow else f"most height in time: down {down}"
        down = self.clock.local(release.best_glide_end_after_launch_s)
        late = late_words(self.outlook, release.best_glide_end_after_launch_s)
        return f"flattest, {down}{late}" if narrow else f"flattest: down {down}{late}"

    def _along_line(self, words: str, points: list[Point], side: float) -> str:
        if not points:
            return ""
        size = self.look.text_px
        spots = [
            Spot(x, y + turn * shift + (0.75 * size if turn > 0.0 else 0.0), "middle")
            for turn in (side, -side)
            for shift in (8.0, 14.0, 22.0)
            for x, y in (points[int(share * (len(points) - 1))] for share in _SHARES)
        ]
        return self.placer.put(words, size, spots)

    @svg.drawn
    def barriers(self) -> Iterator[str]:
        """Return each barrier as a strip on the ground, and a tick at the height to commit."""
        ground, size = self.y(0.0), self.look.text_px
        for one in self.outlook.side.barriers:
            left, right = sorted((self.x(one.from_along_m), self.x(one.to_along_m)))
            strip = svg.Box(left, ground - _STRIP_PX, max(right - left, 2.0), _STRIP_PX)
            yield svg.rect(*strip, 'class="f-paper"') + _hatched(strip)
            words = one.barrier
            if not isnan(one.commit_amsl_m):
                yield self._commit(one)
                words += f": {km_text(one.commit_amsl_m)} km"
            spots = [Spot((left + right) / 2.0, ground + down, "middle") for down in (14.0, -8.0)]
            yield self.placer.put(words, size, [*spots, *self.placer.farther(right, ground, size)])

    def _commit(self, one: BarrierSide) -> str:
        """Return the post of a commit height over the edge first met, and its tick."""
        x, y = self.x(one.from_along_m), self.y(min(one.commit_amsl_m, self.top_m))
        self.placer.avoid(Point(x, y + 4.0 * k) for k in range(int((self.y(0.0) - y) // 4.0)))
        post = svg.line(x, self.y(0.0), x, y, svg.stroke(1.1, dashes="1.5 2.5"))
        return post + svg.level(x - 5.0, x + 5.0, y, f'{svg.stroke(2.6)} data-barrier="commit"')

    @svg.drawn
    def marks(self) -> Iterator[str]:
        """Return the moments on the climb: the first field shuts and opens, the release."""
        for amsl_m, words in self._moments():
            along_m = first_crossing(self.outlook.side.climb, amsl_m)
            if along_m is None:
                continue
            x, y = self.x(along_m), self.y(amsl_m)
            spots = self.placer.farther(x, y, self.look.text_px)
            yield svg.ring(x, y, 3.4) + self.placer.put(words, self.look.text_px, spots)
            self.placer.avoid([Point(x, y)])

    def _moments(self) -> Iterator[tuple[float, str]]:
        release = self.outlook.release
        if release is not None:
            when = self.clock.local(release.release_by_after_launch_s)
            yield release.release_by_amsl_m, f"{when} release by"
        for field in self.outlook.fields[:1]:
            for before, after in pairwise(rising(field)):
                when = self.clock.local(after.from_after_launch_s)
                if after.state == "shut":
                    yield after.from_amsl_m, f"{when} {field.name} shuts"
                elif before.state == "shut" and before.from_amsl_m > 0.05 * self.top_m:
                    yield after.from_amsl_m, f"{when} no longer shut"

    @svg.drawn
    def wind(self) -> Iterator[str]:
        """Return the wind along the drift at each kilometre: away to the right, back left."""
        rows = self.outlook.side.wind_along
        if not rows:
            return
        look, middle = self.look, self.look.width_px - 0.5 * self.look.wind_px + 6.0
        fastest = max(1.0, max(abs(v) for _, v in rows))
        scale = (0.5 * look.wind_px - 10.0) / fastest
        yield svg.line(middle, self.y(0.0), middle, self.y(self.top_m), 'class="s-ink"')
        for km in range(1, int(min(self.top_m, rows[-1][0]) / 1000.0) + 1):
            along_mps = interpolated(rows, km * 1000.0)
            yield svg.level(middle, middle + scale * along_mps, self.y(km * 1000.0), svg.stroke(2))
        size = look.text_px
        words = f"wind, to {number_text(fastest)} m/s"
        if text_width_px(words, size) > look.wind_px:
            words = "wind"
        yield svg.text(look.width_px, look.top_px - 5.0, words, size, _END)
        style = f'y="{svg.number(self.y(0.0) + 14.0)}" font-size="{svg.number(size)}"'
        yield f'<text x="{svg.number(middle - 3.0)}" {style} text-anchor="end">back</text>'
        yield f'<text x="{svg.number(middle + 3.0)}" {style}>away</text>'


def _hatched(strip: svg.Box) -> str:
    """Return a strip of ground: outlined, with lines falling to the right, unlike a doubt's."""
    x, y, width, height = strip
    lefts = [x + 5.0 * k for k in range(int((width - height) // 5.0) + 1)]
    lines = [svg.line(left, y, left + height, y + height, svg.stroke(1.1)) for left in lefts]
    outline = svg.rect(*strip, f'{svg.stroke(1.1)} fill="none"')
    return f'<g data-barrier="strip">{outline}{"".join(lines)}</g>'


def _dense(rows: Table) -> Iterator[Point]:
    """Yield the line with points between its points, so that the stipple is even."""
    for start, end in pairwise(starmap(Point, rows)):
        yield from between(start, end, max(1, int(abs(end.y - start.y) // 100.0)))


def side_svg(outlook: Outlook, look: SideLook = PAPER) -> str:
    """Return the side view as SVG."""
    side = _Side(outlook, look)
    body = [side.scale(), side.climb()]
    glides = side.glides()  # its lines first, so that the marks keep off them
    body += [glides, side.barriers(), side.marks(), side.wind()]
    return svg.picture(look.width_px, look.height_px, _sentence(outlook, side), "".join(body))


def _sentence(outlook: Outlook, side: _Side) -> str:
    farthest = number_text(outlook.ascent.farthest_km)
    towards = compass_words(outlook.side.axis_deg)
    parts = [f"Side view along the drift to the {towards}, at most {farthest} km from the launch."]
    parts += [f"{words} at {km_text(amsl_m)} km." for amsl_m, words in side._moments()]
    parts += [
        f"{one.barrier}: on from {km_text(one.commit_amsl_m)} km."
        for one in outlook.side.barriers
        if not isnan(one.commit_amsl_m)
    ]
    return " ".join(parts)
