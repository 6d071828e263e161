"""Slips: which heights may have been meant by a number, in the unit that it was typed in."""

from collections.abc import Iterator
from itertools import pairwise
from typing import Final, NamedTuple

from farglide.units import FOOT_M

KM_M: Final = 1000.0
_MOST_KM: Final = 100.0
N_LOST: Final = 3
"""So many of `misread` come first: digits left out at the end, or one doubled there."""
_MOST_DIGITS: Final = 9


class HeightTyped(NamedTuple):
    """The number of a height, how many metres its unit is, and whether the unit was typed."""

    number: float
    unit_m: float = 1.0
    is_told: bool = True
    has_point: bool = False

    @property
    def amsl_m(self) -> float:
        """Return the height that it says."""
        return self.number * self.unit_m


class HeightMeant(NamedTuple):
    """A height that may have been meant, and the number and unit that it would have been."""

    amsl_m: float
    as_words: str = ""


def other_units(typed: HeightTyped) -> Iterator[HeightMeant]:
    """Yield the same number in the units that were not typed: feet and kilometres, or metres.

    >>> [round(one.amsl_m) for one in other_units(HeightTyped(82_000.0))]
    [24994]
    >>> [one.amsl_m for one in other_units(HeightTyped(18_000.0, FOOT_M))]
    [18000.0]
    """
    number = typed.number
    if typed.unit_m != 1.0:
        yield HeightMeant(number)
        return
    yield HeightMeant(number * FOOT_M, f"{number:.0f} ft")
    if abs(number) < _MOST_KM:
        yield HeightMeant(number * KM_M, f"{number:g} km")


def misread(typed: HeightTyped) -> Iterator[HeightMeant]:
    """Yield heights of a digit left out or doubled, one wrong, two swapped, one more or less.

    All of the number as it was typed, in its unit.
    """
    for one in (typed.number * 10.0, typed.number / 10.0, typed.number * 100.0):
        yield _meant(one, typed)
    digits = f"{abs(typed.number):.0f}"
    for one in (*wrong_digits(digits), *_slipped(digits)) if len(digits) <= _MOST_DIGITS else ():
        yield _meant(one, typed)


def _meant(number: float, typed: HeightTyped) -> HeightMeant:
    feet = typed.unit_m == FOOT_M
    return HeightMeant(number * typed.unit_m, f"{number:.0f} ft" if feet else "")


def wrong_digits(digits: str) -> Iterator[float]:
    """Yield numbers with one digit wrong, or two neighbours swapped.

    >>> 12.0 in wrong_digits("21"), 91.0 in wrong_digits("21"), 3.0 in wrong_digits("21")
    (True, True, False)
    """
    for k, old in enumerate(digits):
        for new in "0123456789":
            if new != old:
                yield float(f"{digits[:k]}{new}{digits[k + 1 :]}")
    for k, (a, b) in enumerate(pairwise(digits)):
        if a != b:
            yield float(f"{digits[:k]}{b}{a}{digits[k + 2 :]}")


def _slipped(digits: str) -> Iterator[float]:
    """Yield numbers with one digit more, or one less."""
    for k in range(len(digits) + 1):
        for new in "0123456789":
            yield float(f"{digits[:k]}{new}{digits[k:]}")
    for k in range(len(digits)):
        if len(digits) > 1:
            yield float(f"{digits[:k]}{digits[k + 1 :]}")
