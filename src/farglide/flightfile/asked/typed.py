"""Typed: what a person typed, understood as the keys of a flight file, or refused with why."""

import re
from collections.abc import Mapping, Sequence
from typing import Final, NamedTuple

from farglide.errors import AnswerError, Problem
from farglide.flightfile.reading.endings import HEIGHT, si_value, unit_question, unit_text
from farglide.flightfile.reading.keys import Quantity
from farglide.flightfile.reading.meant import degrees_text, plain
from farglide.flightfile.reading.reader import Reader

Keys = Mapping[str, object]
"""What an answer puts into the flight file: values by their keys."""

_NUMBER: Final = re.compile(r"([+-]?\d+(?:\.\d+)?)\s*(.*)", re.ASCII)
_MEASURE: Final = re.compile(
    r"[+-]?\d+(?:[.,]\d+)? ?(?:[mkc]?m|ft|k?g|wh|mah|m?w|[kmg]?hz|dbm|dbi|km/h|m/s|min)?", re.ASCII
)
_THOUSANDS: Final = re.compile(r"(?<=\d)[ '](?=\d{3}(?!\d))")
_REMEDY: Final = re.compile(r"Write \w+_([a-z0-9]+) = (\S+)\.$")
"""What the file is told in a key; a person is told in a unit."""
_LONGEST_NAME: Final = 60
_RARE: Final = ("hz", "khz")
"""Taken where they are typed, but not worth a word."""
_MORE_NAMES: Final = {
    "kmph": ("kmh", "kph"), "kt": ("kn", "kts", "knot"), "ft": ("foot",), "mps": ("ms",),
    "min": ("minute",),
}  # fmt: skip


class Way(NamedTuple):
    """One number that may answer a part: its row, and the unit where none is typed."""

    row: Quantity
    unit: str


def typed_number(said: str, ways: Sequence[Way]) -> Keys:
    """Return the one number that was typed, under the key in the unit that was typed."""
    tidy = _THOUSANDS.sub("", said.strip().replace("−", "-").replace(",", "."))
    found = _NUMBER.fullmatch(tidy)
    if found is None:
        raise AnswerError(
            f'"{said.strip()}" is no number. Type one, with its unit behind it or bare.'
        )
    value, unit = float(found[1]), found[2].strip().lower().replace(" / ", "/")
    for one in ways:
        ending, times = _ending(one, unit)
        if ending is not None:
            others = "" if unit else _fits(value, [other for other in ways if other is not one])
            return _checked(one.row, ending, times * value, others)
    units = " or ".join(sorted({_shown(unit) for one in ways for unit in one.row.units if unit}))
    raise AnswerError(f'"{found[2].strip()}" is no unit of this. Allowed: {units}.')


def _fits(value: float, ways: Sequence[Way]) -> str:
    """Return in which other way a bare number would be one, as a question."""
    fitting = [
        f"{plain(value)} {_shown(one.unit)}" for one in ways
        if one.row.holds(si_value(value, one.row.units[one.unit]))
    ]  # fmt: skip
    return f"Or is it {' or '.join(fitting)}? Type it with its unit." if fitting else ""


def _checked(row: Quantity, ending: str, value: float, others: str) -> Keys:
    """Return a number under its key, if the flight file takes it.

    `others`: what else it might have meant, for a refusal.
    """
    key, problems = row.key_in(ending), list[Problem]()
    is_whole = abs(value) < 1e9 and value == round(value)
    number = int(value) if is_whole else float(f"{value:.10g}")
    Reader("", {key: number}, problems).numbers((row,))
    if problems:
        one = problems[0]
        remedy = _REMEDY.sub(lambda at: f"Type {at[2]} {_shown(at[1])}.", one.remedy)
        raise AnswerError(" ".join(filter(None, (f"That {one.what}", remedy, others))))
    return {key: number}


def _ending(one: Way, unit: str) -> tuple[str | None, float]:
    """Return the ending of the key for a typed unit, and what the number is multiplied with."""
    if not unit:
        return one.unit, 1.0
    names = {name: ending for ending in one.row.units for name in _names(ending)}
    if unit == "km" and one.row.units == HEIGHT:
        return "m", 1000.0
    return names.get(unit), 1.0


