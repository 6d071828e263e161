"""How wide words are in the sans of the sheets, and level places for labels in a row."""

from collections.abc import Sequence
from typing import Final, NamedTuple
from unicodedata import combining, east_asian_width, normalize

_EM: Final = {
    0.175: "'’",
    0.2: " \u2009\u00a0",
    0.24: "ijlI,.|`·",
    0.31: '!:;()"²³',
    0.34: "rt",
    0.37: "f-[]{}°",
    0.44: "szy/\\*×–",
    0.475: "acekvx_?+<>=−µ",
    0.51: "bdghnopqu0123456789$~ZFLSß",
    0.56: "ABCDEGHJKOPQRTUVXY",
    0.6: "N",
    0.645: "M&#",
    0.68: "w",
    0.78: "mW…æÆ",
    0.81: "%@",
}
"""Advances at weight 600, measured in a browser, rounded up: no letter is wider than this."""
_WIDTHS: Final = {letter: em for em, letters in _EM.items() for letter in letters}
_UNKNOWN_EM: Final = 0.66
"""Other alphabets come from another font, which is wider."""
_SQUARE_EM: Final = 1.0
NARROW_RATIO: Final = 0.89
"""The narrow cut against the other, by its widest letter."""
BOLD_RATIO: Final = 1.03


def text_width_px(words: str, size_px: float, narrow: bool = False, bold: bool = False) -> float:
    """Return how wide the words are at most, by the widths of the sans of the sheets.

    >>> text_width_px("Harrowend", 20.0) == 2.0 * text_width_px("Harrowend", 10.0)
    True
    """
    ratio = (NARROW_RATIO if narrow else 1.0) * (BOLD_RATIO if bold else 1.0)
    return sum(map(_em, words)) * size_px * ratio


def _em(letter: str) -> float:
    if letter in _WIDTHS:
        return _WIDTHS[letter]
    if combining(letter):
        return 0.0
    bare = normalize("NFD", letter)[0]
    if bare in _WIDTHS:
        return _WIDTHS[bare]
    return _SQUARE_EM if east_asian_width(letter) in "WF" else _UNKNOWN_EM


class _Group(NamedTuple):
    """Things that stand a gap apart: where the first does, and how many they are."""

    first: float
    n: int


def spread(wanted: Sequence[float], gap: float, low: float, high: float) -> list[float]:
    """Return places as near to the wanted ones as a gap between them allows, in their order.

    Valid: wanted places rising, and room for all of them between `low` and `high`; with less room
    they stand closer, evenly.

    >>> spread([10.0, 11.0, 50.0], 8.0, 0.0, 100.0)
    [6.5, 14.5, 50.0]
    >>> spread([-5.0, 3.0], 8.0, 0.0, 100.0)
    [0.0, 8.0]
    """
    n_gaps = len(wanted) - 1
    gap = min(gap, (high - low) / n_gaps) if n_gaps > 0 else gap
    groups: list[_Group] = []
    for place in wanted:
        group = _Group(min(max(place, low), high), 1)
        while groups and groups[-1].first + groups[-1].n * gap > group.first:
            group = _joined(groups.pop(), group, gap)
            first = min(max(group.first, low), high - (group.n - 1) * gap)
            group = _Group(first, group.n)
        groups.append(group)
    return [first + k * gap for first, n in groups for k in range(n)]


def _joined(one: _Group, other: _Group, gap: float) -> _Group:
    """Return two groups as one, moved by as little as can be: by the mean of what each moves."""
    n = one.n + other.n
    return _Group((one.n * one.first + other.n * (other.first - one.n * gap)) / n, n)


def stacked(
    wanted: Sequence[float], sizes: Sequence[float], low: float, high: float
) -> list[float]:
    """Return middles as near to the wanted ones as things of these sizes allow, in their order.

    Valid: room for all sizes between `low` and `high`; with less they end beyond `high`.

    >>> stacked([10.0, 12.0], [8.0, 16.0], 0.0, 100.0)
    [7.0, 19.0]
    """
    middles, end = [], 0.0
    for size in sizes:
        middles.append(end + size / 2.0)
        end += size
    tops = [place - middle for place, middle in zip(wanted, middles, strict=True)]
    placed = spread(tops, 0.0, low, max(low, high - end))
    return [top + middle for top, middle in zip(placed, middles, strict=True)]
