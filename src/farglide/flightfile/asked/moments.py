"""Moments: date, time and zone as a person typed them, or what of them is missing."""

import re
from datetime import UTC, datetime, timedelta, timezone
from typing import Final

from farglide.earth.clock import check_zone, local_datetime, seconds_from_datetime
from farglide.errors import AnswerError, InputError
from farglide.flightfile.asked.typed import Keys

MOMENT: Final = "like 2027-06-15 09:30 +02:00; for the zone also Z or Europe/Vienna"

_OFFSET: Final = re.compile(r"(?:UTC ?)?(?:(Z|UTC)|([+-])(\d\d?)(?::?(\d\d))?)$")
_NO_ZONE: Final = re.compile(r"\d{4}-\d\d-\d\d \d\d:\d\d(:\d\d)?", re.ASCII)
_DAY_FIRST: Final = re.compile(r"(\d\d?)[./-](\d\d?)[./-](\d{4})\b.*", re.ASCII)


def typed_moment(said: str) -> Keys:
    """Return date, time and offset; a zone by its name stands in the file too.

    >>> typed_moment("2027-06-15 09:30 Europe/Vienna")["launch_at"].isoformat()
    '2027-06-15T09:30:00+02:00'
    """
    typed = " ".join(re.sub(r"(?<=\d)T(?=\d)", " ", said).split())
    try:
        return _moment(typed)
    except (ValueError, InputError):
        what = f'"{said.strip()}" {_lacks(typed)}'
        raise AnswerError(f"{what} Type it {MOMENT}.") from None


def _lacks(typed: str) -> str:
    """Return what is wrong with a moment that cannot be read."""
    if _NO_ZONE.fullmatch(typed):
        return "has no zone: behind the time must stand how far its clock is from UTC."
    if _DAY_FIRST.fullmatch(typed):
        return "begins with the day or the month: the year comes first."
    return "is no date with time and zone."


def _moment(said: str) -> Keys:
    """Return a moment; what cannot be one raises ValueError or InputError."""
    day, _, rest = said.partition(" ")
    offset = _OFFSET.search(rest)
    if offset:
        clock = rest[: offset.start()].strip()
        sign, hours, minutes = offset[2], offset[3], offset[4] or "00"
        stamp = "Z" if offset[1] else f"{sign}{hours:0>2}:{minutes}"
        return {"launch_at": datetime.fromisoformat(f"{day}T{clock}{stamp}")}
    clock, _, zone = rest.partition(" ")
    check_zone(zone)
    here = datetime.fromisoformat(f"{day}T{clock}").replace(tzinfo=UTC)
    # The offset is that of the zone's own clock then: it is asked twice, for nights when it turns.
    for _ in range(2):
        there = local_datetime(seconds_from_datetime(here), zone)
        here = datetime.fromisoformat(f"{day}T{clock}").replace(tzinfo=there.tzinfo)
    offset_s = here.utcoffset()
    return {"launch_at": here.replace(tzinfo=timezone(offset_s or timedelta(0))), "zone": zone}