def _names(ending: str) -> tuple[str, ...]:
    question = unit_question(ending)
    words = (ending, _shown(ending).lower(), question, question.removesuffix("s"))
    return (*words, *_MORE_NAMES.get(ending, ()))


def _shown(ending: str) -> str:
    return unit_text(ending).strip() or ending


def limits_text(one: Way) -> str:
    """Return what is allowed of a number, in the unit that is taken where none is typed."""
    scale = si_value(1.0, one.row.units[one.unit])
    low, high = (plain(end / scale) for end in one.row.span)
    others = " or ".join(_shown(unit) for unit in one.row.units if unit not in (one.unit, *_RARE))
    return f"{low} to {high} {_shown(one.unit)}" + (f"; {others} too" if others else "")


def typed_name(said: str) -> str:
    """Return a name on one line; what can only answer another question is refused."""
    name = " ".join(said.split())
    if not name or len(name) > _LONGEST_NAME or not name.isprintable():
        raise AnswerError(f"Type a name of 1 to {_LONGEST_NAME} characters on one line.")
    if _degrees(name):
        raise AnswerError(
            f'"{name}" is latitude and longitude, but a name is asked here. Type what you call it; '
            "where it lies is asked by itself."
        )
    if _MEASURE.fullmatch(name.lower()):
        raise AnswerError(f'"{name}" is a number, but a name is asked here. Type what you call it.')
    return name


def typed_count(said: str, most: int) -> int:
    """Return a whole number from 0 to `most`."""
    tidy = said.strip()
    if not (tidy.isascii() and tidy.isdigit() and len(tidy) < 10 and int(tidy) <= most):
        raise AnswerError(f'"{tidy}" is not allowed here. Type a whole number, 0 to {most}.')
    return int(tidy)


def typed_word(said: str, words: Sequence[str]) -> str:
    """Return one of some words, of which the beginning is enough."""
    typed = " ".join(said.lower().split())
    found = [word for word in words if word == typed] or [
        word for word in words if typed and word.startswith(typed)
    ]
    if len(found) != 1:
        raise AnswerError(f'"{said.strip()}" is none of these: {", ".join(words)}.')
    return found[0]


def typed_place(said: str) -> Keys:
    """Return latitude and longitude from one line, as maps and receivers write them.

    >>> typed_place("-25.0167, -65.5"), typed_place("25 01 S 65 30 W")["lat_deg"]
    ({'lat_deg': -25.0167, 'lon_deg': -65.5}, -25.016667)
    """
    found = _degrees(said)
    if found is None:
        raise AnswerError(
            "That is no place. Type latitude, then longitude; south and west are negative."
        )
    return _within(*found)


def _degrees(said: str) -> tuple[float, float] | None:
    """Return the two angles of a line, None where it holds anything else."""
    if said.count(";") == 1:
        halves = [tuple(said.split(";"))]
    else:
        words = said.replace(",", " ").split()
        cuts = sorted(range(1, len(words)), key=lambda at: abs(len(words) - 2 * at))
        halves = [(" ".join(words[:at]), " ".join(words[at:])) for at in cuts]
    for half in halves:
        lat, lon = map(degrees_text, half)
        if lat and lon:
            return float(lat), float(lon)
    return None


def _within(lat_deg: float, lon_deg: float) -> Keys:
    if abs(lat_deg) > 88.0 or abs(lon_deg) > 180.0:
        fits = abs(lon_deg) <= 88.0 and abs(lat_deg) <= 180.0
        ask = " Are they swapped? The latitude comes first." if fits else ""
        told = f"latitude {lat_deg:g}, longitude {lon_deg:g}"
        raise AnswerError(f"That is {told}; allowed: -88 to 88 and -180 to 180.{ask}")
    if lat_deg == lon_deg == 0.0:
        raise AnswerError("That is 0, 0: no place was given.")
    return {"lat_deg": lat_deg, "lon_deg": lon_deg}
