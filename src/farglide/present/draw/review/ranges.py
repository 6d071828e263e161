"""Ranges: each promise of a flight as a bar, and where it came."""

from collections.abc import Iterator
from typing import Final

from farglide.outlook.review import FlightReview, Promise
from farglide.present.draw.svg import drawn, level, line, picture, rect, ring, stroke, text
from farglide.present.say.review.numbers import came_text, told_text
from farglide.present.say.review.parts import flight_clock
from farglide.present.say.text import FlightClock

WIDTH_PX: Final = 737.0
_ROW_PX: Final = 21.0
_LEFT_PX: Final = 288.0
_RIGHT_PX: Final = 150.0
_TOP_PX: Final = 20.0
_TEXT_PX: Final = 12.5
_MOST_RATIO: Final = 0.5
"""Share of the width that the widest range of a row takes; what came farther off lies at an end."""
NOTE: Final = (
    "Each row in its own measure: the line is the range of 9 in 10 (of 8 in 10 or a window where "
    "the table says so), the box that of 5 in 10, the stroke across the middle, the ring how it "
    "came; an arrow where it came beyond the edge, or is only known to be more."
)


def shown_promises(one: FlightReview) -> list[Promise]:
    """Return the promises that have a range, and that somebody saw."""
    return [each for each in one.promises if each.most_low is not None and each.came is not None
            and each.most_high is not None and each.most_high > each.most_low]  # fmt: skip


def ranges_svg(one: FlightReview) -> str:
    """Return the promises of a flight as bars, one below the other; empty without any."""
    rows = shown_promises(one)
    if not rows:
        return ""
    height_px = _TOP_PX + _ROW_PX * len(rows) + 6.0
    label = f"{len(rows)} promises of {one.name} as ranges, and how each came"
    return picture(WIDTH_PX, height_px, label, _body(one, rows))


@drawn
def _body(one: FlightReview, rows: list[Promise]) -> Iterator[str]:
    clock = flight_clock(one)
    yield text(0.0, 13.0, "promise", _TEXT_PX, 'font-weight="600"')
    yield text(WIDTH_PX, 13.0, "came", _TEXT_PX, 'font-weight="600" text-anchor="end"')
    yield level(0.0, WIDTH_PX, _TOP_PX - 1.0, stroke(1.2, "rule"))
    for k, each in enumerate(rows):
        yield from _row(each, clock, _TOP_PX + _ROW_PX * (k + 0.5))


def _row(each: Promise, clock: FlightClock, y: float) -> Iterator[str]:
    low, high = each.most_low or 0.0, each.most_high or 0.0
    middle = told_text(each.middle, each.unit, clock)
    who = each.told.partition(",")[0]
    words = f"{each.what}, {who}" + (f": {middle}" if each.middle else "")
    yield text(0.0, y + 4.0, words, _TEXT_PX)
    yield text(WIDTH_PX, y + 4.0, came_text(each, clock), _TEXT_PX, 'text-anchor="end"')

    def x(value: float) -> float:
        span_px = WIDTH_PX - _LEFT_PX - _RIGHT_PX
        share = 0.5 + _MOST_RATIO * ((value - low) / (high - low) - 0.5)
        return _LEFT_PX + span_px * min(max(share, 0.0), 1.0)

    yield rect(x(low), y - 2.0, x(high) - x(low), 4.0, 'class="f-ink"')
    if each.half_low is not None and each.half_high is not None:
        box = (x(each.half_low), y - 6.0, x(each.half_high) - x(each.half_low), 12.0)
        yield rect(*box, 'class="f-paper s-mark" stroke-width="1.6"')
    if low < each.middle < high:
        yield line(x(each.middle), y - 6.5, x(each.middle), y + 6.5, stroke(1.6))
    came = x(each.came or 0.0)
    yield ring(came, y, 5.0)
    if each.at_least or came >= WIDTH_PX - _RIGHT_PX - 0.5:
        yield line(came + 6.0, y, came + 15.0, y, stroke(1.6))
        yield line(came + 11.0, y - 3.5, came + 15.0, y, stroke(1.6))
        yield line(came + 11.0, y + 3.5, came + 15.0, y, stroke(1.6))
