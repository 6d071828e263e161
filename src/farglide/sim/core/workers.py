"""Workers: how work on many draws is handed out; the caller says to whom."""

from collections.abc import Callable
from typing import NamedTuple

Workers = Callable[[Callable[[int, int], None], int], None]
"""Calls work(first, last) for stretches that cover 0 to n once, in any order, then returns."""


class Stretch(NamedTuple):
    """What is done in one go: from the first up to, not including, the last."""

    first: int
    last: int


def in_one_go(work: Callable[[int, int], None], n: int) -> None:
    """Do all the work in the calling thread."""
    work(0, n)
