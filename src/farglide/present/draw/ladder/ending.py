"""What ends the climb, at the right of the release chart: dots, and three heights in words."""

from collections.abc import Callable, Iterator
from itertools import pairwise
from typing import Final, NamedTuple

from farglide.present.draw import svg
from farglide.present.draw.apart import spread
from farglide.present.draw.ladder.frame import ChartFrame, FieldColumn
from farglide.present.draw.lookup import burst_height_amsl_m, interpolated
from farglide.present.say.sentences import rising

_GROWTH: Final = {"burst": 0.34, "paper": 0.44}  # of dots on paper, and of paper dots on solid
SHARES: Final = ((0.95, "19 in 20"), (0.5, "5 in 10"), (0.05, "1 in 20"))
_LINE_PX: Final = 1.9
_WIDE_PX: Final = 12.0  # between columns a line needs no paper around it
_STYLE: Final = 'font-weight="600" class="t-burst narrow"'


class Stippled(NamedTuple):
    """Where dots may stand: across a width, at heights of which `is_inside` tells."""

    x: float
    width: float
    paint: str
    is_inside: Callable[[float], bool]


def dots(chart: ChartFrame, where: Stippled) -> str:
    """Return rows of dots, the more of the balloons have burst below, the larger; or nothing."""
    rows = "".join(_rows(chart, where))
    dashes = f'stroke-linecap="round" stroke-dasharray="0 {svg.number(chart.look.dot_px)}"'
    return f'<g class="s-{where.paint}" {dashes} data-dots="burst">{rows}</g>' if rows else ""


def _rows(chart: ChartFrame, where: Stippled) -> Iterator[str]:
    step, growth = chart.look.dot_px, _GROWTH[where.paint]
    for row in range(int(chart.span() / (step * svg.ROW_RATIO)) + 1):
        y = chart.y(0.0) - row * step * svg.ROW_RATIO
        height_km = chart.height_km(y)
        share = interpolated(chart.burst.by_height, height_km * 1000.0)
        radius = min(0.48 * step, svg.dot_radius(share, step, growth))
        if radius and where.is_inside(height_km):
            shift = step / 2.0 if row % 2 else 0.0
            x, width = where.x + shift, max(0.01, where.width - shift)
            d = f"M{svg.number(x)} {svg.number(y)}h{svg.number(width)}"
            yield svg.path(d, f'stroke-width="{svg.number(2.0 * radius)}"')


@svg.drawn
def ending(chart: ChartFrame) -> Iterator[str]:
    """Return the dots of the burst, its lines across the columns, and their words at the ends."""
    look, x, size = chart.look, chart.ending_x, chart.look.small_px
    if look.dots_px:
        yield dots(
            chart, Stippled(x + 2.0, look.dots_px - 4.0, "burst", lambda km: km <= chart.cap_km)
        )
    at_km = [burst_height_amsl_m(chart.burst, share) / 1000.0 for share, _ in SHARES]
    ys = [chart.y(min(km, chart.top_km)) for km in at_km]
    low, high = chart.top + size, chart.look.height_px - look.bottom_px
    labels = spread(ys, 1.15 * size, low, high)
    for (_, words), km, y, label_y in zip(SHARES, at_km, ys, labels, strict=True):
        yield from _line(chart, km, y)
        end_x = x + look.dots_px + 6.0
        yield svg.line(end_x - 6.0, y, end_x - 1.0, label_y, svg.stroke(_LINE_PX, "burst"))
        yield svg.text(end_x, label_y + 0.36 * size, words, size, _STYLE)
    yield svg.text(x, chart.top - 8.0, "burst", look.word_px, _STYLE)


def _line(chart: ChartFrame, km: float, y: float) -> Iterator[str]:
    """Yield one line of the burst: in its own colour on paper, in that of paper on solid."""
    edges = [chart.look.left_px]
    for column in chart.columns:
        if _is_open(column, km):
            edges += [column.x, column.x + column.width]
    edges.append(chart.ending_x + chart.look.dots_px)
    for n, (start, end) in enumerate(pairwise(edges)):
        if end <= start:
            continue
        if n % 2:
            yield svg.level(start, end, y, f'{svg.stroke(_LINE_PX, "paper")} data-burst="on-solid"')
            continue
        if end - start > _WIDE_PX:
            yield svg.level(start, end, y, svg.stroke(4.0, "paper"))
        yield svg.level(start, end, y, f'{svg.stroke(_LINE_PX, "burst")} data-burst="on-paper"')


def _is_open(column: FieldColumn, km: float) -> bool:
    bands = rising(column.field)
    return any(b.state == "open" and b.from_amsl_m <= 1000.0 * km <= b.to_amsl_m for b in bands)
