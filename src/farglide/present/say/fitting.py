"""Fitting: what is told in so many rows; where there are too few, what matters least goes first."""

from collections.abc import Iterable
from textwrap import wrap
from typing import Final, NamedTuple

MORE: Final = "(? now tells the rest.)"


class Fact(NamedTuple):
    """A sentence, and how much it matters: 0 stays as long as anything does."""

    words: str
    rank: int = 0


def fitted(facts: Iterable[Fact], n_columns: int, n_rows: int) -> list[str]:
    """Return facts in lines, in their order, as many of the weightiest as have room.

    That something is left out is said in the last line.

    >>> fitted([Fact("First."), Fact("Never mind.", 2), Fact("Last.", 1)], 30, 3)
    ['First.', 'Never mind.', 'Last.']
    >>> fitted([Fact("First."), Fact("Never mind.", 2), Fact("Last.", 1), Fact("Too.", 2)], 30, 3)
    ['First.', 'Last.', '(? now tells the rest.)']
    """
    kept = [one for one in facts if one.words]
    n_all = len(kept)
    while kept and _n_lines(kept, n_columns) + (len(kept) < n_all) > n_rows:
        least = max(range(len(kept)), key=lambda k: (kept[k].rank, k))
        del kept[least]
    lines = [line for one in kept for line in _lines(one, n_columns)]
    return lines if len(kept) == n_all else [*lines, MORE][:n_rows]


def _n_lines(facts: list[Fact], n_columns: int) -> int:
    return sum(len(_lines(one, n_columns)) for one in facts)


def _lines(fact: Fact, n_columns: int) -> list[str]:
    return wrap(fact.words, n_columns, subsequent_indent="  ")
