"""Ranges: each promise of a flight as a bar, and where it came."""

from collections.abc import Iterator
from typing import Final, NamedTuple

from farglide.outlook.review import FlightReview, Promise
from farglide.present.draw.svg import drawn, level, line, picture, rect, ring, stroke, text
from farglide.present.say.review.numbers import came_text, told_text
from farglide.present.say.review.parts import flight_clock
from farglide.present.say.text import FlightClock


class Layout(NamedTuple):
    """How wide the picture is, where its bars begin and end, and how high a row is."""

    width_px: float
    from_px: float
    to_px: float
    row_px: float
    words_px: float  # baseline of the words, from the top of the row
    bar_px: float  # middle of the bar
    n_letters: int  # that the words have room for


WIDE: Final = Layout(737.0, 288.0, 587.0, 21.0, 14.5, 10.5, 48)
PHONE: Final = Layout(358.0, 12.0, 330.0, 40.0, 13.0, 28.0, 36)
_TOP_PX: Final = 20.0
_TEXT_PX: Final = 12.5
_MOST_RATIO: Final = 0.5
"""Share of the width that a range takes; what came farther off lies at an end."""
NOTE: Final = (
    "Each row in its own measure: the line is the range of 9 in 10 (of 8 in 10 or a window where "
    "the table says so), the box that of 5 in 10, the stroke across the middle, the ring how it "
    "came; an arrow where it came beyond the edge, or is only known to be more."
)


def shown_promises(one: FlightReview) -> list[Promise]:
    """Return the promises that have a range, and that somebody saw."""
    return [each for each in one.promises if each.most_low is not None and each.came is not None
            and each.most_high is not None and each.most_high > each.most_low]  # fmt: skip


def ranges_svg(one: FlightReview, layout: Layout = WIDE) -> str:
    """Return the promises of a flight as bars, one below the other; empty without any."""
    rows = shown_promises(one)
    if not rows:
        return ""
    height_px = _TOP_PX + layout.row_px * len(rows) + 6.0
    label = f"{len(rows)} promises of {one.name} as ranges, and how each came"
    return picture(layout.width_px, height_px, label, _body(one, rows, layout))


@drawn
def _body(one: FlightReview, rows: list[Promise], layout: Layout) -> Iterator[str]:
    clock = flight_clock(one)
    yield text(0.0, 13.0, "promise", _TEXT_PX, 'font-weight="600"')
    yield text(layout.width_px, 13.0, "came", _TEXT_PX, 'font-weight="600" text-anchor="end"')
    yield level(0.0, layout.width_px, _TOP_PX - 1.0, stroke(1.2, "rule"))
    for k, each in enumerate(rows):
        top = _TOP_PX + layout.row_px * k
        words, came = _words(each, clock, layout.n_letters), came_text(each, clock)
        yield text(0.0, top + layout.words_px, words, _TEXT_PX)
        yield text(layout.width_px, top + layout.words_px, came, _TEXT_PX, 'text-anchor="end"')
        yield from _bar(each, layout, top + layout.bar_px)


def _words(each: Promise, clock: FlightClock, n_letters: int) -> str:
    """Return what was told by whom, and its middle where that has room."""
    words = f"{each.what}, {each.told.partition(',')[0]}"
    middle = f": {told_text(each.middle, each.unit, clock)}" if each.middle else ""
    if len(words + middle) <= n_letters:
        return words + middle
    return words if len(words) <= n_letters else f"{words[: n_letters - 1]}…"


def _bar(each: Promise, layout: Layout, y: float) -> Iterator[str]:
    low, high, came = each.most_low or 0.0, each.most_high or 0.0, each.came or 0.0

    def x(value: float) -> float:
        share = 0.5 + _MOST_RATIO * ((value - low) / (high - low) - 0.5)
        return layout.from_px + (layout.to_px - layout.from_px) * min(max(share, 0.0), 1.0)

    yield rect(x(low), y - 2.0, x(high) - x(low), 4.0, 'class="f-ink"')
    if each.half_low is not None and each.half_high is not None:
        box = (x(each.half_low), y - 6.0, x(each.half_high) - x(each.half_low), 12.0)
        yield rect(*box, 'class="f-paper s-mark" stroke-width="1.6"')
    if low < each.middle < high:
        yield line(x(each.middle), y - 6.5, x(each.middle), y + 6.5, stroke(1.6))
    yield ring(x(came), y, 5.0)
    if each.at_least or x(came) >= layout.to_px - 0.5:
        yield from _arrow(x(came), y)


def _arrow(x: float, y: float) -> Iterator[str]:
    yield line(x + 6.0, y, x + 15.0, y, stroke(1.6))
    yield line(x + 11.0, y - 3.5, x + 15.0, y, stroke(1.6))
    yield line(x + 11.0, y + 3.5, x + 15.0, y, stroke(1.6))
