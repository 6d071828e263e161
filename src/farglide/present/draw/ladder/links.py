"""Beside the release chart, over height: picture as rungs, command as a wire, packs as states."""

from collections.abc import Callable, Sequence
from itertools import pairwise
from typing import Final, NamedTuple

from farglide.outlook.links import HeldStep
from farglide.outlook.outlook import Outlook
from farglide.present.draw.lookup import chosen_field
from farglide.present.draw.svg import line, rect, state_rect, text
from farglide.present.say.sentences import has_command, has_picture, rising_steps

WHOLE_DB: Final = 10.0  # a wire with so much in hand is whole
LEAST_DB: Final = 3.0  # with less than this it is left out
BEST_GRADE: Final = 5
LEAST_REACH: Final = 0.1
_RUNG_PX: Final = 6.8
_RUNG_STROKE_PX: Final = 3.0
_WIRE_STROKE_PX: Final = 5.0

Heights = Callable[[float], float]
"""Returns where a height in km stands."""


class Beside(NamedTuple):
    """Where the columns stand: left edge, widths, their heads, the top in km, the patterns' key."""

    x: float
    width_px: float
    gap_px: float
    head_px: float
    head_y: float
    top_km: float
    key: str


def n_columns(outlook: Outlook) -> int:
    """Return how many columns stand beside the fields: none without links."""
    return has_picture(outlook.held) + has_command(outlook.held) + shows_packs(outlook)


def shows_packs(outlook: Outlook) -> bool:
    """Tell whether packs get a column: beside links, where there are packs and fields."""
    return bool(outlook.held and outlook.packs and outlook.fields)


def beside_columns(outlook: Outlook, at: Beside, y_of: Heights) -> str:
    """Return the columns of picture and command of the climbing balloon, and of the packs."""
    held, x, parts, half = outlook.held, at.x, list[str](), 0.35 * at.head_px
    if has_picture(held):
        parts.append(rungs(held, (x, at.width_px), y_of, at.top_km))
        middle = x + 0.5 * at.width_px + half
        parts.append(turned_head(middle, at.head_y, "picture", at.head_px))
        x += at.width_px + at.gap_px
    if has_command(held):
        middle = x + 0.5 * at.width_px
        parts.append(wire(held, middle, y_of, at.top_km))
        parts.append(turned_head(middle + half, at.head_y, "command", at.head_px))
        x += at.width_px + at.gap_px
    if shows_packs(outlook):
        box = (x, 0.6 * at.width_px)
        parts.append(packs(outlook, box, y_of, (at.top_km, at.key)))
        middle = x + 0.3 * at.width_px + half
        parts.append(turned_head(middle, at.head_y, "packs", at.head_px))
    return "".join(parts)


def rungs(held: Sequence[HeldStep], box: tuple[float, float], y_of: Heights, top_km: float) -> str:
    """Return the picture's column: rungs as long as the grade of the climbing balloon's picture.

    `box`: left edge and width.
    """
    x, width = box
    steps, parts = rising_steps(held), []
    y = y_of(0.0) - 0.5 * _RUNG_PX
    while y > y_of(top_km):
        grade = next((s.grade for s in reversed(steps) if y_of(s.amsl_m / 1e3) >= y), 0)
        if grade:
            stroke = f'class="s-link" stroke-width="{_RUNG_STROKE_PX}"'
            parts.append(line(x, y, x + width * grade / BEST_GRADE, y, stroke))
        y -= _RUNG_PX
    return f'<g data-column="picture">{"".join(parts)}</g>'


def wire(held: Sequence[HeldStep], x: float, y_of: Heights, top_km: float) -> str:
    """Return the command's column: whole with ten decibels in hand, broken with three, or none."""
    steps, parts = rising_steps(held), []
    for step, above in pairwise(steps):
        margin_db = step.command_db
        low, high = step.amsl_m / 1e3, min(above.amsl_m / 1e3, top_km)
        if margin_db is None or margin_db < LEAST_DB or high <= low:
            continue
        broken = "" if margin_db >= WHOLE_DB else ' stroke-dasharray="8 6"'
        stroke = f'class="s-link" stroke-width="{_WIRE_STROKE_PX}"{broken}'
        parts.append(line(x, y_of(low), x, y_of(high), stroke))
    return f'<g data-column="command">{"".join(parts)}</g>'


def pack_bands(outlook: Outlook) -> list[tuple[str, float, float]]:
    """Return where packs and light last for a release to the chosen field: state, from, to km.

    Of the flights that are in reach; left out where hardly one is.
    """
    bands: list[tuple[str, float, float]] = []
    for step, above in pairwise(chosen_field(outlook).steps):
        low, high = step.amsl_m / 1e3, above.amsl_m / 1e3
        if step.reach_ratio < LEAST_REACH or high <= low:
            continue
        share = step.timely_ratio / step.reach_ratio
        state = "doubtful" if share >= outlook.doubtful_ratio else "shut"
        state = "open" if share >= outlook.open_ratio else state
        if bands and bands[-1][0] == state and abs(bands[-1][2] - low) < 1e-6:
            bands[-1] = (state, bands[-1][1], high)
        else:
            bands.append((state, low, high))
    return bands


def packs(
    outlook: Outlook, box: tuple[float, float], y_of: Heights, scale: tuple[float, str]
) -> str:
    """Return the packs' column: solid where they last, hatched in doubt, an outline where not.

    `box`: left edge and width; `scale`: the top of the columns in km, and the key of the patterns.
    """
    (x, width), (top_km, key), parts = box, scale, []
    for state, low, high in pack_bands(outlook):
        if low >= top_km:
            continue
        y = y_of(min(high, top_km))
        area = (x, y, width, y_of(low) - y)
        parts += [state_rect(state, area, key), rect(*area, 'class="s-ink" stroke-width="1.2"')]
    return f'<g data-column="packs">{"".join(parts)}</g>'


def turned_head(x: float, y: float, words: str, size_px: float) -> str:
    """Return the head of a narrow column, read from below."""
    style = f'font-weight="600" class="narrow" transform="rotate(-90 {x:.1f} {y:.1f})"'
    return text(x, y, words, size_px, style)
