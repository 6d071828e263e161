"""Picture: how good a picture is for the margin of its link, in the five grades of viewers."""

import math
from typing import Final, NamedTuple

from farglide.errors import InputError, check_range

# Weighted signal to noise of a picture at which viewers give a grade, in dB: from imperceptible (5)
# to very annoying (1). Source: five grades of GB 7401, S/N = 23 - Q + 1.1 Q^2, second-hand.
GRADE_DB: Final = {5: 45.5, 4: 36.6, 3: 29.9, 2: 25.4, 1: 23.1}
# At its threshold a frequency-modulated picture has about 30 dB of signal to noise, and gains one
# for each decibel of carrier. Source: FS-1037C, FM improvement threshold.
_AT_THRESHOLD_DB: Final = 30.0
# Below it clicks take over and the picture goes about three times as fast (common practice, no
# source); typed grades of a flight replace this.
_SLOPE_BELOW: Final = 3.0
# A digital picture goes from without errors to none within 3 dB. Source: carrier to noise 23 and
# 20 dB of a cable-television standard in an instrument's manual, second-hand.
CLIFF_DB: Final = 3.0
_MARGINS_DB: Final = (-100.0, 200.0)
DIGITAL_GRADES: Final = (5, 3, 0)
"""A digital picture is whole, freezes and lags, or is not there."""


def grade_of(margin_db: float, is_digital: bool) -> int:
    """Return the grade of a picture, 5 to 1, or 0 where there is none; a digital one freezes at 3.

    >>> [grade_of(margin, is_digital=False) for margin in (16.0, 7.0, 0.0, -1.4, -2.2, -4.0)]
    [5, 4, 3, 2, 1, 0]
    >>> [grade_of(margin, is_digital=True) for margin in (3.0, 1.0, -0.1)]
    [5, 3, 0]

    Valid: margins over the threshold of the demodulator, however far out.
    """
    margin_db = _checked_db(bounded_margin_db(margin_db))
    if is_digital:
        frozen = 3 if margin_db >= 0.0 else 0
        return 5 if margin_db >= CLIFF_DB else frozen
    slope = 1.0 if margin_db >= 0.0 else _SLOPE_BELOW
    ratio_db = _AT_THRESHOLD_DB + slope * margin_db
    return max((grade for grade, least in GRADE_DB.items() if ratio_db >= least), default=0)


def bounded_margin_db(margin_db: float) -> float:
    """Return a margin within what the laws of a picture take: beyond, nothing changes any more."""
    return min(max(margin_db, _MARGINS_DB[0]), _MARGINS_DB[1])


class Missing(NamedTuple):
    """How many decibels a picture is worse than expected, at least and at most."""

    least_db: float
    most_db: float  # infinity where there is no picture at all


class _Span(NamedTuple):
    """From and up to which margin viewers give a grade."""

    from_db: float
    to_db: float


def picture_seen(expected_db: float, seen_grade: int, is_digital: bool) -> Missing:
    """Return how much weaker a link is than its expected margin, from the grade that is seen.

    Both are 0 where the picture is as good as expected, or better: a strong link can lose decibels
    that no eye sees.

    >>> [round(db, 1) for db in picture_seen(15.0, 3, is_digital=False)]  # it should be nearly 5
    [8.4, 15.0]
    >>> [round(db, 1) for db in picture_seen(5.6, 3, is_digital=False)]  # as expected
    [0.0, 5.6]
    >>> picture_seen(5.6, 0, is_digital=True)
    Missing(least_db=5.6, most_db=inf)

    Valid: margins of -100 to 200 dB, grades 5 to 0.
    """
    if seen_grade not in range(6):
        raise InputError("seen_grade", seen_grade, "5 to 0, 0 for no picture at all")
    span = (_digital_span if is_digital else _analogue_span)(seen_grade)
    expected = _checked_db(expected_db)
    return Missing(max(expected - span.to_db, 0.0), max(expected - span.from_db, 0.0))


def _analogue_span(grade: int) -> _Span:
    """Return from and up to which margin viewers give a grade."""
    low = _margin_of_db(GRADE_DB[grade]) if grade else -math.inf
    return _Span(low, _margin_of_db(GRADE_DB[grade + 1]) if grade < max(GRADE_DB) else math.inf)


def _margin_of_db(ratio_db: float) -> float:
    over = ratio_db - _AT_THRESHOLD_DB
    return over if over >= 0.0 else over / _SLOPE_BELOW


def _digital_span(grade: int) -> _Span:
    """Return the same for a digital picture, whose grades 4 to 1 all lie on its cliff."""
    if grade == max(GRADE_DB):
        return _Span(CLIFF_DB, math.inf)
    return _Span(0.0, CLIFF_DB) if grade else _Span(-math.inf, 0.0)


def _checked_db(margin_db: float) -> float:
    check_range("margin_db", margin_db, "dB", _MARGINS_DB)
    return margin_db
