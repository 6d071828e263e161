"""Contents: which fields of which run and hour the messages of a GRIB 2 file hold."""

import struct
from collections.abc import Iterator
from mmap import ACCESS_READ, mmap
from pathlib import Path
from typing import Final, NamedTuple

from farglide.earth.clock import seconds_from_text
from farglide.errors import InputError, SourceError
from farglide.sources.grib.messages import grib_messages

_FIELDS: Final = {
    (0, 3, 5): "HGT", (0, 0, 0): "TMP", (0, 2, 2): "UGRD", (0, 2, 3): "VGRD", (0, 1, 1): "RH",
    (0, 1, 0): "SPFH",
}  # fmt: skip
"""Discipline, category and number of a field. Source: WMO-No. 306, volume I.2, code table 4.2."""
_UNIT_S: Final = {0: 60.0, 1: 3600.0, 2: 86400.0, 10: 10800.0, 11: 21600.0, 12: 43200.0, 13: 1.0}
"""Seconds of a unit of time. Source: the same, code table 4.4."""
_ISOBARIC: Final = 100
_MISSING: Final = 255


class Content(NamedTuple):
    """One field: what, on which level, of which run, valid how long after it, of which member."""

    field: str
    hpa: float | None
    run_t_s: float
    lead_s: float
    member: int | None


def contents_of(path: Path) -> tuple[Content, ...]:
    """Return the fields of a file, each whole from "GRIB" to "7777".

    Raises `SourceError` where a message is cut short, damaged or not of GRIB 2.
    Source: WMO-No. 306, volume I.2, FM 92 GRIB edition 2, sections 0, 1 and 4.
    """
    messages = grib_messages(path)
    found: list[Content] = []
    with path.open("rb") as file, mmap(file.fileno(), 0, access=ACCESS_READ) as data:
        place = 0
        for k, message in enumerate(messages, start=1):
            if message.edition != 2:
                raise _damaged(path, k, "is of GRIB edition 1; allowed: 2.")
            if data[place : place + 4] != b"GRIB":
                raise _damaged(path, k, "does not follow the one before it at once.")
            try:
                found += _fields_of(data[place : place + message.length])
            except (struct.error, IndexError, InputError) as error:
                raise _damaged(path, k, f"cannot be read: {error}.") from error
            place += message.length
        if place != len(data):
            raise _damaged(path, len(messages), f"is followed by {len(data) - place} other bytes.")
    return tuple(found)


def _fields_of(message: bytes) -> Iterator[Content]:
    """Yield the fields of one message, which may hold several of one time."""
    discipline, place, run_t_s = message[6], 16, float("nan")
    while place + 5 <= len(message) - 4:
        (length,) = struct.unpack_from(">I", message, place)
        section = message[place : place + length]
        if length < 5 or len(section) < length:
            raise InputError("section", f"{length} bytes", "its own length")
        if section[4] == 1:
            run_t_s = _run_t_s(section)
        elif section[4] == 4:
            yield _content(section, discipline, run_t_s)
        place += length


def _run_t_s(section: bytes) -> float:
    year, month, day, hour, minute, second = struct.unpack_from(">HBBBBB", section, 12)
    return seconds_from_text(
        f"{year:04d}-{month:02d}-{day:02d}T{hour:02d}:{minute:02d}:{second:02d}Z"
    )


def _content(section: bytes, discipline: int, run_t_s: float) -> Content:
    (template,) = struct.unpack_from(">H", section, 7)
    category, number = section[9], section[10]
    unit, (lead,) = section[17], struct.unpack_from(">i", section, 18)
    kind, scale, (value,) = section[22], section[23], struct.unpack_from(">I", section, 24)
    scale = -(scale & 0x7F) if scale & 0x80 and scale != _MISSING else scale
    is_level = kind == _ISOBARIC and scale != _MISSING
    return Content(
        field=_FIELDS.get((discipline, category, number), f"{discipline}.{category}.{number}"),
        hpa=round(value * 10.0**-scale / 100.0, 6) if is_level else None,
        run_t_s=run_t_s,
        lead_s=lead * _UNIT_S.get(unit, float("nan")),
        member=section[35] if template in (1, 11) else None,
    )


def _damaged(path: Path, k: int, what: str) -> SourceError:
    return SourceError(str(path), f"message {k}", what, "Fetch it again.")
