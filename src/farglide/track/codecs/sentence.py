"""Sentence: one line of NMEA 0183 checked by its checksum, and its fields as numbers.

Source: NMEA 0183 itself is sold, not published. Framing, checksum and fields are from memory, as
receiver makers print them in their interface manuals, and held against a general library.
"""

import re
from typing import Final

from farglide.track.codecs.moments import of_day_s
from farglide.track.codecs.tally import Cause, UnreadError

_LAT: Final = re.compile(rb"(\d\d)([0-5]\d(?:\.\d{0,9})?)")
_LON: Final = re.compile(rb"(\d{3})([0-5]\d(?:\.\d{0,9})?)")
_CLOCK: Final = re.compile(rb"(\d\d)(\d\d)(\d\d(?:\.\d{0,6})?)")
_NUMBER: Final = re.compile(rb"-?(?:\d{1,9}\.?\d{0,9}|\.\d{1,9})")
_HEX: Final = re.compile(rb"[0-9A-Fa-f]{2}")
_HEAD: Final = re.compile(rb"[A-Z]{2}[A-Z0-9]{3}|P[A-Z0-9]{3,8}")  # talker and kind, or a maker
_SHOWN: Final = re.compile(rb"[ -~]+")
_FOLDS: Final = tuple(8 << k for k in range(16))  # to 512 kbit, far above the longest line


def fields_of(line: bytes, has_checksum: bool = True) -> list[bytes]:
    """Return the fields of a sentence, the first its talker and kind. Raises UnreadError.

    What stands before the last start sign is a half line that the next one ran into.

    >>> fields_of(b"$GPGLL,4916.45,N,12311.12,W,225444,A*31")[:3]
    [b'GPGLL', b'4916.45', b'N']
    """
    start = line.rfind(b"$")
    if start < 0:
        raise UnreadError(Cause.NO_LINE if b"*" not in line else Cause.HALF)
    body, star, said = line[start + 1 :].partition(b"*")
    if star:
        said = said.rstrip()
        if not _HEX.fullmatch(said[:2]) or len(said) > 2:
            raise UnreadError(Cause.HALF if len(said) < 2 else Cause.CHECKSUM)
        if int(said, 16) != checksum(body):
            raise UnreadError(Cause.CHECKSUM)
    elif has_checksum:
        raise UnreadError(Cause.HALF)
    fields = body.split(b",")
    if len(fields) < 2 or not _HEAD.fullmatch(fields[0]) or not _SHOWN.fullmatch(body):
        raise UnreadError(Cause.NO_LINE)
    return fields


def checksum(body: bytes) -> int:
    """Return all bytes combined by exclusive or, folded in halves rather than one by one.

    >>> checksum(b"GPGLL,4916.45,N,12311.12,W,225444,A") == 0x31
    True
    """
    folded, n_bits = int.from_bytes(body), 8 * len(body)
    for shift in _FOLDS:
        if shift >= n_bits:
            break
        folded ^= folded >> shift
    return folded & 0xFF


def latitude_deg(value: bytes, side: bytes) -> float:
    """Return a latitude of degrees and minutes, south negative. Raises UnreadError."""
    match = _LAT.fullmatch(value)
    if match is None or side not in (b"N", b"S"):
        raise UnreadError(Cause.RANGE)
    deg = int(match[1]) + float(match[2]) / 60.0
    return -deg if side == b"S" else deg


def longitude_deg(value: bytes, side: bytes) -> float:
    """Return a longitude of degrees and minutes, west negative. Raises UnreadError."""
    match = _LON.fullmatch(value)
    if match is None or side not in (b"E", b"W"):
        raise UnreadError(Cause.RANGE)
    deg = int(match[1]) + float(match[2]) / 60.0
    return -deg if side == b"W" else deg


def clock_s(value: bytes) -> float:
    """Return the seconds of the day of a clock time; none is no fix. Raises UnreadError."""
    match = _CLOCK.fullmatch(value)
    if match is None:
        raise UnreadError(Cause.RANGE if value else Cause.NO_FIX)
    return of_day_s(int(match[1]), int(match[2]), float(match[3]))


def number(value: bytes) -> float | None:
    """Return a number, None where the field is empty. Raises UnreadError."""
    if not value:
        return None
    if _NUMBER.fullmatch(value) is None:
        raise UnreadError(Cause.RANGE)
    return float(value)


def metres(value: bytes, unit: bytes) -> float | None:
    """Return a length whose unit must be metres. Raises UnreadError."""
    if unit not in (b"M", b""):
        raise UnreadError(Cause.RANGE)
    return number(value)
