"""Label: words that belong to a point or line, the blocks they can be set in, and where."""

from dataclasses import dataclass
from math import cos, hypot, pi, sin
from typing import Final, NamedTuple

from farglide.present.draw.chart.shapes import Words
from farglide.present.draw.faces import BOLD, TOP_EM, clean, folded, width_px
from farglide.present.draw.place import Edges, Point

LINE_EM: Final = 1.2
"""The height of a line, as a browser measures it: 1 above what words stand on, 0.2 below."""
_ABOVE_EM: Final = 1.0
_FIGURE_EM: Final = 1.4
_FIGURE_GAP_PX: Final = 4.0
_GAP_PX: Final = 3.0
_FAR_PX: Final = (13.0, 23.0, 36.0, 52.0, 72.0, 98.0, 130.0, 170.0)
_N_TURNS: Final = 12
_LEADER_PX: Final = 6.5
_SIDES: Final = (0, 4, 6, 2, 7, 1, 5, 3)
"""Eighths of a turn, clockwise from the right: right, left, above, below, then the corners."""
_N_LINES: Final = 4
_LEAST_PX: Final = 40.0
_SHORT_PX: Final = 74.0
"""Words no wider than this stand on one line."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Label:
    """Words for a point, or for a line or area: then with their middle on one of `along`.

    `figure`: set large before the words. `clear_px`: half the size of the point's own mark.
    `owner`: the line that the words belong to. `must`: it is placed whatever the cost.
    """

    at: Point
    words: str
    figure: str = ""
    size_px: float = 12.0
    clear_px: float = 5.0
    along: tuple[Point, ...] = ()
    owner: str = ""
    must: bool = True
    most_px: float = 150.0

    @property
    def name(self) -> str:
        """Return all it says."""
        return clean(f"{self.figure} {self.words}")


class Block(NamedTuple):
    """Words set on lines: the width and height of the whole."""

    lines: tuple[str, ...]
    width_px: float
    height_px: float


class LabelSpot(NamedTuple):
    """Where a block may stand: its box, what that costs, and its leader's end on the mark."""

    block: Block
    box: Edges
    cost: float
    leader: tuple[Point, Point] | None


def blocks(label: Label) -> list[Block]:
    """Return the words on one line and, where that makes it narrower, on two to four."""
    found: list[Block] = []
    whole = width_px(clean(label.words), label.size_px) + 0.01
    for n in range(1, _N_LINES + 1 if whole > _SHORT_PX else 2):
        wanted = whole if n == 1 else max(1.15 * whole / n, _LEAST_PX)
        lines = folded(label.words, label.size_px, min(wanted, label.most_px), n)
        if any(line.endswith("…") for line in lines):
            if n < _N_LINES:
                continue
            lines = folded(label.words, label.size_px, label.most_px, n)
        block = _block(label, lines)
        if not found or block.width_px < 0.85 * found[-1].width_px:
            found.append(block)
    return found


def _block(label: Label, lines: tuple[str, ...]) -> Block:
    figure = figure_px(label)
    gap = _FIGURE_GAP_PX if figure and lines else 0.0
    wide = max((width_px(line, label.size_px) for line in lines), default=0.0)
    high = LINE_EM * label.size_px * max(len(lines), 1)
    if label.figure:
        high = max(high, LINE_EM * _FIGURE_EM * label.size_px)
    return Block(lines, figure + gap + wide, high)


def figure_px(label: Label) -> float:
    """Return how wide the large figure is, 0 without one."""
    size = _FIGURE_EM * label.size_px
    return width_px(label.figure, size, BOLD) if label.figure else 0.0


def spots(label: Label) -> list[LabelSpot]:
    """Return every place that is tried: on its line, round its point, then farther off."""
    found: list[LabelSpot] = []
    for fold, block in enumerate(blocks(label)):
        for n, middle in enumerate(label.along):
            found.append(LabelSpot(block, _centred(block, middle), 0.4 * n + 5.0 * fold, None))
        late = 30.0 if label.along else 0.0
        for n, side in enumerate(_SIDES):
            box = _beside(block, label, side / 8.0, _GAP_PX)
            found.append(LabelSpot(block, box, late + n + 5.0 * fold, None))
        for far_px in _FAR_PX:
            for turn in range(_N_TURNS):
                box = _beside(block, label, turn / _N_TURNS, far_px)
                cost = late + 14.0 + 0.5 * far_px + 5.0 * fold
                found.append(LabelSpot(block, box, cost, _leader(label, box)))
    return found


def _centred(block: Block, at: Point) -> Edges:
    half, high = block.width_px / 2.0, block.height_px / 2.0
    return Edges(at.x - half, at.y - high, at.x + half, at.y + high)


def _beside(block: Block, label: Label, turns: float, far_px: float) -> Edges:
    """Return the box of a block so far from the mark in a direction, clockwise from the right."""
    right, down = cos(2.0 * pi * turns), sin(2.0 * pi * turns)
    longer = max(abs(right), abs(down))
    off = label.clear_px + far_px
    x = label.at.x + off * right + 0.5 * block.width_px * right / longer
    y = label.at.y + off * down + 0.5 * block.height_px * down / longer
    return _centred(block, Point(x, y))


def _leader(label: Label, box: Edges) -> tuple[Point, Point] | None:
    """Return a line from the mark to the nearest point of a box, where that is far."""
    left, top, right, bottom = inked(box, label.size_px)
    x, y = label.at
    end = Point(min(max(x, left - 2.0), right + 2.0), min(max(y, top - 1.0), bottom + 1.0))
    length = hypot(end.x - x, end.y - y)
    if length < label.clear_px + _LEADER_PX:
        return None
    share = (label.clear_px + 1.0) / length
    return Point(x + share * (end.x - x), y + share * (end.y - y)), end


def inked(box: Edges, size_px: float) -> Edges:
    """Return what of a box the letters may cover, a pixel round them, for what is no label."""
    spare = (_ABOVE_EM - TOP_EM) * size_px
    return Edges(box.left - 1.0, box.top + spare, box.right + 1.0, box.bottom + 1.0)


def set_words(label: Label, spot: LabelSpot) -> list[Words]:
    """Return the words of a label at a spot, line by line, its figure first."""
    left, top, _, bottom = spot.box
    size, found = label.size_px, []
    figure = figure_px(label)
    middle = 0.5 * (top + bottom)
    if label.figure:
        base = middle + (_ABOVE_EM - 0.5 * LINE_EM) * _FIGURE_EM * size
        found.append(Words(x=left, y=base, words=label.figure, size_px=_FIGURE_EM * size,
                           weight=700, says="label"))  # fmt: skip
        left += figure + _FIGURE_GAP_PX
    first = middle - 0.5 * LINE_EM * size * len(spot.block.lines) + _ABOVE_EM * size
    for n, words in enumerate(spot.block.lines):
        base = first + n * LINE_EM * size
        found.append(Words(x=left, y=base, words=words, size_px=size, says="label"))
    return found
