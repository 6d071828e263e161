"""Places in a picture: points, edges, and words on lines that fit."""

from collections.abc import Callable, Iterable
from typing import NamedTuple

from farglide.present.draw.widths import text_width_px as text_width_px


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


def points_between(start: Point, end: Point, n: int) -> list[Point]:
    """Return `n` points evenly from the start on, the end left out."""
    wide, high = end.x - start.x, end.y - start.y
    return [Point(start.x + wide * i / n, start.y + high * i / n) for i in range(n)]
