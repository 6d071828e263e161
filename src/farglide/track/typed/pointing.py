"""Pointing: directions as a crew says them: degrees, o'clock from the car's nose, fists up."""

import re
from dataclasses import replace
from typing import Final

from farglide.earth.state import wrapped_azimuth_deg
from farglide.errors import AnswerError
from farglide.track.typed.entries import THEODOLITE_SD_DEG, Bearing
from farglide.track.typed.known import Known, named
from farglide.track.typed.numbers import number_of

FIST_DEG: Final = 10.0  # at arm's length: common practice, no source
_CLOCK: Final = re.compile(r"(1[0-2]|[1-9])(?::([0-5]\d))?\s*(?:h|oclock|o'clock|uhr)?", re.ASCII)
_AIM: Final = re.compile(
    r"(?P<stand>.*?)\s*"
    r"(?:(?P<clock>(?:1[0-2]|[1-9])(?::[0-5]\d)?)\s*(?:h|oclock|o'clock)|(?P<deg>[\d.,]+))"
    r"(?:\s+(?:(?P<fists>[\d.,]+)\s*(?:fists?|f)|(?P<up>-?[\d.,]+)))?",
    re.ASCII,
)


def clock_of(text: str) -> float:
    """Return a clock position in hours, 12 told as 0.

    >>> clock_of("11"), clock_of("10:30 o'clock"), clock_of("12")
    (11.0, 10.5, 0.0)
    """
    match = _CLOCK.fullmatch(text.strip())
    if match is None:
        raise AnswerError("Type a clock position, 1 to 12: sun 11, or sun 10:30.")
    return int(match[1]) % 12 + int(match[2] or 0) / 60.0


def bearing_of(text: str, known: Known) -> Bearing:
    """Return where an antenna points: `a 245 32`, `a Stile 245`, `a 2 h 3 fists`.

    Clock words count from the nose of the car, which must be known.
    """
    match = _AIM.fullmatch(text.strip())
    if match is None:
        raise AnswerError("Type azimuth and elevation: a 245 32; or a 2 h 3 fists.")
    names = [one.name for one in known.stands]
    stand = named(match["stand"], names, "stand") if match["stand"] else known.stand
    azimuth_deg = (
        number_of(match["deg"])
        if match["clock"] is None
        else _from_nose(match["clock"], known, stand)
    )
    up = None if match["up"] is None else number_of(match["up"])
    if match["fists"] is not None:
        up = FIST_DEG * number_of(match["fists"])
    return Bearing(azimuth_deg=azimuth_deg, elevation_deg=up, stand=stand)


def theodolite_of(text: str, known: Known) -> Bearing:
    """Return where a theodolite points: `t 245.3 32.1`, `t Stile 245.3 32.1`."""
    return replace(bearing_of(text, known), sd_deg=THEODOLITE_SD_DEG)


def _from_nose(clock: str, known: Known, stand: str) -> float:
    at = known.stand_named(stand)
    if at is None or at.nose_deg is None:
        raise AnswerError("Where the car's nose points is not known: type degrees, a 245 32.")
    return wrapped_azimuth_deg(at.nose_deg + 30.0 * clock_of(clock))
