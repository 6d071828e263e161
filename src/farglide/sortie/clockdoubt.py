"""Clock doubt: whether a clock can be that of a place, in words."""

from typing import Final

_STRANGE_OFFSET_H: Final = 4.5  # no clock in use is farther from its sun
_NEAR_OFFSET_H: Final = 2.0


def clock_doubt(offset_h: float, lat_deg: float, lon_deg: float) -> str:
    """Return why a clock cannot be that of a place, and what to look at; empty where it may be.

    A clock in use is less than 4.5 h from its sun; UTC is taken by anybody.

    >>> clock_doubt(7.0, -46.5, 108.0), clock_doubt(2.0, -46.5, 108.0)[:51]
    ('', 'The clock at the launch is +2 h from UTC, but the s')
    """
    by_sun_h = lon_deg / 15.0
    if offset_h == 0.0 or _apart_h(offset_h, by_sun_h) <= _STRANGE_OFFSET_H:
        return ""
    swapped = abs(lon_deg) <= 88.0 and _apart_h(offset_h, lat_deg / 15.0) <= _NEAR_OFFSET_H
    ask = "Check the sign of the offset, the zone, and the longitude."
    if swapped:
        ask = "Are latitude and longitude swapped (lat_deg, lon_deg)?"
    if swapped and _apart_h(offset_h, -by_sun_h) <= _NEAR_OFFSET_H:
        ask = f"Is the longitude east (positive) or west (negative)? {ask}"
    apart = f"{offset_h:+g} h from UTC, but the sun there is {by_sun_h:+.1f} h from it"
    return f"The clock at the launch is {apart}. {ask}"


def _apart_h(offset_h: float, other_h: float) -> float:
    return abs((offset_h - other_h + 12.0) % 24.0 - 12.0)
