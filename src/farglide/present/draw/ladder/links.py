"""Beside the release chart, over height: picture as rungs, command as a wire, packs as states."""

from collections.abc import Iterator
from itertools import groupby, pairwise
from typing import Final, NamedTuple

from farglide.outlook.links import HeldStep
from farglide.outlook.outlook import Outlook
from farglide.present.draw.ladder.frame import ChartFrame
from farglide.present.draw.lookup import chosen_field, shown_columns
from farglide.present.draw.svg import Box, drawn, line, rect, stroke, text
from farglide.present.say.sentences import rising_steps

WHOLE_DB: Final = 10.0  # a wire with so much in hand is whole
LEAST_DB: Final = 3.0  # with less than this it is left out
BEST_GRADE: Final = 5
LEAST_REACH: Final = 0.1
_FILLED: Final = {"open": 1.0, "doubtful": 0.5, "shut": 0.0}  # of the width of the packs' column
_RUNG_PX: Final = 6.8
_RUNG_STROKE_PX: Final = 3.0
_WIRE_STROKE_PX: Final = 5.0


@drawn
def beside_columns(chart: ChartFrame) -> Iterator[str]:
    """Return the columns of picture and command of the climbing balloon, and of the packs."""
    drawers = {"picture": (rungs, 0.5), "command": (wire, 0.5), "packs": (packs, 0.3)}
    look, x, head_y = chart.look, chart.links_x, chart.top - 6.0
    for name in shown_columns(chart.outlook):
        column, middle_ratio = drawers[name]
        yield f'<g data-column="{name}">{column(chart, x)}</g>'
        head_x = x + middle_ratio * look.link_px + 0.35 * look.word_px
        turned = f'transform="rotate(-90 {head_x:.1f} {head_y:.1f})"'  # to be read from below
        style = f'font-weight="600" class="narrow" {turned}'
        yield text(head_x, head_y, name, look.word_px, style)
        x += look.link_px + look.gap_px


@drawn
def rungs(chart: ChartFrame, x: float) -> Iterator[str]:
    """Return the picture's column: rungs as long as the grade of the climbing balloon's picture."""
    steps = rising_steps(chart.outlook.held)
    y = chart.y(0.0) - 0.5 * _RUNG_PX
    while y > chart.y(chart.cap_km):
        grade = next((s.grade for s in reversed(steps) if chart.y(s.amsl_m / 1e3) >= y), 0)
        if grade:
            end_x = x + chart.look.link_px * grade / BEST_GRADE
            yield line(x, y, end_x, y, stroke(_RUNG_STROKE_PX, "link"))
        y -= _RUNG_PX


@drawn
def wire(chart: ChartFrame, x: float) -> Iterator[str]:
    """Return the command's column: whole with ten decibels in hand, broken with three, or none."""
    x += 0.5 * chart.look.link_px
    stretches = ((_dashes(step.command_db), step, above) for step, above in _pairs(chart))
    for dashes, some in groupby(stretches, key=lambda one: one[0]):
        told = list(some)
        first, last = told[0][1], told[-1][2]
        low, high = first.amsl_m / 1e3, min(last.amsl_m / 1e3, chart.cap_km)
        if dashes is not None and low < high:
            style = stroke(_WIRE_STROKE_PX, "link", dashes)
            yield line(x, chart.y(low), x, chart.y(high), style)


def _pairs(chart: ChartFrame) -> Iterator[tuple[HeldStep, HeldStep]]:
    return pairwise(rising_steps(chart.outlook.held))


def _dashes(margin_db: float | None) -> str | None:
    """Return the dashes of a wire with such a margin; None where there is no wire."""
    if margin_db is None or margin_db < LEAST_DB:
        return None
    return "" if margin_db >= WHOLE_DB else "8 6"


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
def packs(chart: ChartFrame, x: float) -> Iterator[str]:
    """Return the packs' column: whole where they last, half as wide in doubt, an outline if not.

    In ink: the colour of open fields means fields alone.
    """
    for band in pack_bands(chart.outlook):
        if band.low_km < chart.cap_km:
            y = chart.y(min(band.high_km, chart.cap_km))
            box = Box(x, y, 0.6 * chart.look.link_px, chart.y(band.low_km) - y)
            yield rect(*box, stroke(1.2))
            filled = box._replace(width=box.width * _FILLED[band.state])
            yield rect(*filled, f'class="f-ink" data-packs="{band.state}"')
