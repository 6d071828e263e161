"""UTC seconds since 1970 and their text; the only place below the faces that knows a calendar."""

import re
from datetime import UTC, datetime, timedelta, timezone, tzinfo
from typing import Final
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from farglide.errors import InputError

# Written out here, since the names of strftime change with the language of the computer.
_DAYS: Final = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
_MONTHS: Final = (
    "January", "February", "March", "April", "May", "June",
    "July", "August", "September", "October", "November", "December",
)  # fmt: skip
_TIME: Final = re.compile(
    r"\d{4}-\d{2}-\d{2}T\d{2}:\d{2}(:\d{2}(\.\d{1,6})?)?(Z|[+-]\d{2}:\d{2})", re.ASCII
)
_OFFSET: Final = re.compile(r"UTC([+-])(\d{2}):([0-5]\d)", re.ASCII)
_FURTHEST_OFFSET_S: Final = 14 * 3600  # the Line Islands
_LATEST_S: Final = 4_102_444_800.0  # 2100-01-01


def seconds_from_datetime(dt: datetime) -> float:
    """Return UTC seconds since 1970 of a datetime that knows its zone; one without is refused."""
    if dt.utcoffset() is None:
        allowed = "a date and time with its zone"
        raise InputError("datetime", dt.isoformat(), allowed, "Add the zone, UTC for example.")
    return dt.timestamp()


def seconds_from_text(text: str) -> float:
    """Return UTC seconds since 1970 of a date and time with its zone, seconds optional.

    Source: RFC 3339, with capital T and Z and no other spelling.

    >>> seconds_from_text("2027-01-23T09:40:00Z")
    1800697200.0
    >>> seconds_from_text("2027-01-23T16:40+07:00")
    1800697200.0
    """
    allowed = "a date and time with its zone, such as 2027-01-23T09:40:00Z or ...T16:40+07:00"
    if not _TIME.fullmatch(text):
        remedy = "Add Z for UTC, or the offset from UTC."
        raise InputError("time", repr(text), allowed, remedy)
    try:
        return datetime.fromisoformat(text).timestamp()
    except ValueError as error:
        raise InputError("time", repr(text), allowed, f"There is no such time: {error}.") from None


def local_datetime(t_s: float, zone: str) -> datetime:
    """Return the date and time of UTC seconds in a zone. Valid: 1970 to 2100."""
    check_time(t_s)
    return datetime.fromtimestamp(t_s, _zone(zone))


def clock_text(t_s: float, zone: str) -> str:
    """Return hours and minutes in a zone, as a clock shows them: begun minutes do not count.

    >>> clock_text(1800697200.0, "UTC+07:00")
    '16:40'
    """
    when = local_datetime(t_s, zone)
    return f"{when.hour:02d}:{when.minute:02d}"


def date_text(t_s: float, zone: str) -> str:
    """Return weekday, day, month and year in a zone.

    >>> date_text(1800697200.0, "UTC+07:00")
    'Saturday 23 January 2027'
    """
    when = local_datetime(t_s, zone)
    return f"{_DAYS[when.weekday()]} {when.day} {_MONTHS[when.month - 1]} {when.year}"


def day_clock_text(t_s: float, zone: str) -> str:
    """Return weekday, day, month and time in a zone, short enough for a table.

    >>> day_clock_text(1800697200.0, "UTC+07:00")
    'Sat 23 Jan 16:40'
    """
    when = local_datetime(t_s, zone)
    day, month = _DAYS[when.weekday()][:3], _MONTHS[when.month - 1][:3]
    return f"{day} {when.day} {month} {clock_text(t_s, zone)}"


def utc_offset_s(t_s: float, zone: str) -> float:
    """Return how far the clocks of a zone are ahead of UTC at a moment.

    >>> utc_offset_s(1800697200.0, "UTC-03:30") / 3600.0
    -3.5
    """
    offset = local_datetime(t_s, zone).utcoffset()
    return 0.0 if offset is None else offset.total_seconds()


def check_time(t_s: float) -> None:
    """Refuse a time before 1970 or after 2100."""
    if not 0.0 <= t_s <= _LATEST_S:
        remedy = "Give UTC seconds since 1970, not milliseconds."
        raise InputError("t_s", f"{t_s} s", f"0 to {_LATEST_S:.0f} s (1970 to 2100)", remedy)


def check_zone(zone: str) -> None:
    """Refuse a zone that is neither an IANA name nor an offset such as UTC+07:00 or UTC-03:30.

    >>> check_zone("UTC-03:30")
    >>> check_zone("Europe/Vienna")
    """
    _zone(zone)


def _zone(zone: str) -> tzinfo:
    if zone == "UTC":
        return UTC
    if match := _OFFSET.fullmatch(zone):
        sign = -1 if match[1] == "-" else 1
        offset_s = sign * (int(match[2]) * 3600 + int(match[3]) * 60)
        if abs(offset_s) > _FURTHEST_OFFSET_S:
            raise InputError("zone", repr(zone), "UTC-14:00 to UTC+14:00", "Check the sign.")
        return timezone(timedelta(seconds=offset_s), zone)
    try:
        if zone == "localtime":  # a file of this computer on some systems, no zone of the world
            raise ValueError(zone)
        return ZoneInfo(zone)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        allowed = "an IANA name such as Europe/Vienna, or an offset such as UTC+07:00"
        remedy = "Check the spelling; capitals count."
        raise InputError("zone", repr(zone), allowed, remedy) from None
