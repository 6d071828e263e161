"""Numbers as they are typed in a hurry: comma or point, degrees and minutes, letters of the sky."""

import math
import re
from typing import Final, NamedTuple

from farglide.errors import AnswerError
from farglide.units import FOOT_M, KNOT_MPS

_NUMBER: Final = re.compile(r"[+-]?(?:\d{1,9}(?:[.,]\d{0,9})?|[.,]\d{1,9})", re.ASCII)
_TOKEN: Final = re.compile(rf"({_NUMBER.pattern})|([a-z'\"/]+)|(;)", re.ASCII)
_JOINED: Final = re.compile(r"(\d+\.\d+),(?=[+-]?\d)", re.ASCII)
_PLAIN: Final = str.maketrans(
    {"−": "-", "–": "-", "°": " ", "º": " ", "′": "'", "’": "'", "″": '"', "”": '"'}
)
_MOST_SIGNS: Final = 200
UNITS: Final = {
    "m": ("amsl_m", 1.0), "ft": ("amsl_m", FOOT_M), "feet": ("amsl_m", FOOT_M),
    "km": ("amsl_m", 1000.0), "mps": ("speed_mps", 1.0), "m/s": ("speed_mps", 1.0),
    "kmh": ("speed_mps", 1.0 / 3.6), "km/h": ("speed_mps", 1.0 / 3.6),
    "kt": ("speed_mps", KNOT_MPS), "v": ("volts", 1.0), "volt": ("volts", 1.0),
    "volts": ("volts", 1.0),
}  # fmt: skip
"""Units behind a number: what it is then, and how many of ours one is."""
_SKY: Final = {"n": 1.0, "s": -1.0, "e": 1.0, "w": -1.0}


class Token(NamedTuple):
    """One number or one word, as typed."""

    text: str
    value: float | None  # None: a word, or the divider ";"


class Corner(NamedTuple):
    """A latitude or longitude: its degrees, and its letter if one was typed."""

    deg: float
    letter: str


def cleaned(line: str) -> str:
    """Return a line in lower case with plain signs and single blanks; refuse one that is too long.

    >>> cleaned("  46°30.5′S ")
    "46 30.5's"
    """
    if len(line) > _MOST_SIGNS:
        raise AnswerError(f"That line has {len(line)} signs; type up to {_MOST_SIGNS}.")
    return " ".join(line.translate(_PLAIN).casefold().split())


def tokens(text: str) -> list[Token]:
    """Return numbers, words and dividers of a cleaned text; refuse any other sign.

    A comma between digits is a decimal point, except behind a number that has one already; a
    comma before a blank divides.

    >>> [one.text for one in tokens("46,512, 108.21e")]
    ['46,512', ';', '108.21', 'e']
    """
    divided = _JOINED.sub(r"\1 ; ", re.sub(r"[,;](?=\s|$)", " ; ", text))
    found, at = list[Token](), 0
    for match in _TOKEN.finditer(divided):
        _refuse_between(divided[at : match.start()])
        at, number = match.end(), match[1]
        found.append(Token(match[0], None if number is None else number_of(number)))
    _refuse_between(divided[at:])
    return found


def _refuse_between(text: str) -> None:
    if text.strip():
        raise AnswerError(f"{text.strip()!r} is no number and no word that is known here.")


def number_of(text: str) -> float:
    """Return a number with a comma or a point; refuse anything else.

    >>> number_of("1,6"), number_of("-.5")
    (1.6, -0.5)
    """
    if not _NUMBER.fullmatch(text):
        raise AnswerError(f"{text!r} is no number. Digits, one point or comma, a minus in front.")
    return float(text.replace(",", "."))


def place_typed(typed: list[Token]) -> tuple[float, float]:
    """Return latitude and longitude of tokens that are nothing but a place.

    Decimal degrees, degrees and minutes, or degrees, minutes and seconds; signs or letters. With a
    letter degrees and minutes may run together, 4630.5 S. It may be no place on Earth.

    >>> place_typed(tokens(cleaned("46 30,5 S 108 12.3 E")))
    (-46.50833333333333, 108.205)
    """
    first, second = _two(typed)
    corners = [_corner(first), _corner(second)]
    if corners[0].letter in ("e", "w") or corners[1].letter in ("n", "s"):
        corners.reverse()
    lat, lon = corners
    if lat.letter in ("e", "w") or lon.letter in ("n", "s"):
        raise AnswerError("Both numbers have a letter of one way. One needs N or S, one E or W.")
    return lat.deg, lon.deg


def _two(typed: list[Token]) -> tuple[list[Token], list[Token]]:
    """Return the tokens of latitude and of longitude."""
    clean = [one for one in typed if one.text not in ("'", '"', "''", "deg")]
    split = [_bare(one) for one in clean]
    cuts = [k for k, one in enumerate(split) if one.text == ";"]
    if len(cuts) == 1:
        first, second = split[: cuts[0]], split[cuts[0] + 1 :]
    else:
        split = [one for one in split if one.text != ";"]
        letters = [k for k, one in enumerate(split) if one.text in _SKY]
        ends = letters[0] + 1 if letters and letters[0] > 0 else 0
        at = ends if 0 < ends < len(split) else len(split) // 2
        if not letters and len(split) % 2:
            raise AnswerError(_HOW)
        first, second = split[:at], split[at:]
    return first, second


_HOW: Final = "Type a place as 46.5123 S 108.2045 E, -46.5123 108.2045, or 46 30.74 S 108 12.27 E."


def _bare(token: Token) -> Token:
    """Return a word without the marks of minutes and seconds."""
    return token if token.value is not None else Token(token.text.strip("'\""), None)


def _corner(typed: list[Token]) -> Corner:
    """Return the degrees of one side of a place."""
    numbers = [one for one in typed if one.value is not None]
    letters = [one.text for one in typed if one.value is None and one.text]
    values = [one.value for one in numbers if one.value is not None]
    if not 1 <= len(values) <= 3 or len(letters) > 1 or any(one not in _SKY for one in letters):
        raise AnswerError(_HOW)
    if len(values) == 1 and letters and abs(values[0]) > (90.0 if letters[0] in "ns" else 180.0):
        whole = math.floor(abs(values[0]) / 100.0)
        values = [math.copysign(whole, values[0]), abs(values[0]) - 100.0 * whole]
    if any(not 0.0 <= one < 60.0 for one in values[1:]):
        raise AnswerError("Minutes and seconds go from 0 to 59.999. " + _HOW)
    letter = letters[0] if letters else ""
    if letter and numbers[0].text.startswith(("-", "+")):
        raise AnswerError("A sign and a letter say the same twice: leave one out.")
    size = sum(abs(one) / 60.0**k for k, one in enumerate(values))
    sign = _SKY[letter] if letter else -1.0 if numbers[0].text.startswith("-") else 1.0
    return Corner(math.copysign(size, sign), letter)
