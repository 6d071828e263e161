"""Margin curves: what is in hand of each link along the flight by stand, and against the range."""

from collections.abc import Iterator, Sequence
from itertools import pairwise
from math import log10
from typing import Final, NamedTuple

from farglide.outlook.links import HeardLink
from farglide.present.draw.svg import drawn, level, line, picture, polyline, rect, stroke, text
from farglide.present.say.links.aim import decibel_text
from farglide.present.say.text import FlightClock
from farglide.sortie.words import km_text

LOW_DB: Final = -12.0
HIGH_DB: Final = 30.0
_RULED_DB: Final = (-10, 0, 10, 20, 30)
_RULED_KM: Final = (1, 2, 5, 10, 20, 50, 100, 200)
_TICK_MIN: Final = 15
_DASHES: Final = ("", "14 5", "3 5", "14 5 3 5", "8 8", "1 9")
"""Stands in the order of the file; a seventh is drawn as the first."""
_STYLE: Final = (
    "<style>text{font-family:sans-serif;fill:#000}.halo{paint-order:stroke;stroke:#fff;"
    "stroke-width:4px}.s-ink,.s-rule,.s-link{fill:none}.s-ink{stroke:#000}.s-rule{stroke:#777}"
    ".s-link{stroke:#005a9e}</style>"
    '<defs><pattern id="lost" width="7" height="7" patternUnits="userSpaceOnUse" '
    'patternTransform="rotate(45)"><line x1="0" y1="0" x2="0" y2="7" class="s-rule" '
    'stroke-width="1.6"/></pattern></defs>'
)
WIDTH_PX: Final = 900.0
PANEL_PX: Final = 230.0
LEFT_PX: Final = 58.0
RIGHT_PX: Final = 170.0
TOP_PX: Final = 46.0
_GAP_PX: Final = 82.0
_TEXT_PX: Final = 15.0
_HEAD_PX: Final = 18.0
_END_X: Final = WIDTH_PX - RIGHT_PX


class Ending(NamedTuple):
    """When the climb ends, and what ends it, in words."""

    after_launch_s: float
    words: str


class _Panel:
    """One chart: decibels upward, the threshold as a heavy line, what is below it hatched out."""

    def __init__(self, place: int, low: float, high: float) -> None:
        self.low, self.high = low, high  # of the level axis
        self.top = TOP_PX + place * (PANEL_PX + _GAP_PX)
        self.bottom = self.y(LOW_DB)

    def x(self, value: float) -> float:
        share = (value - self.low) / (self.high - self.low)
        return LEFT_PX + (_END_X - LEFT_PX) * min(max(share, 0.0), 1.0)

    def y(self, margin_db: float) -> float:
        inside = min(max(margin_db, LOW_DB), HIGH_DB)
        return self.top + PANEL_PX * (HIGH_DB - inside) / (HIGH_DB - LOW_DB)

    @drawn
    def frame(self, title: str) -> Iterator[str]:
        """Return the scale in decibels and the head."""
        yield text(0.0, self.top - 22.0, title, _HEAD_PX, 'font-weight="700"')
        zero = self.y(0.0)
        lost = (LEFT_PX, zero, _END_X - LEFT_PX, self.bottom - zero)
        yield rect(*lost, 'fill="url(#lost)"')
        for db in _RULED_DB:
            y = self.y(db)
            yield level(LEFT_PX, _END_X, y, stroke(1, "rule") if db else stroke(3))
            words = decibel_text(db) if db else "0 dB"
            yield text(LEFT_PX - 8.0, y + 0.35 * _TEXT_PX, words, _TEXT_PX, 'text-anchor="end"')

    def tick(self, x: float, words: str) -> str:
        """Return a tick of the level axis with its words."""
        y = self.bottom + 6.0
        mark = line(x, self.bottom, x, y, stroke(2))
        return mark + text(x, y + _TEXT_PX, words, _TEXT_PX, 'text-anchor="middle"')


