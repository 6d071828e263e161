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
# Two letters of the talker and three of the kind, or P and a maker's own.
_FORM: Final = rb"(?:[A-Z]{2}[A-Z0-9]{3}|P[A-Z0-9]{3,8}),[ -)+-~]*"
_BODY: Final = re.compile(_FORM)
_WHOLE: Final = re.compile(rb"\$(" + _FORM + rb")\*([0-9A-Fa-f]{2})\s*$")
_USUAL_BITS: Final = 1024  # of a sentence of 128 bytes, half as long again as any ought to be


def fields_of(line: bytes, has_checksum: bool = True) -> list[bytes]:
    """Return the fields of a sentence, the first its talker and kind. Raises UnreadError.

    What stands before the last start sign is a half line that the next one ran into.

    >>> fields_of(b"$GPGLL,4916.45,N,12311.12,W,225444,A*31")[:3]
    [b'GPGLL', b'4916.45', b'N']
    """
    start = line.rfind(b"$")
    match = _WHOLE.match(line, start) if start >= 0 else None
    if match is not None:
        body = match[1]
        if int(match[2], 16) != checksum(body):
            raise UnreadError(Cause.CHECKSUM)
        return body.split(b",")
    return _fields_without(line, start, has_checksum)


def _fields_without(line: bytes, start: int, has_checksum: bool) -> list[bytes]:
    """Return the fields of a line that needs no checksum and has none, else why it is none."""
    if start < 0:
        raise UnreadError(Cause.NO_LINE if b"*" not in line else Cause.HALF)
    body, star, said = line[start + 1 :].partition(b"*")
    if not star and has_checksum:
        raise UnreadError(Cause.HALF)
    if not _BODY.fullmatch(body):
        raise UnreadError(Cause.NO_LINE)
    if star:
        raise UnreadError(Cause.HALF if len(said.rstrip()) < 2 else Cause.CHECKSUM)
    return body.split(b",")


def checksum(body: bytes) -> int:
    """Return all bytes combined by exclusive or, folded in halves rather than one by one.

    >>> checksum(b"GPGLL,4916.45,N,12311.12,W,225444,A") == 0x31
    True
    """
    folded = int.from_bytes(body)
    shift = _USUAL_BITS
    while shift < folded.bit_length():
        shift *= 2
    while shift > _USUAL_BITS:
        shift //= 2
        folded ^= folded >> shift
    folded ^= folded >> 512
    folded ^= folded >> 256
    folded ^= folded >> 128
    folded ^= folded >> 64
    folded ^= folded >> 32
    folded ^= folded >> 16
    return (folded ^ folded >> 8) & 0xFF


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
