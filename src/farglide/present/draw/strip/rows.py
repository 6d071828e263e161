"""Rows of the clock strip: labels at the left, marks on a scale of time, words where room is."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from math import ceil, floor
from typing import Final, NamedTuple

from farglide.present.draw import svg
from farglide.present.draw.faces import NARROW, sheet_width_px
from farglide.present.draw.place import filled
from farglide.present.say.text import FlightClock


@dataclass(frozen=True, slots=True, kw_only=True)
class StripLook:
    """Sizes of a clock strip in pixels of its own picture."""

    width_px: float = 737.0
    label_px: float = 64.0  # of the column of labels at least
    most_label_px: float = 205.0  # longer ones take more lines
    axis_px: float = 19.0
    row_px: float = 16.8
    right_px: float = 20.0
    text_px: float = 12.2
    label_over: bool = False  # a narrow strip has its labels and words over the bars


PAPER: Final = StripLook()
PHONE: Final = StripLook(
    width_px=358.0, label_px=22.0, row_px=20.0, right_px=22.0, text_px=13.2, label_over=True,
)  # fmt: skip

STEPS_MIN: Final = (5, 10, 15, 20, 30, 60, 120)
_BAR: Final = 0.56  # height of a bar against its row
_LINE: Final = 1.3  # of the type, between two lines of words under bars
_GAP_PX: Final = 7.0  # between marks and their words
_LABEL: Final = 'font-weight="600" class="narrow halo"'


class Lane(NamedTuple):
    """One line of a row: the middle of its bars, and their height."""

    middle: float
    height: float

    def box(self, x0: float, x1: float) -> svg.Box:
        """Return the bar between two places."""
        return svg.Box(x0, self.middle - self.height / 2.0, x1 - x0, self.height)

    def upright(self, x: float, more_px: float, style: str) -> str:
        """Return an upright mark, so much higher than the bars."""
        height = self.height + more_px
        d = f"M{svg.number(x)} {svg.number(self.middle - height / 2.0)}v{svg.number(height)}"
        return svg.path(d, style)


class Note(NamedTuple):
    """Words of a row, and the side of its marks that they are wanted on."""

    words: str
    side: str = "right"


@dataclass(slots=True, kw_only=True)
class Row:
    """One row while it is drawn: its marks, what they take up, and the words still to be placed."""

    label: str
    lane: Lane
    marks: list[str] = field(default_factory=list)
    spans: list[tuple[float, float]] = field(default_factory=list)
    notes: list[Note] = field(default_factory=list)
    n_lanes: int = 1

    def add(self, strokes: str, x0: float, x1: float) -> None:
        """Add a mark that takes up the place from x0 to x1."""
        self.marks.append(strokes)
        self.spans.append((x0, x1))


class Times(NamedTuple):
    """From when to when a strip goes, in seconds after the launch."""

    from_s: float
    to_s: float


class Scale:
    """The scale of time of one strip, and the rows stacked under it."""

    def __init__(
        self,
        look: StripLook,
        clock: FlightClock,
        span_s: Times,
        labels: Sequence[str],
    ) -> None:
        self.look, self.clock = look, clock
        self.from_s, self.to_s = span_s
        self.label_size = look.text_px + 0.4
        widths = [sheet_width_px(one, self.label_size, NARROW) + 10.0 for one in labels]
        words = [one for label in labels for one in label.split()]
        narrow_px = [sheet_width_px(one, self.label_size, NARROW) for one in words]
        longest = max(narrow_px, default=0.0)
        most_px = max(look.most_label_px, longest + 10.0)
        self.left = min(max([look.label_px, *widths]), most_px)
        if look.label_over:
            self.left = look.label_px
        self.room_px = look.width_px - self.left - look.right_px
        self.bottom = look.axis_px
        self.parts: list[str] = []

    def x(self, after_launch_s: float) -> float:
        """Return where a moment stands; moments outside the strip stand at its edge."""
        share = (after_launch_s - self.from_s) / (self.to_s - self.from_s)
        return self.left + self.room_px * min(1.0, max(0.0, share))

    def open(self, label: str) -> Row:
        """Return a new row under the others."""
        over = 1.3 * self.label_size if self.look.label_over else 0.0
        lane = Lane(self.bottom + over + self.look.row_px / 2.0, _BAR * self.look.row_px)
        return Row(label=label, lane=lane)

    def close(self, row: Row) -> None:
        """Place the words of a row, and let the next one begin under it."""
        look = self.look
        self.parts += row.marks
        top = row.lane.middle - look.row_px / 2.0
        labelled = self._labelled_over(row) if look.label_over else self._labelled(row)
        n_under = self._noted(row)
        noted = (n_under * _LINE + 0.3) * look.text_px if n_under else 0.0
        high = max(row.n_lanes * look.row_px, look.row_px + max(noted, labelled))
        self.bottom = top + high
        self.parts.append(svg.level(0.0, look.width_px, self.bottom, svg.stroke(0.8, "rule")))

    def _labelled(self, row: Row) -> float:
        """Write the label left of the bars; return the height of its lines after the first."""
        size, room = self.label_size, self.left - 8.0
        lines = filled(row.label.split(), lambda one: sheet_width_px(one, size, NARROW) <= room)
        for n, words in enumerate(lines):
            y = row.lane.middle + 0.36 * size + n * 1.08 * size
            self.parts.append(svg.text(0.0, y, words, size, _LABEL))
        return max(0.0, (len(lines) - 1) * 1.08 * size)

    def _labelled_over(self, row: Row) -> float:
        """Write the label over the bars, and behind it the words that have room on its line."""
        size, y = self.label_size, row.lane.middle - 0.5 * self.look.row_px - 0.2 * self.label_size
        self.parts.append(svg.text(0.0, y, row.label, size, _LABEL))
        x = sheet_width_px(row.label, size, NARROW) + 12.0
        left = []
        for note in row.notes:
            width = sheet_width_px(note.words, self.look.text_px)
            if not note.words or x + width > self.look.width_px:
                left.append(note)
                continue
            self.words(x, y - 0.36 * self.look.text_px, note.words)
            x += width + 12.0
        row.notes = left
        return 0.0

    def _noted(self, row: Row) -> int:
        """Write the words of a row beside its marks, else under them; return how many lines."""
        under = 0
        for words, side in row.notes:
            if not words:
                continue
            spot = None if self.look.label_over else self._beside(row, words, side)
            if spot is not None:
                self.words(spot, row.lane.middle, words)
                continue
            for line in self._wrapped(words):
                under += 1
                below = 0.5 * self.look.row_px + (_LINE * under - 0.62) * self.look.text_px
                self.words(self.left + 2.0, row.lane.middle + below, line)
        return under

    def _beside(self, row: Row, words: str, side: str) -> float | None:
        """Return where words begin beside all marks of a row; None where no side has the room."""
        width = sheet_width_px(words, self.look.text_px) + 2.0
        first = min((x0 for x0, _ in row.spans), default=self.x(0.0))
        last = max((x1 for _, x1 in row.spans), default=self.x(0.0) - _GAP_PX)
        places = {"right": last + _GAP_PX, "left": first - _GAP_PX - width}
        for one in (side, *places):
            x = places[one]
            if x >= self.left + 2.0 and x + width <= self.look.width_px:
                row.spans.append((x, x + width))
                return x
        return None

    def _wrapped(self, words: str) -> list[str]:
        room = self.look.width_px - self.left - 4.0
        return filled(words.split(), lambda one: sheet_width_px(one, self.look.text_px) <= room)

    def words(self, x: float, middle: float, words: str, anchor: str = "start") -> None:
        """Write words with their middle at a height."""
        size, style = self.look.text_px, f'text-anchor="{anchor}" class="halo"'
        self.parts.append(svg.text(x, middle + 0.36 * size, words, size, style))

    def ticks(self) -> list[float]:
        """Return ticks as seconds after the launch: the launch, then round times of the clock."""
        width = sheet_width_px("00:00", self.look.text_px) * 1.5
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
