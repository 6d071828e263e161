"""Apart: level places for labels in a row, none nearer to another than it may."""

from collections.abc import Sequence
from typing import NamedTuple


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
