"""The release chart: for each field a column over height, its state if released there."""

from collections.abc import Callable
from typing import Final

from farglide.outlook.fields import Band
from farglide.outlook.outlook import Outlook
from farglide.present.draw.ladder.frame import PAPER, ChartFrame, FieldColumn, LadderLook
from farglide.present.draw.ladder.links import Beside, beside_columns
from farglide.present.draw.ladder.window import times, window
from farglide.present.draw.lookup import burst_height_amsl_m, interpolated, shown_fields
from farglide.present.draw.svg import (
    ROW_RATIO,
    dot_radius,
    dot_row,
    level,
    number,
    path,
    patterns,
    picture,
    rect,
    state_rect,
    text,
)
from farglide.present.say.sentences import ladder_sentence, rising

GROWTH_ON_PAPER: Final = 0.34
GROWTH_ON_SOLID: Final = 0.44


class _Chart(ChartFrame):
    """The strokes of one chart."""

    def links(self) -> str:
        """Return the columns of picture, command and packs beside the fields."""
        look = self.look
        sizes = (look.link_px, look.gap_px, look.word_px)
        beside = Beside(self.links_x, *sizes, self.top - 6.0, self.cap_km, self.key)
        return beside_columns(self.outlook, beside, self.y)

    def rulings(self) -> str:
        """Return the level lines every 5 km."""
        style = 'class="s-rule" stroke-width="1.1"'
        heights = range(0, self.top_km + 1, 5)
        return "".join(level(self.look.left_px, self.end_x, self.y(h), style) for h in heights)

    def column(self, column: FieldColumn) -> str:
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
            level(x, x + width, self.y(km), 'class="s-ink" stroke-width="1.2"')
            for km in (b.to_amsl_m / 1000.0 for b in bands)
            if km < self.cap_km
        ]
        bottom = number(self.y(0.0))
        outline = f"M{number(x)} {number(top)}V{bottom}H{number(x + width)}V{number(top)}"
        parts.append(path(outline, 'class="s-ink" stroke-width="2"'))
        return f"<g>{''.join(parts)}</g>"

    def _band(self, column: FieldColumn, band: Band) -> str:
        low, high = band.from_amsl_m / 1000.0, min(self.cap_km, band.to_amsl_m / 1000.0)
        if high <= low:
            return ""
        box = (column.x, self.y(high), column.width, self.y(low) - self.y(high))
        strokes = state_rect(band.state, box, self.key)
        if band.state == "open":
            style, end_x = 'class="s-paper" stroke-width="1.3"', column.x + column.width
            inside = (h for h in range(5, self.top_km, 5) if low < h < high)
            strokes += "".join(level(column.x, end_x, self.y(h), style) for h in inside)
        return strokes

    def _stipple(self, column: FieldColumn, band: Band) -> str:
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
        for row in range(int(self.span() / (step * ROW_RATIO)) + 1):
            y = self.y(0.0) - row * step * ROW_RATIO
            height_km = self.height_km(y)
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
        style = 'font-weight="600" class="t-burst narrow"'
        tight = ys[1] - ys[2] < self.look.small_px + 3.5  # then "half" stands under its ruling
        for y, words in zip(ys, ("1 in 20", "half", "19 in 20"), strict=True):
            left = self.look.left_px
            parts.append(level(left, x, y, 'class="s-paper" stroke-width="3.7"'))
            parts.append(level(left, self.end_x, y, 'class="s-burst" stroke-width="1.7"'))
            under = words == "1 in 20" or (tight and words == "half")
            below = self.look.small_px * 0.86 if under else -3.5
            parts.append(text(x + dots_px + 4.0, y + below, words, self.look.small_px, style))
        parts.append(text(x, self.top - 8.0, "burst", self.look.word_px + 1.0, style))
        return "".join(parts)

    def ruler(self) -> str:
        """Return the height scale at the left edge."""
        left, parts = self.look.left_px, []
        for h in range(self.top_km + 1):
            long, stroke = (13.0, 2.6) if h % 5 == 0 else (6.0, 1.4)
            style = f'class="s-ink" stroke-width="{stroke}"'
            parts.append(level(left - long, left - 2.0, self.y(h), style))
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
        casing = level(self.look.left_px, end_x, y, 'class="s-paper" stroke-width="4"')
        style = 'class="s-guess" stroke-width="1.8" stroke-dasharray="7 4"'
        return casing + level(self.look.left_px, end_x, y, style)

    def none(self) -> str:
        """Return the one empty column that stands where no field is prepared."""
        if self.columns:
            return ""
        look, top = self.look, self.y(self.cap_km)
        high, style = self.y(0.0) - top, 'font-weight="700" class="narrow"'
        box = rect(look.left_px, top, 80.0, high, 'class="s-ink" stroke-width="2"')
        return box + text(look.left_px, self.top - 8.0, "no field", look.head_px, style)


def ladder_svg(outlook: Outlook, look: LadderLook = PAPER, key: str = "ladder") -> str:
    """Return the release chart as SVG; `key` keeps its ids apart from those of other pictures."""
    chart = _Chart(outlook, look, key)
    body = [patterns(key, 0.66), chart.rulings(), chart.none()]
    body += [chart.column(column) for column in chart.columns]
    body += [chart.links(), chart.ending(), chart.beyond(), chart.ruler()]
    body += [window(chart), times(chart), chart.heads()]
    label = ladder_sentence(outlook, chart.clock)
    return picture(look.width_px, look.height_px, label, "".join(body))


def left_out_words(outlook: Outlook, look: LadderLook = PAPER) -> str:
    """Return the names of fields that found no column, in words, or nothing."""
    _, names = shown_fields(outlook, look.n_columns)
    return f"Not drawn here: {', '.join(names)}; see the clock below." if names else ""
