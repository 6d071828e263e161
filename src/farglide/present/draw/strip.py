"""The clock of the flight on a straight scale: each field, the release, the burst, the ends."""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise, product
from math import ceil, floor, isfinite
from typing import Final, NamedTuple

from farglide.outlook.fields import FieldOutlook
from farglide.outlook.links import HeardStand
from farglide.outlook.outlook import Outlook
from farglide.present.draw import svg
from farglide.present.draw.ladder.links import BEST_GRADE, LEAST_DB, WHOLE_DB
from farglide.present.draw.place import text_width_px
from farglide.present.say import sentences
from farglide.present.say.links.aim import decibel_text
from farglide.present.say.text import FlightClock


@dataclass(frozen=True, slots=True, kw_only=True)
class StripLook:
    """Sizes of a clock strip in pixels of its own picture."""

    width_px: float = 706.0
    label_px: float = 96.0
    axis_px: float = 19.0
    row_px: float = 17.8
    right_px: float = 20.0
    text_px: float = 12.4
    note_below: bool = False  # a narrow strip has its words under the bars


PAPER: Final = StripLook()
PHONE: Final = StripLook(
    width_px=358.0, label_px=74.0, row_px=22.0, right_px=18.0, text_px=12.6, note_below=True
)

BEFORE_S: Final = 600.0  # the strip begins this long before launch
NOTE_S: Final = 4800.0  # kept free after the burst for the words of the rows
LONGEST_S: Final = 15_000.0  # ends later than this after launch are left to the words
LINK_ROWS: Final = ("picture", "command")
N_ENDS: Final = 6  # more marks than this make no row that can be read
STEPS_MIN: Final = (5, 10, 15, 20, 30, 60, 120)


class _Row(NamedTuple):
    """A row: the middle of its bars, and their height."""

    middle: float
    height: float

    def box(self, x0: float, x1: float) -> svg.Box:
        """Return the bar between two moments."""
        return svg.Box(x0, self.middle - self.height / 2.0, x1 - x0, self.height)


class _End(NamedTuple):
    """A mark of what ends the day, its words, and the side of the mark where they begin."""

    x: float
    words: str
    anchor: str = ""


