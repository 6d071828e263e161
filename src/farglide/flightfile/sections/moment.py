"""Moment: when a flight is launched, and what to write where that is said in another form."""

from datetime import UTC, datetime
from typing import Final

from farglide.earth.clock import check_zone, local_datetime, seconds_from_datetime
from farglide.errors import InputError
from farglide.flightfile.reading.document import LAUNCH_AT
from farglide.flightfile.reading.meant import tidy
from farglide.flightfile.reading.reader import Reader

_YEARS: Final = (1980, 2099)
_EXAMPLE: Final = "launch_at = 2027-01-23T16:40:00+07:00"


def launch_moment(reader: Reader, zone: str) -> datetime | None:
    """Return the moment of `launch_at`; what is wrong with it is noted, and None returned.

    `zone`: as the file states it, empty where it does not.
    """
    moment = reader.raw("launch_at")
    if moment is None:
        what, remedy = "is missing.", LAUNCH_AT
    elif not isinstance(moment, datetime):
        what, remedy = f"is {tidy(moment)}, not a date with a time.", _as_moment(moment)
    elif moment.tzinfo is None:
        what, remedy = f"is {moment.isoformat()}, without a zone.", _with_offset(moment, zone)
    elif not _YEARS[0] <= moment.year <= _YEARS[1]:
        what = f"is {moment.isoformat()}; allowed: the years {_YEARS[0]} to {_YEARS[1]}."
        remedy = ""
    else:
        return moment
    reader.refuse("launch_at", what, remedy)
    return None


def _as_moment(value: object) -> str:
    """Return what to write where something else stands: the text without its quotes, if it fits."""
    try:
        moment = datetime.fromisoformat(str(value).strip())
    except ValueError:
        return LAUNCH_AT
    if not isinstance(value, str) or moment.tzinfo is None:
        return LAUNCH_AT
    return f"Write it without quotes: launch_at = {moment.isoformat()}"


def _with_offset(moment: datetime, zone: object) -> str:
    """Return what to write for a moment without an offset, by the zone of the file if there is."""
    try:
        check_zone(str(zone))
    except InputError:
        return f"Add Z for UTC or the offset of your clock: {_EXAMPLE}"
    there = local_datetime(seconds_from_datetime(moment.replace(tzinfo=UTC)), str(zone))
    return f"In {zone} that is launch_at = {moment.replace(tzinfo=there.tzinfo).isoformat()}"