def margins_svg(links: Sequence[HeardLink], clock: FlightClock, end: Ending) -> str:
    """Return all margin curves as one picture; links without a stand have the range alone."""
    heard = [link for link in links if link.stands]
    panels = [_along(link, clock, end, place) for place, link in enumerate(heard)]
    panels.append(_by_range(links, len(heard)))
    height = TOP_PX + (PANEL_PX + _GAP_PX) * len(panels)
    words = " ".join(_link_sentence(link, clock) for link in links)
    paper = rect(0.0, 0.0, WIDTH_PX, height, 'fill="#fff"')
    return picture(WIDTH_PX, height, f"Margins. {words}", _STYLE + paper + "".join(panels))


@drawn
def _along(link: HeardLink, clock: FlightClock, end: Ending, place: int) -> Iterator[str]:
    """Return one link along the planned flight, a line for each stand with its weakest moment."""
    points = link.stands[0].margin_db
    panel = _Panel(place, points[0].after_launch_s, points[-1].after_launch_s)
    yield panel.frame(f"{link.name} along the planned flight, margin in decibels")
    step_s = 60.0 * _TICK_MIN
    for after_s in (i * step_s for i in range(int(panel.high / step_s) + 1)):
        yield panel.tick(panel.x(after_s), clock.local(after_s))
    x, words = panel.x(end.after_launch_s), f"{end.words} {clock.local(end.after_launch_s)}"
    yield line(x, panel.top, x, panel.bottom, stroke(1.6))
    style = 'text-anchor="end" class="halo"'
    yield text(x - 5.0, panel.top + _TEXT_PX, words, _TEXT_PX, style)
    for i, stand in enumerate(link.stands):
        curve = ((panel.x(p.after_launch_s), panel.y(p.p50)) for p in stand.margin_db)
        yield polyline(curve, _stroke(i))
    for i, stand in enumerate(link.stands):
        x, y = _END_X + 12.0, panel.top + _TEXT_PX + i * 2.9 * _TEXT_PX
        yield level(x, x + 34.0, y - 0.35 * _TEXT_PX, _stroke(i))
        yield text(x + 40.0, y, stand.name, _TEXT_PX, 'font-weight="600"')
        least = f"least {decibel_text(stand.weakest.p50)} dB"
        yield text(x + 40.0, y + 1.15 * _TEXT_PX, least, _TEXT_PX)


def _stroke(i: int) -> str:
    """Return the stroke of a stand or link by its number."""
    return f'{stroke(3.4, "link")} stroke-dasharray="{_DASHES[i % len(_DASHES)]}"'


@drawn
def _by_range(links: Sequence[HeardLink], place: int) -> Iterator[str]:
    """Return every link against the slant range in free space, its reach marked."""
    panel = _Panel(place, log10(_RULED_KM[0]), log10(2.0 * _RULED_KM[-1]))
    yield panel.frame("in free space, against the slant range, margin in decibels")
    yield from (panel.tick(panel.x(log10(km)), f"{km} km") for km in _RULED_KM)
    grid = [_RULED_KM[0] * 10.0 ** (0.02 * k) for k in range(130)]
    for i, link in enumerate(links):
        known = [(km, 20.0 * log10(link.reach_m / (1e3 * km))) for km in grid]
        shown = (a for a, b in pairwise(known) if LOW_DB < a[1] < HIGH_DB)
        yield polyline(((panel.x(log10(km)), panel.y(db)) for km, db in shown), _stroke(i))
        x, y = _END_X + 12.0, panel.top + _TEXT_PX + i * 3.1 * _TEXT_PX
        yield level(x, x + 34.0, y - 5.0, _stroke(i))
        yield text(x + 40.0, y, link.name, _TEXT_PX, 'font-weight="600"')
        reach = f"{km_text(link.reach_m, 0)} km; 6 dB: {km_text(link.half_reach_m, 0)}"
        yield text(x + 12.0, y + 1.2 * _TEXT_PX, reach, _TEXT_PX)


def _link_sentence(link: HeardLink, clock: FlightClock) -> str:
    parts = [f"{link.name}: {km_text(link.reach_m, 0)} km in free space"]
    for stand in link.stands:
        least = stand.weakest
        at = clock.local(least.after_launch_s)
        parts.append(f"from {stand.name} {decibel_text(least.p50)} dB at least, at {at}")
    return f"{', '.join(parts)}."
