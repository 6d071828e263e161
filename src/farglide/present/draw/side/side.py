"""The flight from the side: the climb, the ways home, barriers, and the wind on the same axis."""

from collections.abc import Iterator
from itertools import pairwise, starmap
from math import isnan
from typing import Final

from farglide.outlook.outlook import Outlook
from farglide.outlook.release import BarrierSide, ReleaseOutlook
from farglide.present.draw import svg
from farglide.present.draw.apart import stacked
from farglide.present.draw.faces import sheet_width_px
from farglide.present.draw.lookup import burst_height_amsl_m, first_crossing, interpolated
from farglide.present.draw.place import Point, points_between
from farglide.present.draw.side.labels import Labelled, beside, key_lines
from farglide.present.draw.side.scale import PAPER, SideLook, SideScale, Table
from farglide.present.say.sentences import late_words, rising
from farglide.present.say.text import compass_words
from farglide.sortie.words import km_text, number_text

_STRIP_PX: Final = 5.0
_END: Final = 'text-anchor="end" font-weight="600"'


class _Side(SideScale):
    """The strokes of one side view."""

    @svg.drawn
    def climb(self) -> Iterator[str]:
        """Return the climb: whole line to the release, thin above it, ending in stipple."""
        climb, release = self.outlook.side.climb, self.outlook.release
        burst = self.outlook.ascent.burst
        cut_m = release.window.to_amsl_m if release else burst_height_amsl_m(burst, 0.02)
        lower = [row for row in climb if row[1] <= cut_m]
        upper = [row for row in climb if cut_m <= row[1] <= self.cap_m]
        whole, thin = svg.stroke(2.6), svg.stroke(1.2, dashes="2 2.5")
        yield svg.polyline(self.points(lower), f'{whole} data-curve="climb"')
        yield svg.polyline(self.points([*lower[-1:], *upper]), f'{thin} data-curve="climb"')
        yield f'<g class="f-burst">{self._stipple(upper)}</g>'

    @svg.drawn
    def _stipple(self, upper: Table) -> Iterator[str]:
        previous = -1e9
        for along, amsl_m in _dense(upper):
            y = self.y(amsl_m)
            share = interpolated(self.outlook.ascent.burst.by_height, amsl_m)
            if abs(y - previous) >= 3.6 and 0.01 < share < 0.99:
                previous = y
                mark = f'cy="{svg.number(y)}" r="{svg.number(0.5 + 1.5 * share**0.5)}"/>'
                xs = (self.x(along) + 5.0 * k for k in (-2, -1, 0, 1, 2))
                yield from (f'<circle cx="{svg.number(x)}" {mark}' for x in xs)

    @svg.drawn
    def glides(self) -> Iterator[str]:
        """Return two ways home: the quickest whole, and dashed another.

        That is the flattest, or, where it ends too late, the one with most height in time.
        """
        if self.outlook.release is not None:
            dashed, whole = svg.stroke(1.4, dashes="7 4"), svg.stroke(2.6)
            yield svg.polyline(self.points(self.second), f'{dashed} data-curve="second way"')
            quick = self.points(self.outlook.side.quickest)
            yield svg.polyline(quick, f'{whole} data-curve="quickest"')

    def told(self) -> list[Labelled]:
        """Return the points with words: both ends of the ways home, the moments of the climb."""
        release, found = self.outlook.release, list[Labelled]()
        if release is not None:
            over = self.clock.local(release.over_field_after_launch_s)
            words = f"quickest: over {release.field} {over}"
            ways = (
                (self.second, self._second_words(release)),
                (self.outlook.side.quickest, words),
            )
            for way, told in ways:
                if way:
                    first, *_, last = self.points([*way[:1], *way])
                    found.append(Labelled(last, told, "left" if last.x <= first.x else "right"))
        for amsl_m, words in self.moments():
            along_m = first_crossing(self.outlook.side.climb, amsl_m)
            if along_m is not None:
                found.append(Labelled(Point(self.x(along_m), self.y(amsl_m)), words, "right"))
        return sorted(found, key=lambda one: (one.side, one.at.y))

    def _second_words(self, release: ReleaseOutlook) -> str:
        if release.timely is not None:
            down = self.clock.local(release.timely.down_after_launch_s)
            return f"most height in time: down {down}"
        down = self.clock.local(release.best_glide_end_after_launch_s)
        late = late_words(self.outlook, release.best_glide_end_after_launch_s)
        return f"flattest: down {down}{late}"

    @svg.drawn
    def barriers(self) -> Iterator[str]:
        """Return each barrier as a strip on the ground, and a tick at the height to commit."""
        ground, size, known = self.y(0.0), self.look.text_px, self.outlook.side.barriers
        boxes, told = [], []
        for one in known:
            left, right = sorted((self.x(one.from_along_m), self.x(one.to_along_m)))
            strip = svg.Box(left, ground - _STRIP_PX, max(right - left, 2.0), _STRIP_PX)
            yield svg.rect(*strip, 'class="f-paper"') + _hatched(strip)
            boxes.append(strip)
            if isnan(one.commit_amsl_m):
                told.append(one.barrier)
            else:
                yield self._commit(one)
                told.append(f"{one.barrier}: {km_text(one.commit_amsl_m)} km")
        widths = [sheet_width_px(words, size) + 12.0 for words in told]
        order = sorted(range(len(told)), key=lambda i: boxes[i].x)
        wanted = [boxes[i].x + 0.5 * boxes[i].width for i in order]
        places = stacked(wanted, [widths[i] for i in order], self.look.left_px, self.right)
        for x, i in zip(places, order, strict=True):
            yield svg.text(x, ground + 32.0, told[i], size, 'text-anchor="middle"')

    def _commit(self, one: BarrierSide) -> str:
        """Return the post of a commit height over the edge first met, and its tick."""
        x, y = self.x(one.from_along_m), self.y(min(one.commit_amsl_m, self.top_m))
        post = svg.line(x, self.y(0.0), x, y, svg.stroke(1.1, dashes="1.5 2.5"))
        return post + svg.level(x - 5.0, x + 5.0, y, f'{svg.stroke(2.6)} data-barrier="commit"')

    def moments(self) -> Iterator[tuple[float, str]]:
        """Yield the heights of the climb that have words: the release, home shuts and opens."""
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
        look, middle = self.look, self.look.width_px - 0.5 * self.look.wind_px + 4.0
        fastest = max(1.0, max(abs(v) for _, v in rows))
        scale = (0.5 * look.wind_px - 10.0) / fastest
        yield svg.line(middle, self.y(0.0), middle, self.y(self.top_m), 'class="s-ink"')
        for km in range(1, int(min(self.top_m, rows[-1][0]) / 1000.0) + 1):
            along_mps = interpolated(rows, km * 1000.0)
            yield svg.level(middle, middle + scale * along_mps, self.y(km * 1000.0), svg.stroke(2))
        size = look.text_px
        words = f"wind, to {number_text(fastest)} m/s"
        if sheet_width_px(words, size) > look.wind_px:
            words = f"wind {number_text(fastest)} m/s"
        yield svg.text(look.width_px, look.top_px - 9.0, words, size, _END)
        style = f'y="{svg.number(self.y(0.0) + 15.0)}" font-size="{svg.number(size)}"'
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
        yield from points_between(start, end, max(1, int(abs(end.y - start.y) // 100.0)))


def side_svg(outlook: Outlook, look: SideLook = PAPER) -> str:
    """Return the side view as SVG."""
    side = _Side(outlook, look)
    told, size = side.told(), look.text_px
    body = [side.ruled(), side.climb(), side.glides(), side.barriers(), beside(side, told)]
    body += [svg.ring(*one.at, 3.4) for one in told if one.side == "right"]
    body.append(side.wind())
    height = look.height_px
    for line in key_lines(side, told):
        height += 1.3 * size
        body.append(svg.text(2.0, height - 4.0, line, size))
    return svg.picture(look.width_px, height, _sentence(outlook, side), "".join(body))


def _sentence(outlook: Outlook, side: _Side) -> str:
    farthest = number_text(outlook.ascent.farthest_km)
    towards = compass_words(outlook.side.axis_deg)
    parts = [f"Side view along the drift to the {towards}, at most {farthest} km from the launch."]
    parts += [f"{words} at {km_text(amsl_m)} km." for amsl_m, words in side.moments()]
    parts += [
        f"{one.barrier}: on from {km_text(one.commit_amsl_m)} km."
        for one in outlook.side.barriers
        if not isnan(one.commit_amsl_m)
    ]
    return " ".join(parts)
