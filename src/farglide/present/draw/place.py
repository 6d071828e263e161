"""Places in a picture: points, edges, and words on lines."""

from collections.abc import Callable, Iterable
from typing import NamedTuple


class Point(NamedTuple):
    """A point of the picture, y downwards, or of a line to be drawn in it."""

    x: float
    y: float


class Size(NamedTuple):
    """How wide and how high a picture is, in pixels or, where it is said, in millimetres."""

    wide: float
    high: float


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


def points_between(start: Point, end: Point, n: int) -> list[Point]:
    """Return `n` points evenly from the start on, the end left out."""
    wide, high = end.x - start.x, end.y - start.y
    return [Point(start.x + wide * i / n, start.y + high * i / n) for i in range(n)]
