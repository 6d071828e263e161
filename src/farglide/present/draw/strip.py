"""The clock of the flight on a straight scale: each field, the release, the burst, the ends."""

from dataclasses import dataclass
from itertools import pairwise, product
from math import ceil, floor, isfinite
from typing import Final

from farglide.outlook.fields import FieldOutlook
from farglide.outlook.links import HeardStand
from farglide.outlook.outlook import Outlook
from farglide.present.draw.ladder.links import BEST_GRADE, LEAST_DB, WHOLE_DB
from farglide.present.draw.place import text_width_px
from farglide.present.draw.svg import (
    dot_radius,
    dot_row,
    level,
    line,
    number,
    path,
    patterns,
    picture,
    rect,
    state_rect,
    text,
)
from farglide.present.say.links.aim import decibel_text
from farglide.present.say.sentences import (
    FLATTEST,
    FLATTEST_SPIRAL,
    ends,
    gap_text,
    release_text,
    shut_text,
    strip_sentence,
)
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
FLATTEST_WAYS: Final = (FLATTEST, FLATTEST_SPIRAL)  # the side view tells them
LINK_ROWS: Final = ("picture", "command")
N_ENDS: Final = 6  # more marks than this make no row that can be read
STEPS_MIN: Final = (5, 10, 15, 20, 30, 60, 120)


