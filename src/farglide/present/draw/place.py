"""Room for words in a picture: on lines, and in a free place for each."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from typing import Literal, NamedTuple

from farglide.present.draw.svg import text
from farglide.present.draw.widths import text_width_px as text_width_px

Anchor = Literal["start", "middle", "end"]


class Point(NamedTuple):
    """A point of the picture, y downwards, or of a line to be drawn in it."""

    x: float
    y: float


class Spot(NamedTuple):
    """Where words may stand: their baseline at y, and which part of them at x."""

    x: float
    y: float
    anchor: Anchor


class Edges(NamedTuple):
    """What a mark or words take up."""

    left: float
    top: float
    right: float
    bottom: float


def filled(words: Iterable[str], has_room: Callable[[str], bool]) -> list[str]:
    """Return words on lines, on each as many as have room there, but one at least."""
    lines: list[str] = []
    for word in words:
        joined = f"{lines[-1]} {word}" if lines else word
        if lines and has_room(joined):
            lines[-1] = joined
        else:
            lines.append(word)
    return lines


def wrap(words: str, size_px: float, width_px: float, n_lines: int) -> list[str]:
    """Return the words on at most `n_lines` lines that fit; what does not fit ends in an ellipsis.

    >>> wrap("Upper Tansy Meadow", 13.0, 66.0, 2)
    ['Upper Tansy', 'Meadow']
    """
    lines = filled(words.split(), lambda joined: text_width_px(joined, size_px, True) <= width_px)
    if len(lines) > n_lines:
        lines = [*lines[: n_lines - 1], " ".join(lines[n_lines - 1 :])]
    return [_cut(item, size_px, width_px) for item in lines]


def _cut(words: str, size_px: float, width_px: float) -> str:
    if text_width_px(words, size_px, narrow=True) <= width_px:
        return words
    while words and text_width_px(words + "…", size_px, narrow=True) > width_px:
        words = words[:-1]
    return words.rstrip() + "…"


def between(start: Point, end: Point, n: int) -> list[Point]:
    """Return `n` points evenly from the start on, the end left out."""
    wide, high = end.x - start.x, end.y - start.y
    return [Point(start.x + wide * i / n, start.y + high * i / n) for i in range(n)]


@dataclass(slots=True, kw_only=True)
class Placer:
    """Labels of one picture: each takes the first of its places that is the least crowded."""

    width_px: float
    height_px: float
    boxes: list[Edges] = field(default_factory=list)
    points: list[Point] = field(default_factory=list)

    def keep(self, x: float, y: float, half_px: float) -> None:
        """Keep later labels off a mark."""
        self.boxes.append(Edges(x - half_px, y - half_px, x + half_px, y + half_px))

    def avoid(self, points: Iterable[Point]) -> None:
        """Keep later labels off these points."""
        self.points.extend(points)

    def put(
        self, words: str, size_px: float, spots: Sequence[Spot], most_cost: float = float("inf")
    ) -> str:
        """Return the words as SVG text at the best of the spots.

        Nothing comes back where even the best is more crowded than `most_cost`.
        """
        boxes = [_edges(words, size_px, spot) for spot in spots]
        costs = [self._cost(box) for box in boxes]
        best = costs.index(min(costs))
        if costs[best] > most_cost:
            return ""
        self.boxes.append(boxes[best])
        x, y, anchor = spots[best]
        return text(x, y, words, size_px, f'text-anchor="{anchor}" font-weight="600" class="halo"')

    def around(self, x: float, y: float, size_px: float) -> list[Spot]:
        """Return places round a point: right, left, above, below, the four corners."""
        gap, level, below = 7.0, y + 0.36 * size_px, y + 7.0 + 0.75 * size_px
        return [
            Spot(x + gap, level, "start"), Spot(x - gap, level, "end"), Spot(x, y - gap, "middle"),
            Spot(x, below, "middle"), Spot(x + gap, y - gap, "start"),
            Spot(x - gap, y - gap, "end"), Spot(x + gap, below, "start"),
            Spot(x - gap, below, "end"),
        ]  # fmt: skip

    def farther(self, x: float, y: float, size_px: float) -> list[Spot]:
        """Return the places round a point, then some farther off to both sides."""
        right, left, below = x + 24.0, x - 24.0, y + (7.0 + 0.75 * size_px)
        return [
            *self.around(x, y, size_px), Spot(right, y - 7.0, "start"),
            Spot(right, y + 0.36 * size_px, "start"), Spot(right, below, "start"),
            Spot(left, below, "end"), Spot(left, y - 7.0, "end"),
        ]  # fmt: skip

    def _cost(self, box: Edges) -> float:
        left, top, right, bottom = box
        out = max(0.0, 3.0 - left, right - self.width_px + 3.0)
        out += max(0.0, 3.0 - top, bottom - self.height_px + 3.0)
        cost = 1000.0 * out
        for other in self.boxes:
            wide = min(right, other.right) - max(left, other.left)
            high = min(bottom, other.bottom) - max(top, other.top)
            cost += 40.0 * max(0.0, wide) * max(0.0, high)
        hits = sum(1 for x, y in self.points if left < x < right and top < y < bottom)
        return cost + 12.0 * hits


def _edges(words: str, size_px: float, spot: Spot) -> Edges:
    width = text_width_px(words, size_px)
    left = spot.x - {"start": 0.0, "middle": 0.5, "end": 1.0}[spot.anchor] * width
    top, bottom = spot.y - 0.78 * size_px, spot.y + 0.12 * size_px
    return Edges(left - 1.0, top, left + width + 1.0, bottom)
