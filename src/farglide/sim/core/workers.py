"""Workers: how work on many draws is handed out; the caller says to whom."""

from collections.abc import Callable

Workers = Callable[[Callable[[int, int], None], int], None]
"""Calls work(first, last) for stretches that cover 0 to n once, in any order, then returns."""


def in_one_go(work: Callable[[int, int], None], n: int) -> None:
    """Do all the work in the calling thread."""
    work(0, n)
