"""Picture: how good a picture is for the margin of its link, in the five grades of viewers."""

from typing import Final

from farglide.errors import InputError

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


def analogue_grade(margin_db: float) -> int:
    """Return the grade of an analogue picture, 5 to 1, or 0 where there is none.

    >>> [analogue_grade(margin) for margin in (16.0, 7.0, 0.0, -1.4, -2.2, -4.0)]
    [5, 4, 3, 2, 1, 0]

    Valid: margins over the threshold of the demodulator, -100 to 200 dB.
    """
    slope = 1.0 if margin_db >= 0.0 else _SLOPE_BELOW
    ratio_db = _AT_THRESHOLD_DB + slope * _checked_db(margin_db)
    return max((grade for grade, least in GRADE_DB.items() if ratio_db >= least), default=0)


def digital_grade(margin_db: float) -> int:
    """Return the grade of a digital picture: 5, 3 where it freezes and lags, or 0.

    >>> [digital_grade(margin) for margin in (3.0, 1.0, -0.1)]
    [5, 3, 0]
    """
    if _checked_db(margin_db) >= CLIFF_DB:
        return 5
    return 3 if margin_db >= 0.0 else 0


def _checked_db(margin_db: float) -> float:
    if not -100.0 <= margin_db <= 200.0:
        raise InputError("margin_db", f"{margin_db:g} dB", "-100 to 200 dB")
    return margin_db
