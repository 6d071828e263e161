"""Words at the ends of the side view's lines: beside it with leaders, or letters and a key."""

from collections.abc import Iterator, Sequence
from typing import Final, NamedTuple

from farglide.present.draw import svg
from farglide.present.draw.apart import stacked
from farglide.present.draw.faces import sheet_width_px
from farglide.present.draw.place import Point, filled
from farglide.present.draw.side.scale import SideScale

LETTERS: Final = "abcdefghijklmnopqrstuvwxyz"
_LINE: Final = 1.2  # of the type, between two lines
_LEADER: Final = 'class="s-rule" stroke-width="0.9"'


class Labelled(NamedTuple):
    """A point of a line that has words, and on which side of the view they stand."""

    at: Point
    words: str
    side: str  # "left" or "right"


class _Words(NamedTuple):
    """Words beside the view: the point they tell of, and their lines."""

    at: Point
    lines: Sequence[str]


@svg.drawn
def beside(scale: SideScale, told: Sequence[Labelled]) -> Iterator[str]:
    """Return the words of all points at both sides, none over another, each with its leader."""
    look, by_letter = scale.look, scale.look.by_letter
    room, size = look.gutter_px - look.leader_px, look.text_px
    for side in ("left", "right"):
        here = sorted((one for one in told if one.side == side), key=lambda one: one.at.y)
        words = [
            _Words(
                one.at,
                [LETTERS[told.index(one)]]
                if by_letter
                else filled(one.words.split(), lambda line: sheet_width_px(line, size) <= room),
            )
            for one in here
        ]
        yield from _gutter(scale, words, side)


def _gutter(scale: SideScale, told: Sequence[_Words], side: str) -> Iterator[str]:
    look, size, is_left = scale.look, scale.look.text_px, side == "left"
    room = look.gutter_px - look.leader_px
    x = look.left_px + room + 2.0 if is_left else scale.right - room - 2.0
    style = f'text-anchor="{"end" if is_left else "start"}" class="halo"'
    sizes = [_LINE * size * len(one.lines) + 3.0 for one in told]
    low, high = look.top_px, scale.y(0.0) - 2.0
    for one, y in zip(told, stacked([t.at.y for t in told], sizes, low, high), strict=True):
        yield svg.line(one.at.x, one.at.y, x + (4.0 if is_left else -4.0), y, _LEADER)
        for n, line in enumerate(one.lines):
            down = (n - 0.5 * (len(one.lines) - 1)) * _LINE * size
            yield svg.text(x, y + down + 0.36 * size, line, size, style)


def key_lines(scale: SideScale, told: Sequence[Labelled]) -> list[str]:
    """Return what the letters of a narrow view stand for, in lines; nothing for a wide one."""
    look, lines = scale.look, list[str]()
    for letter, one in zip(LETTERS, told, strict=False):
        words = f"{letter} {one.words}".split()
        lines += filled(
            words, lambda line: sheet_width_px(line, look.text_px) <= look.width_px - 4.0
        )
    return lines if look.by_letter else []
