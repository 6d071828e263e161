"""Placing: positions of the amateur packet standard, with degrees and minutes or compressed.

Source: APRS Protocol Reference, version 1.0.1 (2000), chapters 6 (time and position formats), 7
(data extension) and 9 (compressed positions), from memory, held against a general library.
"""

import math
import re
from dataclasses import dataclass
from typing import Final

from farglide.track.codecs.tally import Cause, UnreadError
from farglide.units import FOOT_M, KNOT_MPS

_PLAIN: Final = re.compile(
    rb"([\d ]{2})([\d ]{2})\.([\d ]{2})([NSns])[!-~]"
    rb"([\d ]{3})([\d ]{2})\.([\d ]{2})([EWew])[!-~]"
)
_COMPRESSED: Final = re.compile(rb"[/\\A-Za-j]([!-{]{4})([!-{]{4})[!-~]([ -{]{2})([!-~])")
_ALTITUDE: Final = re.compile(rb"/A=(-\d{5}|\d{6})")
_EXTENSION: Final = re.compile(rb"(\d{3})/(\d{3})")
PLAIN_BYTES: Final = 19
COMPRESSED_BYTES: Final = 13
_TOP: Final = 33
_GGA_BITS, _GGA = 0x18, 0x10


@dataclass(slots=True)
class Said:
    """What a report says: where it is, and what it says besides."""

    lat_deg: float
    lon_deg: float
    height_m: float | None = None  # above the mean sea level
    speed_mps: float | None = None
    track_deg: float | None = None


def base91(digits: bytes) -> int:
    """Return the number that printable characters stand for.

    >>> base91(b"<*e7")
    20427156
    """
    value = 0
    for digit in digits:
        value = 91 * value + digit - _TOP
    return value


def plain_said(words: bytes) -> Said:
    """Return what a report in degrees and minutes says, its comment behind it. Raises UnreadError.

    Digits left blank, to say less than is known, count as the middle of what they leave open.
    """
    match = _PLAIN.match(words)
    if match is None:
        raise UnreadError(Cause.RANGE if words[:4].strip(b"0123456789 ") == b"" else Cause.UNKNOWN)
    lat_deg = _degrees(match[1], match[2] + match[3], match[4] in b"Ss")
    lon_deg = _degrees(match[5], match[6] + match[7], match[8] in b"Ww")
    said, comment = Said(lat_deg, lon_deg), words[PLAIN_BYTES:]
    if extension := _EXTENSION.match(comment):
        track_deg = float(extension[1])
        said.track_deg = track_deg if 1.0 <= track_deg <= 360.0 else None  # 000: not known
        said.speed_mps = float(extension[2]) * KNOT_MPS
    said.height_m = commented_m(comment)
    return said


def compressed_said(words: bytes) -> Said:
    """Return what a compressed report says, its comment behind it. Raises UnreadError.

    >>> said = compressed_said(b"/5L!!<*e7>7P[")
    >>> round(said.lat_deg, 4), round(said.lon_deg, 4), said.track_deg
    (49.5, -72.75, 88.0)
    """
    match = _COMPRESSED.match(words)
    if match is None:
        raise UnreadError(Cause.RANGE)
    said = Said(90.0 - base91(match[1]) / 380_926.0, -180.0 + base91(match[2]) / 190_463.0)
    first, second = match[3]
    if match[3][:1] != b" ":
        if (match[4][0] - _TOP) & _GGA_BITS == _GGA:
            said.height_m = FOOT_M * math.pow(1.002, base91(match[3]))
        elif first < ord("{"):
            said.track_deg = 4.0 * (first - _TOP)
            said.speed_mps = KNOT_MPS * (math.pow(1.08, second - _TOP) - 1.0)
    commented = commented_m(words[COMPRESSED_BYTES:])
    said.height_m = said.height_m if commented is None else commented
    return said


def commented_m(comment: bytes) -> float | None:
    """Return the height in a comment, which states feet above the mean sea level.

    >>> commented_m(b"over the wood /A=001000")
    304.8
    """
    match = _ALTITUDE.search(comment)
    return FOOT_M * float(match[1]) if match else None


def _degrees(whole: bytes, hundredths: bytes, is_negative: bool) -> float:
    """Return degrees, out of whole ones and of four digits of minutes."""
    if b" " in whole or not re.fullmatch(rb"\d* *", hundredths):
        raise UnreadError(Cause.RANGE)
    blank = hundredths.find(b" ")
    if blank >= 0:  # the middle of what is left open: of ten minutes, a half of an hour
        middle = b"3" if blank == 0 else b"5"
        hundredths = (hundredths[:blank] + middle).ljust(4, b"0")
    minutes = int(hundredths) / 100.0
    if minutes >= 60.0:
        raise UnreadError(Cause.RANGE)
    deg = int(whole) + minutes / 60.0
    return -deg if is_negative else deg