class _Strip:
    """The geometry of one strip; rows are appended from top to bottom."""

    def __init__(self, outlook: Outlook, look: StripLook, key: str) -> None:
        self.outlook, self.look, self.key = outlook, look, key
        self.clock = FlightClock(launch_t_s=outlook.launch_t_s, zone=outlook.zone)
        self.burst_s = outlook.ascent.burst.after_launch_s
        self.ends = _ends(outlook, self.clock)
        room_s = self.burst_s.p90 + NOTE_S
        last = max([room_s, *(after for after, _ in self.ends)])
        self.from_s, self.to_s = -BEFORE_S, (last if isfinite(last) else 7200.0) + 120.0
        self.bottom = look.axis_px
        self.parts: list[str] = []

    def x(self, after_launch_s: float) -> float:
        """Return where a moment stands; moments outside the strip stand at its edge."""
        look = self.look
        share = (after_launch_s - self.from_s) / (self.to_s - self.from_s)
        room_px = look.width_px - look.label_px - look.right_px
        return look.label_px + room_px * min(1.0, max(0.0, share))

    def ticks(self) -> list[tuple[float, bool]]:
        """Return the ticks at round times of the clock: (seconds after launch, is the launch)."""
        room = self.look.width_px - self.look.label_px - self.look.right_px
        width = text_width_px("00:00", self.look.text_px) * 1.6
        fitting = [m for m in STEPS_MIN if room * m * 60.0 / (self.to_s - self.from_s) >= width]
        step_s = 60.0 * (fitting[0] if fitting else STEPS_MIN[-1])
        hour, minute = (int(figure) for figure in self.clock.local(0.0).split(":"))
        since_midnight_s = 3600.0 * hour + 60.0 * minute
        first = ceil((since_midnight_s + self.from_s) / step_s)
        last = floor((since_midnight_s + self.to_s) / step_s)
        gap_s = width / room * (self.to_s - self.from_s)
        marks = [i * step_s - since_midnight_s for i in range(first, last + 1)]
        return [(0.0, True), *((after, False) for after in marks if abs(after) >= gap_s * 0.8)]

    def row(self, label: str, *notes: str, n_lanes: int = 1) -> tuple[float, float]:
        """Open a row and return the middle and the height of its bars."""
        look = self.look
        top, height = self.bottom, look.row_px * n_lanes
        if look.note_below:
            for words in notes:
                y = top + height + 0.75 * look.text_px
                self.parts.append(text(look.label_px, y, words, look.text_px, 'class="t-2 halo"'))
                height += 1.3 * look.text_px
        self.bottom += height
        thin = 'class="s-rule" stroke-width="0.8"'
        self.parts.append(level(0.0, look.width_px, self.bottom, thin))
        size, room = look.text_px + 0.4, look.label_px - 6.0
        while label and text_width_px(label, size, narrow=True) > room:
            label = label[:-2].rstrip() + "…"
        y = top + 0.5 * look.row_px + 0.35 * size
        self.parts.append(text(0.0, y, label, size, 'font-weight="600" class="narrow"'))
        return top + look.row_px / 2.0, 0.56 * look.row_px

    def note(self, x: float, middle: float, words: str, anchor: str = "start") -> None:
        """Write words beside a bar, turned to its other side where they would leave the strip."""
        look = self.look
        if look.note_below or not words:
            return
        width = text_width_px(words, look.text_px)
        if anchor == "start" and x + width > look.width_px:
            x, anchor = look.width_px, "end"
        if anchor == "end" and x - width < look.label_px:
            x, anchor = look.label_px + 2.0, "start"
        style = f'text-anchor="{anchor}" class="halo"'
        self.parts.append(text(x, middle + 0.35 * look.text_px, words, look.text_px, style))

    def field(self, n: int, field: FieldOutlook) -> None:
        """Add the row of one field, up to the median burst."""
        until = self.burst_s.p50
        words = shut_text(field, self.clock, until)
        middle, height = self.row(f"{n} {field.name}", words)
        widest, edge = (0.0, 0.0), self.x(0.0)
        for band in field.bands:
            end = min(until, band.to_after_launch_s)
            if end <= band.from_after_launch_s:
                continue
            x0, x1 = self.x(band.from_after_launch_s), self.x(end)
            edge = max(edge, x1)
            box = (x0, middle - height / 2.0, x1 - x0, height)
            self.parts.append(state_rect(band.state, box, self.key))
            self.parts.append(rect(*box, 'class="s-ink" stroke-width="1.1"'))
            if band.state == "shut" and x1 - x0 > widest[0]:
                widest = (x1 - x0, x0)
        if text_width_px(words, self.look.text_px) + 12.0 < widest[0]:
            self.note(widest[1] + 6.0, middle, words)
        else:
            self.note(edge + 8.0, middle, words)

    def any_field(self) -> None:
        """Add the row that is solid while at least one field is open."""
        words = gap_text(self.outlook, self.clock)
        middle, height = self.row("any field", words)
        opened = [
            band.from_after_launch_s
            for field in self.outlook.fields
            for band in field.bands
            if band.state == "open"
        ]
        start, until = min(opened, default=self.burst_s.p50), self.burst_s.p50
        for gap_from, gap_to in (*self.outlook.gaps, (until, until)):
            end = min(gap_from, until)
            if end > start:
                box = (self.x(start), middle - height / 2.0, self.x(end) - self.x(start), height)
                self.parts.append(state_rect("open", box, self.key))
            start = max(start, gap_to)
        self.note(self.x(until) + 8.0, middle, words)

    def release(self) -> None:
        """Add the row of the release window, its last moment and the burst."""
        release = self.outlook.release
        by = release_text(self.outlook, self.clock)
        burst = f"burst {self.clock.spread(self.burst_s)}"
        middle, height = self.row("release", by, burst)
        x1 = self.x(0.0)
        if release is not None:
            x0 = self.x(release.window.from_after_launch_s)
            x1 = self.x(release.release_by_after_launch_s)
            self._bracket(x0, middle, height, 4.0)
            self._bracket(x1, middle, height + 6.0, 6.0)
            self.parts.append(level(x0, x1, middle, 'class="s-ink" stroke-width="5"'))
            self.note(x0 - 7.0, middle, by, "end")
        else:
            self.note(x1 + 6.0, middle, by)
        self._burst(middle, height)
        late = max(self.x(self.burst_s.p90), x1)
        self.note(late + 14.0, middle, f"burst: {self.clock.spread(self.burst_s)}")

    def _bracket(self, x: float, middle: float, height: float, stroke_px: float) -> None:
        d = f"M{number(x)} {number(middle - height / 2.0)}v{number(height)}"
        self.parts.append(path(d, f'class="s-ink" stroke-width="{stroke_px}"'))

    def _burst(self, middle: float, height: float) -> None:
        early, late = self.x(self.burst_s.p10), self.x(self.burst_s.p90)
        half, step, dots, x = self.x(self.burst_s.p50), 5.5, [], early - 12.0
        while x < min(late + 8.0, self.x(self.to_s)):
            share = min(1.0, max(0.0, 0.1 + 0.8 * (x - early) / max(1.0, late - early)))
            radius = dot_radius(share, step, 0.3)
            for lane in (-1, 0, 1):
                shift = step / 2.0 if lane else 0.0
                dots.append(dot_row(x + shift, 0.01, middle + 0.86 * lane * step, step, radius))
            x += step
        self.parts.append(f'<g class="s-burst">{"".join(dots)}</g>')
        d = f"M{number(half)} {number(middle - height / 2.0 - 2.0)}v{number(height + 4.0)}"
        self.parts.append(path(d, 'class="s-burst" stroke-width="3"'))

    def links(self) -> None:
        """Add the rows of the car and of both links as heard from its stand."""
        car, clock = self.outlook.car, self.clock
        if car is None:
            return
        words = f"{car.stand}, without a drive"
        start = max(car.set_off_after_launch_s or 0.0, 0.0)
        if car.set_off_after_launch_s is not None:
            words = f"set off by {clock.local(start)} for {car.stand}"
        middle, height = self.row("car", words)
        if car.set_off_after_launch_s is not None:
            x0, x1 = self.x(start), self.x(start + car.drive_s + car.set_up_s)
            box = (x0, middle - height / 2.0, x1 - x0, height)
            self.parts.append(rect(*box, 'class="f-paper s-mark" stroke-width="2"'))
            if text_width_px(words, self.look.text_px) + 12.0 < x0 - self.look.label_px:
                self.note(x0 - 7.0, middle, words, "end")
            else:
                self.note(x1 + 7.0, middle, words)
        else:
            self.note(self.x(0.0) + 6.0, middle, words)
        for link in self.outlook.links:
            stand = next((one for one in link.stands if one.name == car.stand), None)
            if stand is not None and link.purpose in LINK_ROWS:
                self._link(link.name, link.purpose, stand)

    def _link(self, name: str, purpose: str, stand: HeardStand) -> None:
        least = stand.weakest
        words = f"least {decibel_text(least.p50)} dB at {self.clock.local(least.after_launch_s)}"
        middle, height = self.row(name, words)
        for point, after in pairwise(stand.margin_db):
            x0, x1 = self.x(point.after_launch_s), self.x(after.after_launch_s)
            if purpose == "picture":
                high = height * point.grade / BEST_GRADE
                box = (x0, middle + height / 2.0 - high, x1 - x0 + 0.3, high)
                self.parts.append(rect(*box, 'class="f-link"') if point.grade else "")
            elif point.p50 >= LEAST_DB:
                broken = "" if point.p50 >= WHOLE_DB else ' stroke-dasharray="6 4"'
                style = f'class="s-link" stroke-width="5"{broken}'
                self.parts.append(level(x0, x1, middle, style))
        self.note(self.x(stand.margin_db[-1].after_launch_s) + 8.0, middle, words)

    def ends_row(self) -> None:
        """Add what ends the day, on as many lanes as the words need."""
        lanes, placed = self._lanes()
        middle, height = self.row("ends", "", n_lanes=max(1, lanes))
        for lane, x, anchor, words in placed:
            y = middle + lane * self.look.row_px
            style = 'class="s-ink" stroke-width="3"'
            self.parts.append(line(x, y - height / 2.0 - 1.0, x, y + height / 2.0 + 1.0, style))
            side = 6.0 if anchor == "start" else -6.0
            style = f'text-anchor="{anchor}" class="halo"'
            size = self.look.text_px
            self.parts.append(text(x + side, y + 0.35 * size, words, size, style))

    def _lanes(self) -> tuple[int, list[tuple[int, float, str, str]]]:
        """Return how many lanes the ends need, and each as (lane, x, anchor, words)."""
        marks = [(self.x(after), words) for after, words in self.ends]
        for n_lanes in range(1, len(marks) + 1):
            lanes = [marks[lane::n_lanes] for lane in range(n_lanes)]
            sides = [self._one_lane(lane) for lane in lanes]
            fitting = [found for found in sides if found is not None]
            if len(fitting) == n_lanes:
                return n_lanes, [
                    (lane, x, side, words)
                    for lane, row in enumerate(lanes)
                    for (x, words), side in zip(row, fitting[lane], strict=True)
                ]
        middle = (self.look.label_px + self.look.width_px) / 2.0
        return len(marks), [
            (lane, x, "start" if x < middle else "end", words)
            for lane, (x, words) in enumerate(marks)
        ]

    def _one_lane(self, marks: list[tuple[float, str]]) -> tuple[str, ...] | None:
        """Return for each mark the side of its words where none meets another, if there is one."""
        widths = [text_width_px(words, self.look.text_px) + 10.0 for _, words in marks]
        for sides in product(("start", "end"), repeat=len(marks)):
            edges = [
                (x - 3.0, x + width) if side == "start" else (x - width, x + 3.0)
                for (x, _), width, side in zip(marks, widths, sides, strict=True)
            ]
            left_px, right_px = self.look.label_px, self.look.width_px + 3.0
            inside = all(a >= left_px and b <= right_px for a, b in edges)
            if inside and all(left[1] < right[0] for left, right in pairwise(edges)):
                return sides
        return None

    def frame(self) -> str:
        """Return the scale, drawn under the rows once their number is known."""
        look, parts = self.look, []
        for after, is_launch in self.ticks():
            x, weight = self.x(after), 700 if is_launch else 500
            stroke = 1.8 if is_launch else 0.8
            style = f'class="s-rule" stroke-width="{stroke}"'
            parts.append(line(x, look.axis_px - 3.0, x, self.bottom, style))
            style = f'text-anchor="middle" font-weight="{weight}"'
            words = self.clock.local(after)
            parts.append(text(x, look.axis_px - 7.0, words, look.text_px, style))
        style = 'class="s-ink" stroke-width="2"'
        parts += [level(0.0, look.width_px, y, style) for y in (look.axis_px, self.bottom)]
        return "".join(parts)


def _ends(outlook: Outlook, clock: FlightClock) -> list[tuple[float, str]]:
    """Return the ends worth a mark with their words; a dusk is said beside its sunset."""
    found = []
    for after, name in ends(outlook):
        dusk_s = outlook.sun.dusk_after_launch_s
        words = f"{name} {clock.local(after)}"
        if name == "sunset" and dusk_s is not None:
            words += f", dusk {clock.local(dusk_s)}"
        beside = name == "dusk" and outlook.sun.sunset_after_launch_s is not None
        if after <= LONGEST_S and not beside and not name.startswith(FLATTEST_WAYS):
            found.append((after, words))
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
    label = strip_sentence(outlook, strip.clock)
    body = patterns(key, 0.55) + strip.frame() + "".join(strip.parts)
    return picture(look.width_px, strip.bottom + 2.0, label, body)
