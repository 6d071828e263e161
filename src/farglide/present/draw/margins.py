"""Margin curves: what is in hand of each link along the flight by stand, and against the range."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import log10
from typing import Final

from farglide.outlook.links import HeardLink, HeardStand
from farglide.present.draw.svg import level, line, picture, polyline, rect, text
from farglide.present.say.links.aim import decibel_text
from farglide.present.say.text import FlightClock, km_text

LOW_DB: Final = -12.0
HIGH_DB: Final = 30.0
_RULED_DB: Final = (-10, 0, 10, 20, 30)
_RULED_KM: Final = (1, 2, 5, 10, 20, 50, 100, 200)
_TICK_MIN: Final = 15
_DASHES: Final = ("", "14 5", "3 5", "14 5 3 5", "8 8", "1 9")
"""Stands in the order of the file; a seventh is drawn as the first."""


@dataclass(frozen=True, slots=True, kw_only=True)
class MarginLook:
    """Sizes in pixels of the picture."""

    width_px: float = 900.0
    panel_px: float = 230.0
    left_px: float = 58.0
    right_px: float = 170.0
    top_px: float = 46.0
    gap_px: float = 82.0
    text_px: float = 15.0
    head_px: float = 18.0


SHEET: Final = MarginLook()


class _Panel:
    """One chart: decibels upward, the threshold as a heavy line, what is below it hatched out."""

    def __init__(self, look: MarginLook, top: float, span: tuple[float, float]) -> None:
        self.look, self.top, self.span = look, top, span
        self.right = look.width_px - look.right_px

    def x(self, value: float) -> float:
        low, high = self.span
        share = (value - low) / (high - low)
        return self.look.left_px + (self.right - self.look.left_px) * min(max(share, 0.0), 1.0)

    def y(self, margin_db: float) -> float:
        inside = min(max(margin_db, LOW_DB), HIGH_DB)
        return self.top + self.look.panel_px * (HIGH_DB - inside) / (HIGH_DB - LOW_DB)

    def frame(self, title: str) -> str:
        """Return the scale in decibels and the head."""
        look, parts = self.look, []
        parts.append(text(0.0, self.top - 22.0, title, look.head_px, 'font-weight="700"'))
        box = (look.left_px, self.y(0.0), self.right - look.left_px, self.y(LOW_DB) - self.y(0.0))
        parts.append(rect(*box, 'fill="url(#lost)"'))
        for db in _RULED_DB:
            weight = "3" if db == 0 else "1"
            style = f'class="{"s-ink" if db == 0 else "s-rule"}" stroke-width="{weight}"'
            parts.append(level(look.left_px, self.right, self.y(db), style))
            words, y = decibel_text(db) if db else "0 dB", self.y(db) + 0.35 * look.text_px
            parts.append(text(look.left_px - 8.0, y, words, look.text_px, 'text-anchor="end"'))
        return "".join(parts)

    def tick(self, x: float, words: str) -> str:
        """Return a tick of the level axis with its words."""
        bottom = self.y(LOW_DB)
        mark = line(x, bottom, x, bottom + 6.0, 'class="s-ink" stroke-width="2"')
        style = 'text-anchor="middle"'
        return mark + text(x, bottom + 6.0 + self.look.text_px, words, self.look.text_px, style)


def margins_svg(
    links: Sequence[HeardLink],
    clock: FlightClock,
    ends: tuple[float, str],
    look: MarginLook = SHEET,
) -> str:
    """Return all margin curves as one picture; links without a stand have the range alone.

    `ends`: when the climb ends, seconds after the launch, and what ends it, in words.
    """
    drawn = [link for link in links if link.stands]
    panels = [_along(link, clock, ends, look, i) for i, link in enumerate(drawn)]
    panels.append(_by_range(links, look, len(drawn)))
    height = look.top_px + (look.panel_px + look.gap_px) * len(panels)
    words = " ".join(_link_sentence(link, clock) for link in links)
    style = (
        "<style>text{font-family:sans-serif;fill:#000}.halo{paint-order:stroke;stroke:#fff;"
        "stroke-width:4px}.s-ink,.s-rule,.s-link{fill:none}.s-ink{stroke:#000}.s-rule{stroke:#777}"
        ".s-link{stroke:#005a9e}</style>"
        '<defs><pattern id="lost" width="7" height="7" patternUnits="userSpaceOnUse" '
        'patternTransform="rotate(45)"><line x1="0" y1="0" x2="0" y2="7" class="s-rule" '
        'stroke-width="1.6"/></pattern></defs>'
    )
    paper = rect(0.0, 0.0, look.width_px, height, 'fill="#fff"')
    return picture(look.width_px, height, f"Margins. {words}", style + paper + "".join(panels))


def _along(
    link: HeardLink, clock: FlightClock, ends: tuple[float, str], look: MarginLook, place: int
) -> str:
    """Return one link along the planned flight, a line for each stand."""
    points = link.stands[0].margin_db
    span = (points[0].after_launch_s, points[-1].after_launch_s)
    panel = _Panel(look, look.top_px + place * (look.panel_px + look.gap_px), span)
    head = f"{link.name} along the planned flight, decibels in hand"
    parts = [panel.frame(head)]
    step_s = 60.0 * _TICK_MIN
    times = [i * step_s for i in range(int(span[1] / step_s) + 1)]
    parts += [panel.tick(panel.x(after_s), clock.local(after_s)) for after_s in times]
    x = panel.x(ends[0])
    parts.append(line(x, panel.top, x, panel.y(LOW_DB), 'class="s-ink" stroke-width="1.6"'))
    words = f"{ends[1]} {clock.local(ends[0])}"
    style = 'text-anchor="end" class="halo"'
    parts.append(text(x - 5.0, panel.top + look.text_px, words, look.text_px, style))
    parts += [_curve(panel, stand, i) for i, stand in enumerate(link.stands)]
    return "".join([*parts, _keys(panel, link.stands)])


def _curve(panel: _Panel, stand: HeardStand, i: int) -> str:
    points = [(panel.x(p.after_launch_s), panel.y(p.p50)) for p in stand.margin_db]
    return polyline(points, _stroke(i))


def _stroke(i: int) -> str:
    """Return the stroke of a stand or link by its number."""
    return f'class="s-link" stroke-width="3.4" stroke-dasharray="{_DASHES[i % len(_DASHES)]}"'


def _keys(panel: _Panel, stands: Sequence[HeardStand]) -> str:
    """Return the stands beside the chart with their strokes and weakest moments."""
    look, parts, y = panel.look, [], panel.top + panel.look.text_px
    for i, stand in enumerate(stands):
        x = panel.right + 12.0
        parts.append(level(x, x + 34.0, y - 0.35 * look.text_px, _stroke(i)))
        parts.append(text(x + 40.0, y, stand.name, look.text_px, 'font-weight="600"'))
        least = f"least {decibel_text(stand.weakest.p50)} dB"
        parts.append(text(x + 40.0, y + 1.15 * look.text_px, least, look.text_px))
        y += 2.9 * look.text_px
    return "".join(parts)


def _by_range(links: Sequence[HeardLink], look: MarginLook, place: int) -> str:
    """Return every link against the slant range in free space, its reach marked."""
    top = look.top_px + place * (look.panel_px + look.gap_px)
    panel = _Panel(look, top, (log10(_RULED_KM[0]), log10(2.0 * _RULED_KM[-1])))
    parts = [panel.frame("in free space, against the slant range, decibels in hand")]
    parts += [panel.tick(panel.x(log10(km)), f"{km} km") for km in _RULED_KM]
    key_y = top + look.text_px
    for i, link in enumerate(links):
        grid = [_RULED_KM[0] * 10.0 ** (0.02 * k) for k in range(130)]
        known = [(km, 20.0 * log10(link.reach_m / (1e3 * km))) for km in grid]
        shown = [(a, b) for a, b in pairwise(known) if LOW_DB < a[1] < HIGH_DB]
        points = [(panel.x(log10(km)), panel.y(db)) for km, db in (pair[0] for pair in shown)]
        parts.append(polyline(points, _stroke(i)))
        x = panel.right + 12.0
        parts.append(level(x, x + 34.0, key_y - 5.0, _stroke(i)))
        parts.append(text(x + 40.0, key_y, link.name, look.text_px, 'font-weight="600"'))
        reach = f"{km_text(link.reach_m, 0)} km; 6 dB: {km_text(link.half_reach_m, 0)}"
        parts.append(text(x + 12.0, key_y + 1.2 * look.text_px, reach, look.text_px))
        key_y += 3.1 * look.text_px
    return "".join(parts)


def _link_sentence(link: HeardLink, clock: FlightClock) -> str:
    parts = [f"{link.name}: {km_text(link.reach_m, 0)} km in free space"]
    for stand in link.stands:
        least = stand.weakest
        at = clock.local(least.after_launch_s)
        parts.append(f"from {stand.name} {decibel_text(least.p50)} dB at least, at {at}")
    return f"{', '.join(parts)}."
