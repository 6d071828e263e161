"""The release chart: for each field a column over height, its state if released there."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from farglide.present.ladder_links import Beside, beside_columns, n_columns
from farglide.present.lookup import (
    SHOWN_SHARE,
    burst_height_amsl_m,
    interpolated,
    passage_s,
    shown_fields,
    top_of_scale_km,
)
from farglide.present.place import wrap
from farglide.present.sentences import ladder_sentence, rising
from farglide.present.svg import (
    ROW_RATIO,
    dot_radius,
    dot_row,
    line,
    number,
    path,
    patterns,
    picture,
    polyline,
    rect,
    state_rect,
    text,
)
from farglide.present.text import FlightClock
from farglide.sortie.outlook import Band, FieldOutlook, Outlook, ReleaseOutlook


@dataclass(frozen=True, slots=True, kw_only=True)
class LadderLook:
    """Sizes of a release chart in pixels of its own picture."""

    width_px: float = 472.0
    height_px: float = 436.0
    left_px: float = 48.0
    right_px: float = 98.0
    top_px: float = 42.0  # with names on one line
    bottom_px: float = 8.0
    ending_px: float = 62.0
    dots_px: float = 18.0  # of the ending column; 0 leaves the words alone
    gap_px: float = 7.0
    head_px: float = 13.4
    word_px: float = 11.8
    small_px: float = 13.0
    figure_px: float = 16.0
    window_px: float = 18.0
    dot_px: float = 7.0
    link_px: float = 15.0  # of the picture's and of the command's column
    n_columns: int = 6


PAPER: Final = LadderLook()
PHONE: Final = LadderLook(
    width_px=358.0,
    height_px=440.0,
    right_px=94.0,
    ending_px=40.0,
    dots_px=0.0,
    top_px=44.0,
    left_px=34.0,
    link_px=10.0,
    head_px=13.6,
    word_px=12.4,
    small_px=13.4,
    n_columns=3,
)

LEAST_PX: Final = 11.4  # 8.5 point, the least that paper may carry
ROLE_LINE: Final = 1.1  # height of a line against its type
LINKS: Final = ("a", "an", "and", "at", "by", "for", "from", "in", "near", "of", "on", "over",
    "the", "to", "under", "with")  # fmt: skip
"""Words that no role ends with."""
FIRST_RATIO: Final = 1.18  # the first column against the others
GROWTH_ON_PAPER: Final = 0.34
GROWTH_ON_SOLID: Final = 0.44


@dataclass(frozen=True, slots=True, kw_only=True)
class _Column:
    number: int
    field: FieldOutlook
    x: float
    width: float


class _Chart:
    """The geometry of one chart, and the strokes that follow from it."""

    def __init__(self, outlook: Outlook, look: LadderLook, key: str) -> None:
        self.outlook, self.look, self.key = outlook, look, key
        self.clock = FlightClock(launch_t_s=outlook.launch_t_s, zone=outlook.zone)
        self.burst = outlook.ascent.burst
        self.top_km = top_of_scale_km(self.burst)
        self.cap_km = min(float(self.top_km), burst_height_amsl_m(self.burst, SHOWN_SHARE) / 1000.0)
        self.ending_x = look.width_px - look.right_px - look.ending_px
        self.end_x = self.ending_x + look.ending_px
        self.links_x = self.ending_x - n_columns(outlook) * (look.link_px + look.gap_px)
        self.columns, self.left_out = self._columns()
        self.head_px = self._head_px()
        self.top = look.top_px + max((self._extra_px(c) for c in self.columns), default=0.0)

    def y(self, height_km: float) -> float:
        """Return where a height stands."""
        return self.top + self._span() * (1.0 - height_km / self.top_km)

    def _span(self) -> float:
        return self.look.height_px - self.top - self.look.bottom_px

    def _height_km(self, y: float) -> float:
        return self.top_km * (1.0 - (y - self.top) / self._span())

    def _columns(self) -> tuple[list[_Column], list[str]]:
        kept, left_out = shown_fields(self.outlook, self.look.n_columns)
        gap = self.look.gap_px
        room = self.links_x - 1.6 * gap - self.look.left_px - gap * max(0, len(kept) - 1)
        unit = room / max(2.0, len(kept) - 1.0 + FIRST_RATIO)
        columns, x = [], self.look.left_px
        for index, (n, field) in enumerate(kept):
            width = unit * (1.0 if index else FIRST_RATIO)
            columns.append(_Column(number=n, field=field, x=x, width=width))
            x += width + gap
        return columns, left_out

    def links(self) -> str:
        """Return the columns of picture, command and packs beside the fields."""
        look = self.look
        beside = Beside(
            x=self.links_x,
            width_px=look.link_px,
            gap_px=look.gap_px,
            head_px=look.word_px,
            head_y=self.top - 6.0,
            top_km=self.cap_km,
            key=self.key,
        )
        return beside_columns(self.outlook, beside, self.y)

    def rulings(self) -> str:
        """Return the level lines every 5 km."""
        return "".join(
            line(
                self.look.left_px,
                self.y(h),
                self.end_x,
                self.y(h),
                'class="s-rule" stroke-width="1.1"',
            )
            for h in range(0, self.top_km + 1, 5)
        )

    def column(self, column: _Column) -> str:
        """Return one field: its states, the stipple of the burst over them, its outline."""
        x, width, top = column.x, column.width, self.y(self.cap_km)
        clip = f"{self.key}-{column.number}"
        parts = [
            f'<clipPath id="{clip}">{rect(x, top - self.look.dot_px, width, 2e3)}</clipPath>',
            rect(x, top, width, self.y(0.0) - top, 'class="f-paper"'),
        ]
        bands = rising(column.field)
        parts += [self._band(column, band) for band in bands]
        parts += [f'<g clip-path="url(#{clip})">{self._stipple(column, b)}</g>' for b in bands]
        parts += [
            line(x, self.y(km), x + width, self.y(km), 'class="s-ink" stroke-width="1.2"')
            for km in (b.to_amsl_m / 1000.0 for b in bands)
            if km < self.cap_km
        ]
        bottom = number(self.y(0.0))
        outline = f"M{number(x)} {number(top)}V{bottom}H{number(x + width)}V{number(top)}"
        parts.append(path(outline, 'class="s-ink" stroke-width="2"'))
        return f"<g>{''.join(parts)}</g>"

    def _band(self, column: _Column, band: Band) -> str:
        low, high = band.from_amsl_m / 1000.0, min(self.cap_km, band.to_amsl_m / 1000.0)
        if high <= low:
            return ""
        box = (column.x, self.y(high), column.width, self.y(low) - self.y(high))
        strokes = state_rect(band.state, box, self.key)
        if band.state == "open":
            strokes += "".join(
                line(
                    column.x,
                    self.y(h),
                    column.x + column.width,
                    self.y(h),
                    'class="s-paper" stroke-width="1.3"',
                )
                for h in range(5, self.top_km, 5)
                if low < h < high
            )
        return strokes

    def _stipple(self, column: _Column, band: Band) -> str:
        low, high = band.from_amsl_m / 1000.0, band.to_amsl_m / 1000.0
        solid = band.state == "open"
        growth = GROWTH_ON_SOLID if solid else GROWTH_ON_PAPER
        paint = "s-paper" if solid else "s-burst"

        def inside(height_km: float) -> bool:
            return low < height_km <= min(high, self.cap_km + 0.4)

        rows = self._dots(column.x, column.width, growth, inside)
        return f'<g class="{paint}">{rows}</g>' if rows else ""

    def _dots(self, x: float, width: float, growth: float, inside: Callable[[float], bool]) -> str:
        step, rows = self.look.dot_px, []
        for row in range(int(self._span() / (step * ROW_RATIO)) + 1):
            y = self.y(0.0) - row * step * ROW_RATIO
            height_km = self._height_km(y)
            share = interpolated(self.burst.by_height, height_km * 1000.0)
            radius = min(0.48 * step, dot_radius(share, step, growth))
            if radius and inside(height_km):
                shift = step / 2.0 if row % 2 else 0.0
                rows.append(dot_row(x + shift, width - shift, y, step, radius))
        return "".join(rows)

    def ending(self) -> str:
        """Return the column of what ends the climb: dots, and three heights in words."""
        x, dots_px, parts = self.ending_x, self.look.dots_px, []
        if dots_px:
            room = dots_px - 6.0
            rows = self._dots(x + 3.0, room, GROWTH_ON_PAPER, lambda km: km <= self.cap_km)
            parts.append(f'<g class="s-burst">{rows}</g>')
        ys = [self.y(burst_height_amsl_m(self.burst, p) / 1000.0) for p in (0.05, 0.5, 0.95)]
        tight = ys[1] - ys[2] < self.look.small_px + 3.5  # then "half" stands under its ruling
        for y, words in zip(ys, ("1 in 20", "half", "19 in 20"), strict=True):
            left = self.look.left_px
            parts.append(line(left, y, x, y, 'class="s-paper" stroke-width="3.7"'))
            parts.append(line(left, y, self.end_x, y, 'class="s-burst" stroke-width="1.7"'))
            under = words == "1 in 20" or (tight and words == "half")
            below = self.look.small_px * 0.86 if under else -3.5
            style = 'font-weight="600" class="t-burst narrow"'
            parts.append(text(x + dots_px + 4.0, y + below, words, self.look.small_px, style))
        head_y = self.top - 8.0
        style = 'font-weight="600" class="t-burst narrow"'
        parts.append(text(x, head_y, "burst", self.look.word_px + 1.0, style))
        return "".join(parts)

    def ruler(self) -> str:
        """Return the height scale at the left edge."""
        left, parts = self.look.left_px, []
        for h in range(self.top_km + 1):
            long, stroke = (13.0, 2.6) if h % 5 == 0 else (6.0, 1.4)
            style = f'class="s-ink" stroke-width="{stroke}"'
            parts.append(line(left - long, self.y(h), left - 2.0, self.y(h), style))
        size = self.look.figure_px
        style = 'text-anchor="end" font-weight="600"'
        parts += [
            text(left - 18.0, self.y(h) + 0.35 * size, str(h), size, style)
            for h in range(0, self.top_km + 1, 5)
        ]
        # over the uppermost figure, which may stand at the very top
        lift = 0.45 * size if self.top_km % 5 == 0 else 0.0
        parts.append(text(left - 18.0, self.top - 4.0 - lift, "km", self.look.small_px, style))
        return "".join(parts)

    def beyond(self) -> str:
        """Return a dashed line at the height above which the winds are an extension."""
        amsl_m = self.outlook.ascent.beyond_amsl_m
        if amsl_m is None or not 0.0 < amsl_m / 1000.0 < self.top_km:
            return ""
        y = self.y(amsl_m / 1000.0)
        end_x = self.ending_x - 2.0  # the words beside it stay whole
        casing = line(self.look.left_px, y, end_x, y, 'class="s-paper" stroke-width="4"')
        style = 'class="s-guess" stroke-width="1.8" stroke-dasharray="7 4"'
        return casing + line(self.look.left_px, y, end_x, y, style)

    def times(self) -> str:
        """Return the clock at the right edge: when the balloon passes the ruled heights."""
        size, x, parts = self.look.figure_px, self.end_x + 12.0, []
        busy = self._window_busy()
        for h in range(0, int(self.cap_km) + 1, 5):
            after_launch_s = 0.0 if h == 0 else passage_s(self.outlook.ascent.track, h * 1000.0)
            y = self.y(h)
            if after_launch_s is None or busy[0] < y < busy[1]:
                continue
            style = 'class="s-ink" stroke-width="2"'
            parts.append(line(self.end_x + 2.0, y, x - 2.0, y, style))
            words = self.clock.local(after_launch_s)
            parts.append(text(self._figure_x(), y + 0.35 * size, words, size))
        return "".join(parts)

    def _figure_x(self) -> float:
        return self.look.width_px - 2.6 * self.look.window_px

    def _window_middle(self, release: ReleaseOutlook) -> float:
        window = release.window
        return (self.y(window.from_amsl_m / 1e3) + self.y(window.to_amsl_m / 1e3)) / 2.0

    def _window_busy(self) -> tuple[float, float]:
        if self.outlook.release is None:
            return 0.0, 0.0
        middle, size = self._window_middle(self.outlook.release), self.look.window_px
        return middle - 2.4 * size, middle + 1.5 * size

    def window(self) -> str:
        """Return the release window: a frame round its field, a bracket with the two times."""
        release = self.outlook.release
        if release is None:
            return ""
        low = self.y(release.window.from_amsl_m / 1000.0)
        high = self.y(release.window.to_amsl_m / 1000.0)
        # a window of a few hundred metres still gets a frame that can be seen
        low, high = max(low, (low + high) / 2.0 + 5.0), min(high, (low + high) / 2.0 - 5.0)
        parts = [self._frame(c, low, high) for c in self.columns if c.field.name == release.field]
        rx = self.end_x + 4.0
        bracket = [(rx, high), (rx + 11.0, high), (rx + 11.0, low), (rx, low)]
        parts.append(polyline(bracket, 'class="s-ink" stroke-width="4"'))
        return "".join(parts) + self._window_words(release, (low + high) / 2.0)

    def _frame(self, column: _Column, low: float, high: float) -> str:
        x, width, height = column.x - 5.0, column.width + 10.0, low - high
        return rect(x, high, width, height, 'class="s-paper" stroke-width="9"') + rect(
            x, high, width, height, 'class="s-ink" stroke-width="5" data-frame="window"'
        )

    def _window_words(self, release: ReleaseOutlook, middle: float) -> str:
        size, small, x = self.look.window_px, self.look.small_px, self._figure_x()
        start = self.clock.local(release.window.from_after_launch_s)
        last = self.clock.local(release.release_by_after_launch_s)
        side = 'text-anchor="end" font-weight="600" class="narrow"'
        y_last, y_start = middle - 0.15 * size, middle + 0.9 * size
        whole = self.look.width_px
        return "".join(
            (
                text(whole, y_last - size, "release", small, 'text-anchor="end" font-weight="600"'),
                text(x - 4.0, y_last, "by", small, side),
                text(x, y_last, last, size, 'font-weight="700"'),
                text(x - 4.0, y_start, "from", small, side),
                text(x, y_start, start, size, 'font-weight="700"'),
            )
        )

    def heads(self) -> str:
        """Return the names of the columns with number and role, and what is left out."""
        return "".join(self._head(column) for column in self.columns)

    def _head_px(self) -> float:
        """Return the largest size at which no name is cut, or the least there is."""
        for size in (self.look.head_px, 12.4, LEAST_PX):
            self.head_px = size
            if not any(name.endswith("…") for c in self.columns for name in self._name(c)):
                break
        return self.head_px

    def _name(self, column: _Column) -> list[str]:
        room = column.width + 0.5 * self.look.gap_px
        name = column.field.name
        lines = wrap(name, self.head_px, room, 2)
        if not lines or not lines[0].endswith("…") or len(lines) > 1:
            return lines
        half = (len(name) + 1) // 2  # one long word: better parted than cut
        parted = wrap(f"{name[:half]}- {name[half:]}", self.head_px, room, 2)
        return lines if any(part.endswith("…") for part in parted) else parted

    def _role(self, column: _Column) -> list[str]:
        """Return number and role on two lines at most: as many whole words as there is room for."""
        room, words = column.width + 0.2 * self.look.gap_px, column.field.role.split()
        while words:
            lines = wrap(f"{column.number}, {' '.join(words)}", self.look.word_px, room, 2)
            if not any(one.endswith("…") for one in lines) and words[-1] not in LINKS:
                return lines
            words.pop()
        return [str(column.number)]

    def _extra_px(self, column: _Column) -> float:
        """Return the room that a head takes beyond one line of name and one of role."""
        return (len(self._name(column)) - 1) * self.head_px + (
            len(self._role(column)) - 1
        ) * ROLE_LINE * self.look.word_px

    def _head(self, column: _Column) -> str:
        look, y, parts = self.look, self.top - 8.0, []
        for words in reversed(self._role(column)):
            style = 'font-weight="600" class="narrow"'
            parts.append(text(column.x, y, words, look.word_px, style))
            y -= ROLE_LINE * look.word_px
        for words in reversed(self._name(column)):
            parts.append(text(column.x, y, words, self.head_px, 'font-weight="700" class="narrow"'))
            y -= self.head_px
        return "".join(parts)

    def none(self) -> str:
        """Return the one empty column that stands where no field is prepared."""
        if self.columns:
            return ""
        look, top = self.look, self.y(self.cap_km)
        style = 'class="s-ink" stroke-width="2"'
        style_head = 'font-weight="700" class="narrow"'
        return rect(look.left_px, top, 80.0, self.y(0.0) - top, style) + text(
            look.left_px, self.top - 8.0, "no field", look.head_px, style_head
        )


def ladder_svg(outlook: Outlook, look: LadderLook = PAPER, key: str = "ladder") -> str:
    """Return the release chart as SVG; `key` keeps its ids apart from those of other pictures."""
    chart = _Chart(outlook, look, key)
    body = [patterns(key, 0.66), chart.rulings(), chart.none()]
    body += [chart.column(column) for column in chart.columns]
    body += [
        chart.links(),
        chart.ending(),
        chart.beyond(),
        chart.ruler(),
        chart.window(),
        chart.times(),
    ]
    body.append(chart.heads())
    label = ladder_sentence(outlook, chart.clock)
    return picture(look.width_px, look.height_px, label, "".join(body))


def left_out_words(outlook: Outlook, look: LadderLook = PAPER) -> str:
    """Return the names of fields that found no column, in words, or nothing."""
    _, names = shown_fields(outlook, look.n_columns)
    return f"Not drawn here: {', '.join(names)}; see the clock below." if names else ""
