"""Heads of the release chart's columns: whole names, level where they fit, else turned."""

from collections.abc import Iterator, Sequence
from typing import Final, NamedTuple

from farglide.present.draw.faces import NARROW, sheet_folded, sheet_width_px
from farglide.present.draw.place import filled
from farglide.present.draw.svg import drawn, number, text

LEAST_PX: Final = 12.0  # 9 point, the least that paper may carry
ROLE_LINE: Final = 1.1  # height of a line against its type
LINKS: Final = ("a", "an", "and", "at", "by", "for", "from", "in", "near", "of", "on", "over",
    "the", "to", "under", "with")  # fmt: skip
"""Words that no role ends with."""
_N_LEVEL: Final = 2
_N_TURNED: Final = 2
_FOOT_PX: Final = 8.0  # between a head and the chart
_NAME: Final = 'font-weight="700" class="narrow"'
_ROLE: Final = 'font-weight="600" class="narrow"'


class Named(NamedTuple):
    """A column to be headed: number, name and role of its field, and the room there is."""

    number: int
    name: str
    role: str
    x: float
    width: float
    gap: float

    @property
    def room_px(self) -> float:
        """Return how wide a level line may be: up to the next column's head."""
        return self.width + self.gap - 1.4


class Heads:
    """The heads of one chart: how high they are, and their strokes."""

    def __init__(self, columns: Sequence[Named], size_px: float, word_px: float) -> None:
        self.columns, self.size_px, self.word_px = columns, size_px, word_px
        self.names = {c.number: self._name(c) for c in columns}
        self.roles = {c.number: self._role(c) for c in columns}
        self.height_px = max((self._height_px(c) for c in columns), default=0.0) + 4.0

    def _name(self, column: Named) -> list[str]:
        return list(sheet_folded(column.name, self.size_px, column.room_px, _N_LEVEL))

    def _role(self, column: Named) -> list[str]:
        """Return number and role on two lines at most: as many whole words as there is room for."""
        words = column.role.split()
        while words:
            told = f"{column.number}, {' '.join(words)}"
            lines = list(sheet_folded(told, self.word_px, column.room_px, _N_LEVEL))
            if not any(one.endswith("…") for one in lines) and words[-1] not in LINKS:
                return lines
            words.pop()
        return [str(column.number)]

    def _height_px(self, column: Named) -> float:
        roles = len(self.roles[column.number])
        names = len(self.names[column.number])
        return _FOOT_PX + ROLE_LINE * self.word_px * roles + self.size_px * names

    @drawn
    def strokes(self, top: float) -> Iterator[str]:
        """Return the heads over a chart whose scale begins at `top`."""
        for column in self.columns:
            y = top - _FOOT_PX
            for words in reversed(self.roles[column.number]):
                yield text(column.x, y, words, self.word_px, _ROLE)
                y -= ROLE_LINE * self.word_px
            for words in reversed(self.names[column.number]):
                yield text(column.x, y, words, self.size_px, _NAME)
                y -= self.size_px


class TurnedHeads(Heads):
    """Heads to be read from below, each over its number: for names wider than their columns."""

    def _name(self, column: Named) -> list[str]:
        """Return the name on as many lines as the column has room for, none longer than needed."""
        n_lines = max(1, min(_N_TURNED, int(column.room_px // (1.06 * self.size_px))))
        words = column.name.split()
        lengths = [_length_px(one, self.size_px) for one in words]
        longest = max([*lengths, sum(lengths) / n_lines])
        while len(lines := self._filled(words, longest)) > n_lines:
            longest += 3.0
        return lines

    def _filled(self, words: Sequence[str], longest_px: float) -> list[str]:
        return filled(words, lambda line: _length_px(line, self.size_px) <= longest_px)

    def _role(self, column: Named) -> list[str]:
        return [str(column.number)]

    def _height_px(self, column: Named) -> float:
        lengths = [_length_px(line, self.size_px) for line in self.names[column.number]]
        return _FOOT_PX + self.size_px + 6.0 + max(lengths, default=0.0)

    @drawn
    def strokes(self, top: float) -> Iterator[str]:
        """Return the heads over a chart whose scale begins at `top`."""
        for column in self.columns:
            middle, lines = column.x + 0.5 * column.width, self.names[column.number]
            style = f'{_NAME} text-anchor="middle"'
            yield text(middle, top - _FOOT_PX, str(column.number), self.size_px, style)
            y = top - _FOOT_PX - self.size_px - 4.0
            first = middle + 0.36 * self.size_px - 0.53 * self.size_px * (len(lines) - 1)
            for n, line in enumerate(lines):
                x = first + 1.06 * self.size_px * n
                turned = f'transform="rotate(-90 {number(x)} {number(y)})"'
                yield text(x, y, line, self.size_px, f"{_NAME} {turned}")


def _length_px(words: str, size_px: float) -> float:
    return sheet_width_px(words, size_px, NARROW)


def heads_of(columns: Sequence[Named], size_px: float, word_px: float) -> Heads:
    """Return the heads at the largest size at which all names stand whole, level or turned."""
    for size in (size_px, LEAST_PX):
        heads = Heads(columns, size, word_px)
        if not any(line.endswith("…") for lines in heads.names.values() for line in lines):
            return heads
    return TurnedHeads(columns, min(size_px, 13.0), word_px)