class _Strip:
    """The geometry of one strip; rows are appended from top to bottom."""

    def __init__(self, outlook: Outlook, look: StripLook, key: str) -> None:
        self.outlook, self.look, self.key = outlook, look, key
        self.clock = FlightClock(launch_t_s=outlook.launch_t_s, zone=outlook.zone)
        self.burst_s = outlook.ascent.burst.after_launch_s
        ends_s = _ends(outlook, self.clock)
        told_s = [band.to_after_launch_s for field in outlook.fields for band in field.bands]
        self.until_s = self.burst_s.p50 if isfinite(self.burst_s.p50) else max(told_s, default=0.0)
        late_s = self.burst_s.p90 if isfinite(self.burst_s.p90) else self.until_s
        last_s = max([late_s + NOTE_S, *(after_s for after_s, _ in ends_s if isfinite(after_s))])
        self.from_s, self.to_s = -BEFORE_S, last_s + 120.0
        self.room_px = look.width_px - look.label_px - look.right_px
        self.ends = [_End(self.x(after_s), words) for after_s, words in ends_s]
        self.bottom = look.axis_px
        self.parts: list[str] = []

    def x(self, after_launch_s: float) -> float:
        """Return where a moment stands; moments outside the strip stand at its edge."""
        share = (after_launch_s - self.from_s) / (self.to_s - self.from_s)
        return self.look.label_px + self.room_px * min(1.0, max(0.0, share))

    def ticks(self) -> list[float]:
        """Return ticks as seconds after the launch: the launch, then round times of the clock."""
        width = text_width_px("00:00", self.look.text_px) * 1.6
        span_s = self.to_s - self.from_s
        fitting = [m for m in STEPS_MIN if self.room_px * m * 60.0 / span_s >= width]
        step_s = 60.0 * (fitting[0] if fitting else STEPS_MIN[-1])
        hour, minute = map(int, self.clock.local(0.0).split(":"))
        since_midnight_s = 3600.0 * hour + 60.0 * minute
        first = ceil((since_midnight_s + self.from_s) / step_s)
        last = floor((since_midnight_s + self.to_s) / step_s)
        gap_s = width / self.room_px * span_s
        marks = [i * step_s - since_midnight_s for i in range(first, last + 1)]
        return [0.0, *(after for after in marks if abs(after) >= gap_s * 0.8)]

    def row(self, label: str, *notes: str, n_lanes: int = 1) -> _Row:
        """Open a row and return where its bars stand."""
        look = self.look
        top, height = self.bottom, look.row_px * n_lanes
        if look.note_below:
            for words in notes:
                y = top + height + 0.75 * look.text_px
                note = svg.text(look.label_px, y, words, look.text_px, 'class="t-2 halo"')
                self.parts.append(note)
                height += 1.3 * look.text_px
        self.bottom += height
        self.parts.append(svg.level(0.0, look.width_px, self.bottom, svg.stroke(0.8, "rule")))
        size, room = look.text_px + 0.4, look.label_px - 6.0
        while label and text_width_px(label, size, narrow=True) > room:
            label = label[:-2].rstrip() + "…"
        y = top + 0.5 * look.row_px + 0.35 * size
        self.parts.append(svg.text(0.0, y, label, size, 'font-weight="600" class="narrow"'))
        return _Row(top + look.row_px / 2.0, 0.56 * look.row_px)

    def note(self, x: float, row: _Row, words: str, anchor: str = "start") -> None:
        """Write words beside a bar, turned to its other side where they would leave the strip."""
        look = self.look
        if look.note_below or not words:
            return
        width = text_width_px(words, look.text_px)
        if anchor == "start" and x + width > look.width_px:
            x, anchor = look.width_px, "end"
        if anchor == "end" and x - width < look.label_px:
            x, anchor = look.label_px + 2.0, "start"
        self._words(x, row.middle, words, anchor)

    def _words(self, x: float, middle: float, words: str, anchor: str) -> None:
        size, style = self.look.text_px, f'text-anchor="{anchor}" class="halo"'
        self.parts.append(svg.text(x, middle + 0.35 * size, words, size, style))

    def field(self, n: int, field: FieldOutlook) -> None:
        """Add the row of one field, up to the median burst, or as far as it is told."""
        until = self.until_s
        words = sentences.shut_text(field, self.clock, until)
        row = self.row(f"{n} {field.name}", words)
        widest, edge = svg.Box(0.0, 0.0, 0.0, 0.0), self.x(0.0)
        for band in field.bands:
            end = min(until, band.to_after_launch_s)
            if end <= band.from_after_launch_s:
                continue
            box = row.box(self.x(band.from_after_launch_s), self.x(end))
            edge = max(edge, self.x(end))
            self.parts.append(svg.state_rect(band.state, box, self.key))
            self.parts.append(svg.rect(*box, svg.stroke(1.1)))
            if band.state == "shut" and box.width > widest.width:
                widest = box
        inside = text_width_px(words, self.look.text_px) + 12.0 < widest.width
        self.note(widest.x + 6.0 if inside else edge + 8.0, row, words)

    def any_field(self) -> None:
        """Add the row that is solid while at least one field is open."""
        words = sentences.short_gap_text(self.outlook, self.clock)
        row = self.row("any field", words)
        bands = [band for field in self.outlook.fields for band in field.bands]
        opened = [band.from_after_launch_s for band in bands if band.state == "open"]
        start, until = min(opened, default=self.until_s), self.until_s
        gaps = [(gap.from_after_launch_s, gap.to_after_launch_s) for gap in self.outlook.gaps]
        for gap_from, gap_to in (*gaps, (until, until)):
            end = min(gap_from, until)
            if end > start:
                box = row.box(self.x(start), self.x(end))
                self.parts.append(svg.state_rect("open", box, self.key))
            start = max(start, gap_to)
        self.note(self.x(until) + 8.0, row, words)

    def release(self) -> None:
        """Add the row of the release window, its last moment and the burst."""
        release = self.outlook.release
        by = sentences.release_times(self.outlook, self.clock)
        burst = self.clock.spread(self.burst_s)
        row = self.row("release", by, f"burst {burst}")
        x1 = self.x(0.0)
        if release is not None:
            x0 = self.x(release.window.from_after_launch_s)
            x1 = self.x(release.release_by_after_launch_s)
            self._upright(x0, row, 0.0, svg.stroke(4.0))
            self._upright(x1, row, 6.0, svg.stroke(6.0))
            self.parts.append(svg.level(x0, x1, row.middle, svg.stroke(5)))
            self.note(x0 - 7.0, row, by, "end")
        else:
            self.note(x1 + 6.0, row, by)
        self._burst(row)
        late = max(self.x(self.burst_s.p90), x1) if isfinite(self.burst_s.p90) else x1
        self.note(late + 14.0, row, f"burst: {burst}")

    def _upright(self, x: float, row: _Row, more_px: float, style: str) -> None:
        """Draw an upright mark over a row, so much higher than its bars."""
        height = row.height + more_px
        d = f"M{svg.number(x)} {svg.number(row.middle - height / 2.0)}v{svg.number(height)}"
        self.parts.append(svg.path(d, style))

    def _burst(self, row: _Row) -> None:
        """Draw how bursts gather, where half of the balloons ever burst."""
        if not isfinite(self.burst_s.p50):
            return
        late_s = self.burst_s.p90 if isfinite(self.burst_s.p90) else self.to_s
        early, half, late = map(self.x, (self.burst_s.p10, self.burst_s.p50, late_s))
        step, dots, x = 5.5, [], early - 12.0
        while x < min(late + 8.0, self.x(self.to_s)):
            share = min(1.0, max(0.0, 0.1 + 0.8 * (x - early) / max(1.0, late - early)))
            radius = svg.dot_radius(share, step, 0.3)
            for lane in (-1, 0, 1):
                shift, y = step / 2.0 if lane else 0.0, row.middle + 0.86 * lane * step
                dots.append(svg.dot_row(x + shift, 0.01, y, step, radius))
            x += step
        self.parts.append(f'<g class="s-burst">{"".join(dots)}</g>')
        self._upright(half, row, 4.0, svg.stroke(3, "burst"))

    def links(self) -> None:
        """Add the rows of the car and of both links as heard from its stand."""
        car, clock = self.outlook.car, self.clock
        if car is None:
            return
        if car.set_off_after_launch_s is None:
            words = f"{car.stand}, without a drive"
            self.note(self.x(0.0) + 6.0, self.row("car", words), words)
        else:
            start = max(car.set_off_after_launch_s, 0.0)
            words = f"set off by {clock.local(start)} for {car.stand}"
            row = self.row("car", words)
            x0, x1 = self.x(start), self.x(start + car.drive_s + car.set_up_s)
            self.parts.append(svg.rect(*row.box(x0, x1), 'class="f-paper s-mark" stroke-width="2"'))
            fits = text_width_px(words, self.look.text_px) + 12.0 < x0 - self.look.label_px
            x, anchor = (x0 - 7.0, "end") if fits else (x1 + 7.0, "start")
            self.note(x, row, words, anchor)
        for link in self.outlook.links:
            stand = next((one for one in link.stands if one.name == car.stand), None)
            if stand is not None and link.purpose in LINK_ROWS:
                self._link(link.name, link.purpose, stand)

    def _link(self, name: str, purpose: str, stand: HeardStand) -> None:
        least = stand.weakest
        words = f"least {decibel_text(least.p50)} dB at {self.clock.local(least.after_launch_s)}"
        row = self.row(name, words)
        for point, after in pairwise(stand.margin_db):
            x0, x1 = self.x(point.after_launch_s), self.x(after.after_launch_s)
            if purpose == "picture" and point.grade:
                high = row.height * point.grade / BEST_GRADE
                y, width = row.middle + row.height / 2.0 - high, x1 - x0 + 0.3
                self.parts.append(svg.rect(x0, y, width, high, 'class="f-link"'))
            elif purpose != "picture" and point.p50 >= LEAST_DB:
                dashes = "" if point.p50 >= WHOLE_DB else "6 4"
                self.parts.append(svg.level(x0, x1, row.middle, svg.stroke(5, "link", dashes)))
        self.note(self.x(stand.margin_db[-1].after_launch_s) + 8.0, row, words)

    def ends_row(self) -> None:
        """Add what ends the day, on as many lanes as the words need."""
        lanes = self._lanes()
        row = self.row("ends", "", n_lanes=max(1, len(lanes)))
        half = row.height / 2.0 + 1.0
        for n, lane in enumerate(lanes):
            y = row.middle + n * self.look.row_px
            for x, words, anchor in lane:
                self.parts.append(svg.line(x, y - half, x, y + half, svg.stroke(3)))
                self._words(x + (6.0 if anchor == "start" else -6.0), y, words, anchor)

    def _lanes(self) -> list[list[_End]]:
        """Return the ends on the fewest lanes that have room for them, else each on its own."""
        for n_lanes in range(1, len(self.ends) + 1):
            lanes = [self._one_lane(self.ends[lane::n_lanes]) for lane in range(n_lanes)]
            if all(lanes):
                return lanes
        middle = (self.look.label_px + self.look.width_px) / 2.0
        return [[end._replace(anchor="start" if end.x < middle else "end")] for end in self.ends]

    def _one_lane(self, ends: list[_End]) -> list[_End]:
        """Return the ends with their words on sides where none meets another, if there are such."""
        widths = [text_width_px(end.words, self.look.text_px) + 10.0 for end in ends]
        left_px, right_px = self.look.label_px, self.look.width_px + 3.0
        for anchors in product(("start", "end"), repeat=len(ends)):
            edges = [
                (end.x - 3.0, end.x + width) if anchor == "start" else (end.x - width, end.x + 3.0)
                for end, width, anchor in zip(ends, widths, anchors, strict=True)
            ]
            inside = all(a >= left_px and b <= right_px for a, b in edges)
            if inside and all(left[1] < right[0] for left, right in pairwise(edges)):
                return [e._replace(anchor=one) for e, one in zip(ends, anchors, strict=True)]
        return []

    @svg.drawn
    def frame(self) -> Iterator[str]:
        """Return the scale, drawn under the rows once their number is known."""
        look = self.look
        for after in self.ticks():
            x, (weight, wide) = self.x(after), (500, 0.8) if after else (700, 1.8)
            yield svg.line(x, look.axis_px - 3.0, x, self.bottom, svg.stroke(wide, "rule"))
            style = f'text-anchor="middle" font-weight="{weight}"'
            yield svg.text(x, look.axis_px - 7.0, self.clock.local(after), look.text_px, style)
        for y in (look.axis_px, self.bottom):
            yield svg.level(0.0, look.width_px, y, svg.stroke(2))


