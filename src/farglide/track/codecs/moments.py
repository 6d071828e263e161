"""Moments: clock times that leave out the day, or the month, set beside a time that is known."""

from typing import Final

from farglide.earth.clock import local_datetime, seconds_from_text
from farglide.errors import InputError
from farglide.track.codecs.tally import Cause, UnreadError

DAY_S: Final = 86_400.0
_MONTHS_BACK: Final = (1, 0, -1)


def nearest_t_s(of_day_s: float, near_t_s: float) -> float:
    """Return the moment with this time of day that is nearest to another.

    >>> nearest_t_s(86_390.0, 10 * 86_400.0 + 5.0) - 10 * 86_400.0
    -10.0
    """
    return of_day_s + DAY_S * round((near_t_s - of_day_s) / DAY_S)


def midnight_t_s(year: int, month: int, day: int) -> float:
    """Return the moment a day begins, UTC. Raises UnreadError where there is no such day."""
    try:
        return seconds_from_text(f"{year:04d}-{month:02d}-{day:02d}T00:00:00Z")
    except InputError:
        raise UnreadError(Cause.RANGE) from None


def of_day_s(hours: int, minutes: int, seconds: float) -> float:
    """Return a time of day in seconds; second 60 is a leap second. Raises UnreadError.

    >>> of_day_s(9, 30, 1.5)
    34201.5
    """
    if not (hours < 24 and minutes < 60 and 0.0 <= seconds < 61.0):
        raise UnreadError(Cause.RANGE)
    return 3600.0 * hours + 60.0 * minutes + seconds


def nearest_day_t_s(day: int, day_s: float, near_t_s: float) -> float:
    """Return the moment on this day of a month, at this time of day, nearest to another.

    Raises UnreadError where no month about then has that day.
    """
    now = local_datetime(near_t_s, "UTC")
    found = []
    for back in _MONTHS_BACK:
        year, month = divmod(12 * now.year + now.month - 1 - back, 12)
        try:
            found.append(midnight_t_s(year, month + 1, day) + day_s)
        except UnreadError:  # a 31st of June
            continue
    if not found:
        raise UnreadError(Cause.RANGE)
    return min(found, key=lambda t_s: abs(t_s - near_t_s))
