"""Beside the release chart, over height: picture as rungs, command as a wire, packs as states."""

from collections.abc import Callable, Iterator
from itertools import pairwise
from typing import Final, NamedTuple

from farglide.outlook.outlook import Outlook
from farglide.present.draw.lookup import chosen_field
from farglide.present.draw.svg import Box, drawn, line, rect, state_rect, stroke, text
from farglide.present.say.sentences import has_command, has_picture, rising_steps

WHOLE_DB: Final = 10.0  # a wire with so much in hand is whole
LEAST_DB: Final = 3.0  # with less than this it is left out
BEST_GRADE: Final = 5
LEAST_REACH: Final = 0.1
_RUNG_PX: Final = 6.8
_RUNG_STROKE_PX: Final = 3.0
_WIRE_STROKE_PX: Final = 5.0


class Beside(NamedTuple):
    """Where a column stands: left edge, sizes, its head, heights, and the key of the patterns."""

    x: float
    width_px: float
    gap_px: float
    head_px: float
    head_y: float
    top_km: float
    y_of: Callable[[float], float]  # where a height in km stands
    key: str


def shown_columns(outlook: Outlook) -> list[str]:
    """Return the columns beside the fields: packs beside links, for fields; none without links."""
    names = ["picture"] if has_picture(outlook.held) else []
    names += ["command"] if has_command(outlook.held) else []
    return [*names, "packs"] if outlook.held and outlook.packs and outlook.fields else names


@drawn
def beside_columns(outlook: Outlook, at: Beside) -> Iterator[str]:
    """Return the columns of picture and command of the climbing balloon, and of the packs."""
    drawers = {"picture": (rungs, 0.5), "command": (wire, 0.5), "packs": (packs, 0.3)}
    for name in shown_columns(outlook):
        column, middle_ratio = drawers[name]
        yield f'<g data-column="{name}">{column(outlook, at)}</g>'
        x, y = at.x + middle_ratio * at.width_px + 0.35 * at.head_px, at.head_y
        turned = f'transform="rotate(-90 {x:.1f} {y:.1f})"'  # to be read from below
        yield text(x, y, name, at.head_px, f'font-weight="600" class="narrow" {turned}')
        at = at._replace(x=at.x + at.width_px + at.gap_px)


@drawn
def rungs(outlook: Outlook, at: Beside) -> Iterator[str]:
    """Return the picture's column: rungs as long as the grade of the climbing balloon's picture."""
    steps = rising_steps(outlook.held)
    y = at.y_of(0.0) - 0.5 * _RUNG_PX
    while y > at.y_of(at.top_km):
        grade = next((s.grade for s in reversed(steps) if at.y_of(s.amsl_m / 1e3) >= y), 0)
        if grade:
            end_x = at.x + at.width_px * grade / BEST_GRADE
            yield line(at.x, y, end_x, y, stroke(_RUNG_STROKE_PX, "link"))
        y -= _RUNG_PX


@drawn
def wire(outlook: Outlook, at: Beside) -> Iterator[str]:
    """Return the command's column: whole with ten decibels in hand, broken with three, or none."""
    x = at.x + 0.5 * at.width_px
    for step, above in pairwise(rising_steps(outlook.held)):
        margin_db = step.command_db
        low, high = step.amsl_m / 1e3, min(above.amsl_m / 1e3, at.top_km)
        if margin_db is not None and margin_db >= LEAST_DB and low < high:
            style = stroke(_WIRE_STROKE_PX, "link", "" if margin_db >= WHOLE_DB else "8 6")
            yield line(x, at.y_of(low), x, at.y_of(high), style)


class PackBand(NamedTuple):
    """A stretch of heights in which packs and light last alike for a release."""

    state: str
    low_km: float
    high_km: float


def pack_bands(outlook: Outlook) -> list[PackBand]:
    """Return where packs and light last for a release to the chosen field.

    Of the flights that are in reach; left out where hardly one is.
    """
    bands: list[PackBand] = []
    for step, above in pairwise(chosen_field(outlook).steps):
        low, high = step.amsl_m / 1e3, above.amsl_m / 1e3
        if step.reach_ratio < LEAST_REACH or high <= low:
            continue
        share = step.timely_ratio / step.reach_ratio
        state = "doubtful" if share >= outlook.doubtful_ratio else "shut"
        state = "open" if share >= outlook.open_ratio else state
        if bands and bands[-1].state == state and abs(bands[-1].high_km - low) < 1e-6:
            low = bands.pop().low_km
        bands.append(PackBand(state, low, high))
    return bands


@drawn
def packs(outlook: Outlook, at: Beside) -> Iterator[str]:
    """Return the packs' column: solid where they last, hatched in doubt, an outline where not."""
    for band in pack_bands(outlook):
        if band.low_km < at.top_km:
            y = at.y_of(min(band.high_km, at.top_km))
            box = Box(at.x, y, 0.6 * at.width_px, at.y_of(band.low_km) - y)
            yield state_rect(band.state, box, at.key) + rect(*box, stroke(1.2))
