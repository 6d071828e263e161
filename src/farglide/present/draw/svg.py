"""SVG text from values: the strokes, fills and patterns that every picture shares."""

from collections.abc import Callable, Iterable
from functools import wraps
from math import ceil, cos, radians, sqrt
from typing import Final, NamedTuple, ParamSpec
from xml.sax.saxutils import escape, quoteattr

Points = Iterable[tuple[float, float]]
Given = ParamSpec("Given")

_HATCH_STEP_PX: Final = 9.0
_HATCH_PX: Final = 3.4
ROW_RATIO: Final = cos(radians(30.0))  # rows of a grid of equilateral triangles


class Box(NamedTuple):
    """An upright box: its upper left corner, its width and its height."""

    x: float
    y: float
    width: float
    height: float


def drawn(strokes: Callable[Given, Iterable[str]]) -> Callable[Given, str]:
    """Return a function that draws at once, as one text, what `strokes` yields one by one."""

    @wraps(strokes)
    def joined(*args: Given.args, **named: Given.kwargs) -> str:
        return "".join(strokes(*args, **named))

    return joined


def stroke(width_px: float, paint: str = "ink", dashes: str = "") -> str:
    """Return the attributes of a stroke, its width written as it is given.

    >>> stroke(1.3, "paper", "7 4")
    'class="s-paper" stroke-width="1.3" stroke-dasharray="7 4"'
    """
    dashed = f' stroke-dasharray="{dashes}"' if dashes else ""
    return f'class="s-{paint}" stroke-width="{width_px}"{dashed}'


def number(value: float) -> str:
    """Return a coordinate with at most two decimals.

    >>> number(12.0), number(0.126), number(-0.001)
    ('12', '0.13', '0')
    """
    return f"{round(value, 2) + 0.0:.2f}".rstrip("0").rstrip(".")


def rect(x: float, y: float, width: float, height: float, attributes: str = "") -> str:
    """Return a rectangle."""
    wide, high = number(max(0.0, width)), number(max(0.0, height))
    return f'<rect x="{number(x)}" y="{number(y)}" width="{wide}" height="{high}" {attributes}/>'


def line(x1: float, y1: float, x2: float, y2: float, attributes: str = "") -> str:
    """Return a straight line."""
    ends = f'x1="{number(x1)}" y1="{number(y1)}" x2="{number(x2)}" y2="{number(y2)}"'
    return f"<line {ends} {attributes}/>"


def level(x1: float, x2: float, y: float, attributes: str = "") -> str:
    """Return a level line."""
    return line(x1, y, x2, y, attributes)


def path(d: str, attributes: str = "") -> str:
    """Return a path from its commands."""
    return f'<path d="{d}" {attributes}/>'


def polyline(points: Points, attributes: str = "", close: str = "") -> str:
    """Return a path through points; `close` is "Z" to join its ends."""
    d = "L".join(f"{number(x)} {number(y)}" for x, y in points)
    return path(f"M{d}{close}", attributes) if d else ""


def text(x: float, y: float, words: str, size_px: float, attributes: str = "") -> str:
    """Return text with its baseline at y; the words are escaped."""
    at = f'x="{number(x)}" y="{number(y)}" font-size="{number(size_px)}"'
    return f"<text {at} {attributes}>{escape(words)}</text>"


def ring(x: float, y: float, radius_px: float = 3.6) -> str:
    """Return a small open circle, paper inside."""
    at = f'cx="{number(x)}" cy="{number(y)}" r="{number(radius_px)}"'
    return f'<circle {at} class="f-paper s-mark" stroke-width="1.8"/>'


def picture(width_px: float, height_px: float, label: str, body: str) -> str:
    """Return the whole picture: its size, what it says to those who do not see it, its strokes."""
    w, h = number(width_px), number(height_px)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{w}" height="{h}" viewBox="0 0 {w} {h}" '
        f'role="img" aria-label={quoteattr(label)}>{body}</svg>'
    )


def state_rect(state: str, box: Box, scale: float) -> str:
    """Return the fill of a state: solid open, lines rising to the right doubtful, nothing shut."""
    if state == "open":
        return rect(*box, 'class="f-open" data-state="open"')
    if state == "doubtful":
        return rect(*box, 'fill="none" data-state="doubtful"') + hatch(box, scale)
    return ""


def hatch(box: Box, scale: float) -> str:
    """Return lines that rise to the right across a box: drawn one by one, sharp at any size.

    Lines of all boxes lie on one grid, so that those of neighbours meet.
    """
    step, stroke_px = _HATCH_STEP_PX * scale * sqrt(2.0), _HATCH_PX * scale
    right, bottom = box.x + box.width, box.y + box.height
    lines, crossing = [], ceil((box.x + box.y) / step) * step  # of x + y along a line
    while crossing < right + bottom:
        x0, x1 = max(box.x, crossing - bottom), min(right, crossing - box.y)
        low, high = number(crossing - x0), number(crossing - x1)
        lines.append(f"M{number(x0)} {low}L{number(x1)} {high}")
        crossing += step
    return path("".join(lines), stroke(round(stroke_px, 2), "doubtful")) if lines else ""


def dot_radius(chance_ratio: float, step_px: float, growth: float) -> float:
    """Return the radius of one stipple dot, its area growing with the chance; 0 below 1 in 250."""
    return 0.0 if chance_ratio < 0.004 else step_px * (0.11 + growth * sqrt(chance_ratio))


def dot_row(x: float, width: float, y: float, step_px: float, radius_px: float) -> str:
    """Return one row of dots as a single dashed stroke with round ends."""
    dots = f'stroke-linecap="round" stroke-dasharray="0 {number(step_px)}"'
    return level(x, x + width, y, f'stroke-width="{number(2.0 * radius_px)}" {dots}')