def _ends(outlook: Outlook, clock: FlightClock) -> list[tuple[float, str]]:
    """Return the ends worth a mark with their words; a dusk is said beside its sunset."""
    found = []
    dusk_s = outlook.sun.dusk_after_launch_s
    has_sunset = outlook.sun.sunset_after_launch_s is not None
    for after, name in sentences.ends(outlook):
        beside = name == "dusk" and has_sunset
        if after > LONGEST_S or beside or name.startswith(sentences.FLATTEST_WAYS):
            continue  # too late, or told by another mark or by the side view
        dusk = f", dusk {clock.local(dusk_s)}" if name == "sunset" and dusk_s is not None else ""
        found.append((after, f"{name} {clock.local(after)}{dusk}"))
    return found[:N_ENDS]


def strip_svg(outlook: Outlook, look: StripLook = PAPER, key: str = "strip") -> str:
    """Return the clock strip as SVG; `key` keeps its ids apart from those of other pictures."""
    strip = _Strip(outlook, look, key)
    for n, field in enumerate(outlook.fields, start=1):
        strip.field(n, field)
    strip.any_field()
    strip.release()
    strip.links()
    strip.ends_row()
    label = sentences.strip_sentence(outlook, strip.clock)
    body = svg.patterns(key, 0.55) + strip.frame() + "".join(strip.parts)
    return svg.picture(look.width_px, strip.bottom + 2.0, label, body)
