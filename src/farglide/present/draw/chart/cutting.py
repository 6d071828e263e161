"""Cutting: which boxes lines run through, and lines with gaps where boxes are."""

from collections.abc import Sequence
from itertools import pairwise
from typing import Final

import numpy as np

from farglide.arrays import BoolArray, FloatArray
from farglide.present.draw.place import Edges, Point

_TINY: Final = 1e-9
"""Instead of 0 pixels from end to end: a level or upright line divides by it."""


def segments_of(points: Sequence[Point], is_closed: bool = False) -> FloatArray:
    """Return the pieces of a line as rows x1, y1, x2, y2."""
    ring = [*points, points[0]] if is_closed and len(points) > 2 else list(points)
    return np.array([(*a, *b) for a, b in pairwise(ring)], np.float64).reshape(-1, 4)


def crossings(boxes: FloatArray, segments: FloatArray) -> BoolArray:
    """Return which boxes (n, 4) which pieces (k, 4) run through, shape (n, k).

    Source: the slab test, common practice, no source.
    """
    first, last = _spans(boxes, segments)
    return np.asarray(np.maximum(first, 0.0) < np.minimum(last, 1.0))


def _spans(boxes: FloatArray, segments: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Return from and to which share of its length each piece is in each box, shape (n, k)."""
    first = np.full((len(boxes), len(segments)), -np.inf)
    last = -first
    for axis in (0, 1):
        start = segments[:, axis]
        step = segments[:, axis + 2] - start
        step = np.where(np.abs(step) < _TINY, _TINY, step)
        low = (boxes[:, axis, None] - start) / step
        high = (boxes[:, axis + 2, None] - start) / step
        first = np.maximum(first, np.minimum(low, high))
        last = np.minimum(last, np.maximum(low, high))
    return first, last


def cut(
    points: Sequence[Point], boxes: Sequence[Edges], is_closed: bool = False
) -> list[tuple[Point, ...]]:
    """Return what is left of a line outside the boxes; all of it in one piece where none is met."""
    segments = segments_of(points, is_closed)
    if not len(segments):
        return []
    ring = tuple(points) + ((points[0],) if is_closed else ())
    if not boxes:
        return [ring]
    first, last = _spans(np.array(boxes, np.float64), segments)
    pieces: list[list[Point]] = [[ring[0]]]
    for k, (start, end) in enumerate(pairwise(ring)):
        met = sorted(
            (max(a, 0.0), min(b, 1.0))
            for a, b in zip(first[:, k].tolist(), last[:, k].tolist(), strict=True)
            if max(a, 0.0) < min(b, 1.0)
        )
        for a, b in _merged(met):
            pieces[-1].append(_between(start, end, a))
            pieces.append([_between(start, end, b)])
        pieces[-1].append(end)
    inside = np.array(boxes, np.float64)
    return [tuple(one) for one in pieces if _is_seen(one, inside)]


def _merged(met: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
    """Return stretches in their order, those that overlap as one."""
    found: list[tuple[float, float]] = []
    for a, b in met:
        if found and a <= found[-1][1]:
            found[-1] = found[-1][0], max(b, found[-1][1])
        else:
            found.append((a, b))
    return found


def _between(start: Point, end: Point, share: float) -> Point:
    return Point(start.x + share * (end.x - start.x), start.y + share * (end.y - start.y))


def _is_seen(piece: Sequence[Point], boxes: FloatArray) -> bool:
    """Tell whether a piece has a length, and its middle is in no box."""
    parts = segments_of(piece)
    length = np.hypot(parts[:, 2] - parts[:, 0], parts[:, 3] - parts[:, 1])
    if length.sum() < 0.5:
        return False
    longest = parts[int(np.argmax(length))]
    x, y = (longest[:2] + longest[2:]) / 2.0
    left, top, right, bottom = boxes.T
    return not bool(((left < x) & (x < right) & (top < y) & (y < bottom)).any())
