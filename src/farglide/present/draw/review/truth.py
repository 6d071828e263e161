"""Truth: told chances against how often they came true, with their intervals."""

from collections.abc import Iterator
from typing import Final

from farglide.outlook.review import Honesty
from farglide.present.draw.svg import drawn, level, line, picture, ring, stroke, text

SIDE_PX: Final = 250.0
LEFT_PX: Final = 46.0
TOP_PX: Final = 22.0
WIDTH_PX: Final = LEFT_PX + SIDE_PX + 30.0
HEIGHT_PX: Final = TOP_PX + SIDE_PX + 40.0
_TEXT_PX: Final = 12.5
_INSET_PX: Final = 9.0
"""So that a ring at 0 covers no label."""
_LOW_PX: Final = TOP_PX + SIDE_PX
_TICKS: Final = (0.0, 0.2, 0.4, 0.6, 0.8, 1.0)


def truth_svg(told: Honesty) -> str:
    """Return the chart; empty where no chance has an outcome."""
    if not told.rows:
        return ""
    label = f"{told.n} told chances against how often they came true"
    return picture(WIDTH_PX, HEIGHT_PX, label, _body(told))


@drawn
def _body(told: Honesty) -> Iterator[str]:
    yield text(0.0, 12.0, "came true", _TEXT_PX)
    for tick in _TICKS:
        x, y = _x(tick), _y(tick)
        yield level(LEFT_PX, LEFT_PX + SIDE_PX, y, stroke(0.8, "rule"))
        yield line(x, _LOW_PX, x, _LOW_PX + 4.0, stroke(1.0, "rule"))
        yield text(LEFT_PX - 6.0, y + 4.0, f"{tick:.1f}", _TEXT_PX, 'text-anchor="end"')
        yield text(x, _LOW_PX + 17.0, f"{tick:.1f}", _TEXT_PX, 'text-anchor="middle"')
    middle = LEFT_PX + 0.5 * SIDE_PX
    yield text(middle, HEIGHT_PX - 6.0, "told, on the mean", _TEXT_PX, 'text-anchor="middle"')
    yield line(_x(0.0), _y(0.0), _x(1.0), _y(1.0), stroke(1.2, "rule", "6 4"))
    for row in told.rows:
        x = _x(row.told_ratio)
        dashes = "3 3" if row.is_few else ""
        yield line(x, _y(row.low_ratio), x, _y(row.high_ratio), stroke(2.2, "ink", dashes))
        yield ring(x, _y(row.came_ratio), 4.5)


def _x(share: float) -> float:
    return LEFT_PX + _INSET_PX + (SIDE_PX - 2.0 * _INSET_PX) * share


def _y(share: float) -> float:
    return TOP_PX + _INSET_PX + (SIDE_PX - 2.0 * _INSET_PX) * (1.0 - share)
