"""The last row of the clock strip: what ends the day, each mark with its words, none on another."""

from itertools import pairwise, product
from typing import Final, NamedTuple

from farglide.outlook.outlook import Outlook
from farglide.present.draw import svg
from farglide.present.draw.faces import sheet_width_px
from farglide.present.draw.place import filled
from farglide.present.draw.strip.rows import Row, Scale
from farglide.present.say import sentences
from farglide.present.say.text import FlightClock

LONGEST_S: Final = 15_000.0  # ends later than this after launch are left to the words
N_ENDS: Final = 6  # more marks than this make no row that can be read
LABEL: Final = "ends"


class _End(NamedTuple):
    """A mark of what ends the day, its words, and the side of the mark where they begin."""

    x: float
    words: str
    anchor: str = ""
    is_marked: bool = True


def ends_told(outlook: Outlook, clock: FlightClock) -> list[tuple[float, str]]:
    """Return the ends worth a mark with their words; a dusk is said beside its sunset."""
    found = []
    dusk_s = outlook.sun.dusk_after_launch_s
    has_sunset = outlook.sun.sunset_after_launch_s is not None
    for after, name in sentences.ends(outlook):
        beside = name == "dusk" and has_sunset
        if after > LONGEST_S or beside or name.startswith(sentences.FLATTEST_WAYS):
            continue  # too late, or told by another mark or by the side view
        dusk = f", dusk {clock.local(dusk_s)}" if name == "sunset" and dusk_s is not None else ""
        found.append((after, f"{name} {clock.local(after)}{dusk}"))
    return found[:N_ENDS]


def ends_row(scale: Scale, ends: list[tuple[float, str]]) -> Row:
    """Return the row of the ends, on as many lanes as their words need."""
    row = scale.open(LABEL)
    lanes = _lanes(scale, [_End(scale.x(after_s), words) for after_s, words in ends])
    row.n_lanes = max(1, len(lanes))
    half = row.lane.height / 2.0 + 1.0
    for n, lane in enumerate(lanes):
        y = row.lane.middle + n * scale.look.row_px
        for x, words, anchor, is_marked in lane:
            if is_marked:
                row.marks.append(svg.line(x, y - half, x, y + half, svg.stroke(3)))
            scale.words(x + (6.0 if anchor == "start" else -6.0), y, words, anchor)
    return row


def _lanes(scale: Scale, ends: list[_End]) -> list[list[_End]]:
    """Return the ends on the fewest lanes that have room for them, else each on its own."""
    for n_lanes in range(1, len(ends) + 1):
        lanes = [_one_lane(scale, ends[lane::n_lanes]) for lane in range(n_lanes)]
        if all(lanes):
            return lanes
    return [[line] for end in ends for line in _alone(scale, end)]


def _alone(scale: Scale, end: _End) -> list[_End]:
    """Return one end on lanes of its own: its words on the wider side, on as many as needed."""
    right_px, left_px = scale.look.width_px - end.x - 8.0, end.x - scale.left - 8.0
    anchor, room = ("start", right_px) if right_px > left_px else ("end", left_px)
    size = scale.look.text_px
    lines = filled(end.words.split(), lambda line: sheet_width_px(line, size) <= room)
    return [_End(end.x, line, anchor, n == 0) for n, line in enumerate(lines)]


def _one_lane(scale: Scale, ends: list[_End]) -> list[_End]:
    """Return the ends with their words on sides where none meets another, if there are such."""
    widths = [sheet_width_px(end.words, scale.look.text_px) + 8.0 for end in ends]
    for anchors in product(("start", "end"), repeat=len(ends)):
        edges = [
            (end.x - 3.0, end.x + width) if anchor == "start" else (end.x - width, end.x + 3.0)
            for end, width, anchor in zip(ends, widths, anchors, strict=True)
        ]
        inside = all(a >= scale.left and b <= scale.look.width_px for a, b in edges)
        if inside and all(left[1] < right[0] for left, right in pairwise(edges)):
            return [e._replace(anchor=one) for e, one in zip(ends, anchors, strict=True)]
    return []
