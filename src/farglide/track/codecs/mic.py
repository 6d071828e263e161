"""Mic: positions packed into the address that a report is sent to, and a few bytes besides.

Source: APRS Protocol Reference, version 1.0.1 (2000), chapter 10 (Mic-E data format), from memory,
held against a general library.
"""

import re
from typing import Final

from farglide.track.codecs.placing import Said, base91
from farglide.track.codecs.tally import Cause, UnreadError
from farglide.units import KNOT_MPS

KINDS: Final = b"`'\x1c\x1d"
_TO: Final = re.compile(r"[0-9A-LP-Z]{3}[0-9LP-Z]{3}")
_BYTES: Final = 9
_ALTITUDE: Final = re.compile(rb"^[\]>`'T]?([!-{]{3})\}")
_SEA_LEVEL: Final = 10_000
_BLANKS: Final = "KLZ"


def mic_said(to: str, words: bytes) -> Said:
    """Return what a report says: latitude in the address, the rest in its words.

    `words`: from the byte of their kind on. Raises UnreadError.
    """
    sent_to = to.partition("-")[0]
    if not _TO.fullmatch(sent_to) or len(words) < _BYTES:
        raise UnreadError(Cause.UNKNOWN if len(words) >= _BYTES else Cause.HALF)
    said = Said(_lat_deg(sent_to), _lon_deg(sent_to, words[1:4]))
    tens, units, hundreds = (byte - 28 for byte in words[4:7])
    if not (0 <= tens < 128 and 0 <= units < 100 and 0 <= hundreds < 100):
        raise UnreadError(Cause.RANGE)
    knots, track_deg = 10 * tens + units // 10, 100 * (units % 10) + hundreds
    said.speed_mps = KNOT_MPS * (knots - 800 if knots >= 800 else knots)
    track_deg = track_deg - 400 if track_deg >= 400 else track_deg
    said.track_deg = float(track_deg) if 1 <= track_deg <= 360 else None  # 0: not known
    if match := _ALTITUDE.match(words[_BYTES:]):
        said.height_m = float(base91(match[1]) - _SEA_LEVEL)
    return said


def _lat_deg(to: str) -> float:
    """Return the latitude: a digit in each letter, and in the fourth its side."""
    digits = "".join(map(_digit, to))
    blank = digits.find(" ")
    if blank >= 0:
        if digits[blank:].strip() or blank < 2:
            raise UnreadError(Cause.RANGE)
        digits = (digits[:blank] + ("3" if blank == 2 else "5")).ljust(6, "0")
    minutes = int(digits[2:]) / 100.0
    if minutes >= 60.0:
        raise UnreadError(Cause.RANGE)
    deg = int(digits[:2]) + minutes / 60.0
    return deg if to[3] >= "P" else -deg


def _digit(letter: str) -> str:
    """Return the digit that a letter of the address stands for, a blank where it leaves it open.

    >>> "".join(map(_digit, "32U6AJPYL"))
    '32560909 '
    """
    if letter in _BLANKS:
        return " "
    if letter.isdigit():
        return letter
    return chr(ord(letter) - (ord("A") if letter < "K" else ord("P")) + ord("0"))


def _lon_deg(to: str, three: bytes) -> float:
    """Return the longitude: degrees, minutes, hundredths, each 28 too large, and more by steps."""
    deg, minutes, hundredths = (byte - 28 for byte in three)
    if to[4] >= "P":
        deg += 100
    if 180 <= deg <= 189:
        deg -= 80
    elif 190 <= deg <= 199:
        deg -= 190
    minutes = minutes - 60 if minutes >= 60 else minutes
    if not (0 <= deg < 180 and 0 <= minutes < 60 and 0 <= hundredths < 100):
        raise UnreadError(Cause.RANGE)
    value_deg = deg + (minutes + hundredths / 100.0) / 60.0
    return -value_deg if to[5] >= "P" else value_deg
