"""Placing: a box for every label, off all others, off marks and, where it can be, off lines."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import BoolArray, FloatArray, IntArray
from farglide.present.draw.chart.cutting import crossings, segments_of
from farglide.present.draw.chart.label import Label, LabelSpot, inked, spots
from farglide.present.draw.place import Edges, Point

_BLOCKED: Final = 1e4
"""More than any spot costs that touches no label and no mark."""
_UNDER: Final = 0.2 * _BLOCKED
"""For a leader that passes under a mark: better than no room at all."""
_WRITTEN_PX: Final = 40.0
"""A mark wider than this holds words of its own, the scale for one: no leader passes under it."""
_INSET_PX: Final = 4.0
_LOW_PX: Final = 2.0
_MOST_OPTIONAL: Final = 60.0  # a label that may be left out is, rather than cut up much
_N_ROUNDS: Final = 8
_N_MIXED: Final = 8
_LEADER_SHARE: Final = 0.4
"""Of what a label pays for covering a line, paid by its leader for crossing it."""


class CostedLine(NamedTuple):
    """A line as labels see it: its pieces, its name, and what touching it costs."""

    segments: FloatArray
    name: str
    cost: float


class SetLabel(NamedTuple):
    """A label and its spot."""

    label: Label
    spot: LabelSpot

    @property
    def ink(self) -> Edges:
        """Return what its letters may cover."""
        return inked(self.spot.box, self.label.size_px)


@dataclass(slots=True, kw_only=True)
class Placing:
    """The marks and lines of one picture, and room for its labels between them."""

    width_px: float
    height_px: float
    marks: list[Edges] = field(default_factory=list)
    costed: list[CostedLine] = field(default_factory=list)

    def keep_off(self, points: Sequence[Point], name: str, cost: float, closed: bool) -> None:
        """Keep labels off a line, the more the higher its cost."""
        segments = segments_of(points, closed)
        if len(segments):
            self.costed.append(CostedLine(segments, name, cost))

    def holds(self, box: Edges) -> bool:
        """Tell whether a label's box lies inside the picture, clear of its frame."""
        is_wide = box.left >= _INSET_PX and box.right <= self.width_px - _INSET_PX
        return is_wide and box.top >= 1.0 and box.bottom <= self.height_px - _LOW_PX

    def place(self, labels: Sequence[Label]) -> tuple[list[SetLabel], list[Label]]:
        """Return every label at its spot, the first ones first served, and those without room.

        Where one that must be there finds none, all are placed again with it in front, then with
        the largest in front, at last in other orders. The same labels come to stand at the same
        places each time.
        """
        tried = [_Tried(label, self) for label in labels]
        best: tuple[list[SetLabel], list[int]] | None = None
        for order in _orders(tried):
            for _ in range(_N_ROUNDS):
                placed, failed = self._one_by_one([tried[i] for i in order])
                missing = [order[i] for i in failed]
                if best is None or len(missing) < len(best[1]):
                    best = placed, missing
                if not missing:
                    return placed, []
                order = [*missing, *(i for i in order if i not in missing)]
        found, left_out = best or ([], [])
        return found, [labels[i] for i in sorted(left_out)]

    def _one_by_one(self, tried: Sequence["_Tried"]) -> tuple[list[SetLabel], list[int]]:
        placed: list[SetLabel] = []
        failed: list[int] = []
        for i, one in enumerate(tried):
            best, cost = one.best(placed)
            if one.label.must and cost >= _BLOCKED:
                failed.append(i)
            elif one.label.must or cost < _MOST_OPTIONAL:
                placed.append(SetLabel(one.label, one.spots[best]))
        return placed, failed


