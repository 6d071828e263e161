"""The release chart: for each field a column over height, its state if released there."""

from collections.abc import Iterator

from farglide.outlook.fields import Band
from farglide.outlook.outlook import Outlook
from farglide.present.draw import svg
from farglide.present.draw.ladder.ending import (
    Stippled,
    dots,
    ending,
)
from farglide.present.draw.ladder.frame import HATCH, PAPER, ChartFrame, FieldColumn, LadderLook
from farglide.present.draw.ladder.links import beside_columns
from farglide.present.draw.ladder.window import framed_km, times, window
from farglide.present.draw.lookup import shown_fields
from farglide.present.say.sentences import ladder_sentence, rising


class _Chart(ChartFrame):
    """The strokes of one chart."""

    @svg.drawn
    def rulings(self) -> Iterator[str]:
        """Return the level lines every 5 km."""
        for km in range(0, self.top_km + 1, 5):
            yield svg.level(self.look.left_px, self.ending_x, self.y(km), svg.stroke(1.1, "rule"))

    @svg.drawn
    def column(self, column: FieldColumn) -> Iterator[str]:
        """Return one field: its states, the stipple of the burst over them, its outline."""
        x, end_x, width = column.x, column.x + column.width, column.width
        top, bottom = self.y(self.cap_km), self.y(0.0)
        clip, bands = f"{self.key}-{column.number}", rising(column.field)
        clipped = svg.rect(x, top - self.look.dot_px, width, 2e3)
        yield f'<g><clipPath id="{clip}">{clipped}</clipPath>'
        yield svg.rect(x, top, width, bottom - top, 'class="f-paper"')
        yield from (self._band(column, band) for band in bands)
        yield from (f'<g clip-path="url(#{clip})">{self._stipple(column, b)}</g>' for b in bands)
        for km in (band.to_amsl_m / 1000.0 for band in bands):
            if km < self.cap_km:
                yield svg.level(x, end_x, self.y(km), svg.stroke(1.2))
        left, right, upper, lower = map(svg.number, (x, end_x, top, bottom))
        yield svg.path(f"M{left} {upper}V{lower}H{right}V{upper}", svg.stroke(2)) + "</g>"

    @svg.drawn
    def _band(self, column: FieldColumn, band: Band) -> Iterator[str]:
        low, high = band.from_amsl_m / 1000.0, min(self.cap_km, band.to_amsl_m / 1000.0)
        if high <= low:
            return
        box = svg.Box(column.x, self.y(high), column.width, self.y(low) - self.y(high))
        yield svg.state_rect(band.state, box, HATCH)
        for km in range(5, self.top_km, 5):
            if band.state == "open" and low < km < high:
                yield svg.level(box.x, box.x + box.width, self.y(km), svg.stroke(1.3, "paper"))

    def _stipple(self, column: FieldColumn, band: Band) -> str:
        low, high = band.from_amsl_m / 1000.0, min(band.to_amsl_m / 1000.0, self.cap_km + 0.4)
        framed = framed_km(self, column)
        where = Stippled(
            column.x, column.width, "paper" if band.state == "open" else "burst",
            lambda km: low < km <= high and not framed[0] <= km <= framed[1],
        )  # fmt: skip
        return dots(self, where)

    @svg.drawn
    def ruler(self) -> Iterator[str]:
        """Return the height scale at the left edge."""
        left, size = self.look.left_px, self.look.figure_px
        for km in range(self.top_km + 1):
            long, stroke_px = (5.0, 1.4) if km % 5 else (11.0, 2.6)
            yield svg.level(left - long, left - 2.0, self.y(km), svg.stroke(stroke_px))
        style = 'text-anchor="end" font-weight="600"'
        for km in range(0, self.top_km + 1, 5):
            yield svg.text(left - 14.0, self.y(km) + 0.36 * size, str(km), size, style)
        # over the uppermost figure, which may stand at the very top
        lift = 0.0 if self.top_km % 5 else 0.6 * size
        yield svg.text(left - 14.0, self.top - 4.0 - lift, "km", self.look.small_px, style)

    def beyond(self) -> str:
        """Return a dashed line at the height above which the winds are an extension."""
        amsl_m = self.outlook.ascent.beyond_amsl_m
        if amsl_m is None or not 0.0 < amsl_m / 1000.0 < self.top_km:
            return ""
        ends = (self.look.left_px, self.ending_x - 2.0)  # the words beside it stay whole
        y, dashed = self.y(amsl_m / 1000.0), svg.stroke(1.8, "guess", "7 4")
        return svg.level(*ends, y, svg.stroke(4, "paper")) + svg.level(*ends, y, dashed)

    def none(self) -> str:
        """Return the one empty column that stands where no field is prepared."""
        if self.columns:
            return ""
        left, top = self.look.left_px, self.y(self.cap_km)
        style = 'font-weight="700" class="narrow"'
        box = svg.rect(left, top, 80.0, self.y(0.0) - top, svg.stroke(2))
        return box + svg.text(left, self.top - 8.0, "no field", self.look.head_px, style)


def ladder_svg(outlook: Outlook, look: LadderLook = PAPER, key: str = "ladder") -> str:
    """Return the release chart as SVG; `key` keeps its ids apart from those of other pictures."""
    chart = _Chart(outlook, look, key)
    body = [chart.rulings(), chart.none()]
    body += [chart.column(column) for column in chart.columns]
    body += [beside_columns(chart), ending(chart), chart.beyond(), chart.ruler()]
    body += [window(chart), times(chart), chart.heads.strokes(chart.top)]
    label = ladder_sentence(outlook, chart.clock)
    return svg.picture(look.width_px, look.height_px, label, "".join(body))


def left_out_words(outlook: Outlook, look: LadderLook = PAPER) -> str:
    """Return the names of fields that found no column, in words, or nothing."""
    kept = shown_fields(outlook, look.n_columns)
    names = [field.name for n, field in enumerate(outlook.fields, start=1) if n not in kept]
    return f"Not drawn here: {', '.join(names)}; see the clock below." if names else ""
