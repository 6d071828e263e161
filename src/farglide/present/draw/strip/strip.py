"""The clock of the flight on a straight scale: each field, the release, the burst, the ends."""

from collections.abc import Iterator
from math import isfinite
from typing import Final

from farglide.outlook.fields import FieldOutlook
from farglide.outlook.outlook import Outlook
from farglide.present.draw import svg
from farglide.present.draw.strip import ends, links
from farglide.present.draw.strip.rows import PAPER, Lane, Note, Row, Scale, StripLook, Times
from farglide.present.say import sentences
from farglide.present.say.text import FlightClock

BEFORE_S: Final = 600.0  # the strip begins this long before launch
NOTE_S: Final = 4800.0  # kept free after the burst for the words of the rows
ANY_FIELD: Final = "any field"
RELEASE: Final = "release"
_DOT_PX: Final = 5.5
_HATCH: Final = 0.55


class _Strip:
    """One strip; rows are appended from top to bottom."""

    def __init__(self, outlook: Outlook, look: StripLook) -> None:
        self.outlook = outlook
        self.clock = FlightClock(launch_t_s=outlook.launch_t_s, zone=outlook.zone)
        self.burst_s = outlook.ascent.burst.after_launch_s
        told_s = [band.to_after_launch_s for field in outlook.fields for band in field.bands]
        self.until_s = self.burst_s.p50 if isfinite(self.burst_s.p50) else max(told_s, default=0.0)
        late_s = self.burst_s.p90 if isfinite(self.burst_s.p90) else self.until_s
        self.ends = ends.ends_told(outlook, self.clock)
        last_s = max([late_s + NOTE_S, *(after for after, _ in self.ends if isfinite(after))])
        names = [_label(n, field) for n, field in enumerate(outlook.fields, start=1)]
        labels = [*names, ANY_FIELD, RELEASE, ends.LABEL, *links.labels(outlook)]
        self.scale = Scale(look, self.clock, Times(-BEFORE_S, last_s + 120.0), labels)

    def rows(self) -> Iterator[Row]:
        """Yield the rows; each is opened where the one before was closed."""
        for n, field in enumerate(self.outlook.fields, start=1):
            yield self.field(n, field)
        yield self.any_field()
        yield self.release()
        yield from links.link_rows(self.scale, self.outlook)
        yield ends.ends_row(self.scale, self.ends)

    def field(self, n: int, field: FieldOutlook) -> Row:
        """Return the row of one field, up to the median burst, or as far as it is told."""
        row, until = self.scale.open(_label(n, field)), self.until_s
        for band in field.bands:
            end = min(until, band.to_after_launch_s)
            if end > band.from_after_launch_s:
                x0, x1 = self.scale.x(band.from_after_launch_s), self.scale.x(end)
                box = row.lane.box(x0, x1)
                outline = svg.rect(*box, svg.stroke(1.1))
                row.add(svg.state_rect(band.state, box, _HATCH) + outline, x0, x1)
        row.notes.append(Note(sentences.shut_text(field, self.clock, until)))
        return row

    def any_field(self) -> Row:
        """Return the row that is solid while at least one field is open."""
        row, x = self.scale.open(ANY_FIELD), self.scale.x
        bands = [band for field in self.outlook.fields for band in field.bands]
        opened = [band.from_after_launch_s for band in bands if band.state == "open"]
        start, until = min(opened, default=self.until_s), self.until_s
        gaps = [(gap.from_after_launch_s, gap.to_after_launch_s) for gap in self.outlook.gaps]
        for gap_from, gap_to in (*gaps, (until, until)):
            end = min(gap_from, until)
            if end > start:
                box = row.lane.box(x(start), x(end))
                row.add(svg.state_rect("open", box, _HATCH), x(start), x(end))
            start = max(start, gap_to)
        row.spans.append((x(until), x(until)))  # its words stand in line with those of the fields
        row.notes.append(Note(sentences.short_gap_text(self.outlook, self.clock)))
        return row

    def release(self) -> Row:
        """Return the row of the release window, its last moment and the burst."""
        row, x, release = self.scale.open(RELEASE), self.scale.x, self.outlook.release
        side = "left" if release is not None else "right"
        if release is not None:
            x0, x1 = x(release.window.from_after_launch_s), x(release.release_by_after_launch_s)
            marks = row.lane.upright(x0, 0.0, svg.stroke(4.0))
            marks += row.lane.upright(x1, 6.0, svg.stroke(6.0))
            row.add(marks + svg.level(x0, x1, row.lane.middle, svg.stroke(5)), x0 - 2.0, x1 + 3.0)
        self._burst(row)
        notes = [
            Note(sentences.release_times(self.outlook, self.clock), side),
            Note(f"burst: {self.clock.spread(self.burst_s)}"),
        ]
        row.notes += notes if release is not None else reversed(notes)
        return row

    def _burst(self, row: Row) -> None:
        """Add how bursts gather, where half of the balloons ever burst."""
        if not isfinite(self.burst_s.p50):
            return
        end_s = self.scale.to_s
        late_s = self.burst_s.p90 if isfinite(self.burst_s.p90) else end_s
        early, half, late = map(self.scale.x, (self.burst_s.p10, self.burst_s.p50, late_s))
        last = min(late + 8.0, self.scale.x(end_s))
        strokes = f'<g class="s-burst">{_gathering(row.lane, early, late, last)}</g>'
        half_mark = row.lane.upright(half, 4.0, svg.stroke(3, "burst"))
        row.add(strokes + half_mark, early - 12.0, last + 3.0)


@svg.drawn
def _gathering(lane: Lane, early: float, late: float, last: float) -> Iterator[str]:
    """Return three rows of dots that grow from the early burst to the late one."""
    x = early - 12.0
    while x < last:
        share = min(1.0, max(0.0, 0.1 + 0.8 * (x - early) / max(1.0, late - early)))
        radius = svg.dot_radius(share, _DOT_PX, 0.3)
        for side in (-1, 0, 1):
            shift, y = _DOT_PX / 2.0 if side else 0.0, lane.middle + 0.86 * side * _DOT_PX
            yield svg.dot_row(x + shift, 0.01, y, _DOT_PX, radius)
        x += _DOT_PX


def _label(n: int, field: FieldOutlook) -> str:
    return f"{n} {field.name}"


def strip_svg(outlook: Outlook, look: StripLook = PAPER) -> str:
    """Return the clock strip as SVG."""
    strip = _Strip(outlook, look)
    for row in strip.rows():
        strip.scale.close(row)
    label = sentences.strip_sentence(outlook, strip.clock)
    body = strip.scale.frame() + "".join(strip.scale.parts)
    return svg.picture(look.width_px, strip.scale.bottom + 2.0, label, body)