class _Tried:
    """All spots of one label, and what each costs before other labels stand."""

    def __init__(self, label: Label, among: Placing) -> None:
        self.label = label
        self.spots = [one for one in spots(label) if among.holds(one.box)] or spots(label)[:1]
        self.boxes = np.array([spot.box for spot in self.spots])
        self.inks = np.array([inked(spot.box, label.size_px) for spot in self.spots])
        self.leaders, self.owners = _leaders(self.spots)
        self.cost = np.array([spot.cost for spot in self.spots]) + self._fixed(among)

    @property
    def smallest_px2(self) -> float:
        """Return the area of its smallest block."""
        return min(one.block.width_px * one.block.height_px for one in self.spots)

    def _fixed(self, among: Placing) -> FloatArray:
        out = [not among.holds(one.box) for one in self.spots]
        cost = 10.0 * _BLOCKED * np.array(out, np.float64)
        if among.marks:
            marks = np.array(among.marks)
            cost += _BLOCKED * _overlaps(self.inks, marks).sum(axis=1)
            others = marks[~(_holds(marks, self.label.at) & self.label.must)]
            is_written = others[:, 2] - others[:, 0] > _WRITTEN_PX
            for some, dear in ((others[is_written], _BLOCKED), (others[~is_written], _UNDER)):
                if len(some):
                    cost += self._of_leaders(_any(crossings(some, self.leaders)), dear)
        for line in among.costed:
            if line.name == self.label.owner and line.name:
                continue
            cost += line.cost * crossings(self.inks, line.segments).any(axis=1)
            met = _meetings(self.leaders, line.segments)
            cost += self._of_leaders(met, _LEADER_SHARE * line.cost)
        return np.asarray(cost)

    def _of_leaders(self, hit: BoolArray, cost: float) -> FloatArray:
        """Return what leaders that are hit cost their spots."""
        found = np.zeros(len(self.spots))
        np.add.at(found, self.owners, cost * hit)
        return found

    def best(self, placed: Sequence[SetLabel]) -> tuple[int, float]:
        """Return the cheapest spot beside the labels that stand, and what it costs."""
        cost = self.cost
        if placed:
            theirs = np.array([one.spot.box for one in placed])
            cost = cost + _BLOCKED * _overlaps(self.boxes, theirs).sum(axis=1)
            inks = np.array([one.ink for one in placed])
            cost += self._of_leaders(_any(crossings(inks, self.leaders)), _BLOCKED)
            lines = [one.spot.leader for one in placed if one.spot.leader]
            if lines:
                pieces = np.array([(*a, *b) for a, b in lines])
                cost += _BLOCKED * crossings(self.inks, pieces).any(axis=1)
        best = int(np.argmin(cost))
        return best, float(cost[best])


def _orders(tried: Sequence[_Tried]) -> Iterator[list[int]]:
    """Yield the orders to begin with: as given, by size, and some that are mixed by a rule."""
    given = list(range(len(tried)))
    yield given
    yield sorted(given, key=lambda i: tried[i].smallest_px2, reverse=True)
    for seed in range(_N_MIXED):
        yield np.random.default_rng(seed).permutation(len(tried)).tolist()


def _leaders(found: Sequence[LabelSpot]) -> tuple[FloatArray, IntArray]:
    """Return the leaders as pieces, and whose they are."""
    pieces = [(*spot.leader[0], *spot.leader[1]) for spot in found if spot.leader]
    owners = [i for i, spot in enumerate(found) if spot.leader]
    return np.array(pieces, np.float64).reshape(-1, 4), np.array(owners, np.int64)


def _any(hits: BoolArray) -> BoolArray:
    """Return which columns hold a hit."""
    return np.asarray(hits.any(axis=0))


def _meetings(pieces: FloatArray, others: FloatArray) -> BoolArray:
    """Return which pieces (n, 4) cross any other (k, 4), shape (n,).

    Source: the sign of the areas on either side, common practice, no source.
    """
    a, b = pieces[:, None, :2], pieces[:, None, 2:]
    c, d = others[None, :, :2], others[None, :, 2:]
    apart = _side(a, b, c) * _side(a, b, d) < 0.0
    return np.asarray((apart & (_side(c, d, a) * _side(c, d, b) < 0.0)).any(axis=1))


def _side(a: FloatArray, b: FloatArray, c: FloatArray) -> FloatArray:
    """Return on which side of a line from a to b points c lie, by the sign."""
    along, off = b - a, c - a
    return np.asarray(along[..., 0] * off[..., 1] - along[..., 1] * off[..., 0])


def _overlaps(boxes: FloatArray, others: FloatArray) -> BoolArray:
    """Return which boxes (n, 4) overlap which others (m, 4), shape (n, m)."""
    a, b = boxes[:, None, :], others[None, :, :]
    wide = np.minimum(a[..., 2], b[..., 2]) - np.maximum(a[..., 0], b[..., 0])
    high = np.minimum(a[..., 3], b[..., 3]) - np.maximum(a[..., 1], b[..., 1])
    return np.asarray((wide > 0.0) & (high > 0.0))


def _holds(boxes: FloatArray, at: Point) -> BoolArray:
    left, top, right, bottom = boxes.T
    return np.asarray((left <= at.x) & (at.x <= right) & (top <= at.y) & (at.y <= bottom))
