"""Honesty: how often told chances came true: Brier score, and shares with their intervals."""

import math
from collections import Counter
from collections.abc import Mapping, Sequence
from itertools import pairwise
from typing import Final, NamedTuple

from farglide.errors import InputError
from farglide.outlook.review import Honesty, StatedChance, TrueRow

BOUNDS: Final = (0.0, 0.2, 0.4, 0.6, 0.8, 0.95, 1.0)
FEW: Final = 10
"""Fewer chances of one size, or fewer flights in all, confirm and refute nothing: a choice."""
_Z95: Final = 1.959963984540054


class Interval(NamedTuple):
    """From which share up to which."""

    low: float
    high: float


def honesty_of(stated: Sequence[StatedChance]) -> Honesty:
    """Return how true the told chances were, in six sizes; too few are told as too few.

    The interval of a row is that of Wilson with flights as its number, not chances.
    """
    n_flights = len({one.flight for one in stated})
    rows = []
    for low, high in pairwise(BOUNDS):
        some = [one for one in stated if _is_between(one.chance_ratio, low, high)]
        if some:
            rows.append(_row(some, low, high))
    pairs = [(one.chance_ratio, one.came) for one in stated]
    share = sum(came for _, came in pairs) / len(pairs) if pairs else 0.0
    return Honesty(
        n=len(stated),
        n_flights=n_flights,
        brier=brier(pairs) if pairs else None,
        brier_constant=share * (1.0 - share) if pairs else None,
        rows=tuple(rows),
        is_few=n_flights < FEW,
    )


def brier(told: Sequence[tuple[float, bool]]) -> float:
    """Return the mean square of chance less outcome: 0 at best, 1 at worst.

    Raises InputError. Source: Brier, Verification of forecasts expressed in terms of probability,
    Monthly Weather Review 78 (1950), the form for two outcomes, half of his own; from memory.

    >>> round(brier([(0.9, True), (0.9, True), (0.9, False), (0.2, False)]), 4)
    0.2175
    """
    if not told:
        raise InputError("told", "empty", "one chance or more")
    return sum((chance - came) ** 2 for chance, came in told) / len(told)


def wilson(n_came: int, n: int) -> Interval:
    """Return the interval that holds the true share 95 times in 100.

    Raises InputError. Source: Wilson (1927), as in Brown, Cai & DasGupta, Interval Estimation for a
    Binomial Proportion (2001), eq. 4; the example: Newcombe, Statistics in Medicine 17 (1998),
    table I, method 3. All from memory.

    >>> [round(end, 4) for end in wilson(81, 263)]
    [0.2553, 0.3662]
    """
    if not 0 <= n_came <= n or n < 1:
        raise InputError("n_came of n", f"{n_came} of {n}", "0 to n, n at least 1")
    return _wilson(n_came / n, n)


def _wilson(share: float, n: float) -> Interval:
    """Return the interval for a share of n independent draws; n need not be whole."""
    z2 = _Z95**2
    middle = (share + z2 / (2.0 * n)) / (1.0 + z2 / n)
    half = _Z95 / (1.0 + z2 / n) * math.sqrt(share * (1.0 - share) / n + z2 / (4.0 * n * n))
    return Interval(max(middle - half, 0.0), min(middle + half, 1.0))


def _row(some: Sequence[StatedChance], low: float, high: float) -> TrueRow:
    came_ratio = sum(one.came for one in some) / len(some)
    of_flight = Counter(one.flight for one in some)
    n_flights = len(of_flight)
    interval = _wilson(came_ratio, _n_alone(of_flight))
    return TrueRow(
        from_ratio=low,
        to_ratio=high,
        n=len(some),
        n_flights=n_flights,
        told_ratio=sum(one.chance_ratio for one in some) / len(some),
        came_ratio=came_ratio,
        low_ratio=interval.low,
        high_ratio=interval.high,
        is_few=len(some) < FEW or n_flights < FEW,
    )


def _n_alone(of_flight: Mapping[int, int]) -> float:
    """Return of how many independent draws a share is worth, by how many chances each flight told.

    Chances of one flight come true or fail together: taken as wholly so, the variance of the share
    is that of so many draws as there are flights, fewer where some told more than others.

    >>> _n_alone({0: 3, 1: 3}), _n_alone({0: 3, 1: 1})
    (2.0, 1.6)

    Source: Kish, Survey Sampling (1965), the effective number of unequal weights, from memory.
    """
    return sum(of_flight.values()) ** 2 / sum(n * n for n in of_flight.values())


def _is_between(chance: float, low: float, high: float) -> bool:
    return low <= chance < high or (high == BOUNDS[-1] and chance >= high)
