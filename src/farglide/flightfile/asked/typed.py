"""Typed: what a person typed, understood as the keys of a flight file, or refused with why."""

import re
from collections.abc import Mapping, Sequence
from datetime import UTC, datetime, timedelta, timezone
from typing import Final, NamedTuple

from farglide.earth.clock import check_zone, local_datetime, seconds_from_datetime
from farglide.errors import AnswerError, InputError, Problem
from farglide.flightfile.reading.endings import HEIGHT, si_value, unit_question, unit_text
from farglide.flightfile.reading.keys import Quantity
from farglide.flightfile.reading.meant import degrees_text, plain
from farglide.flightfile.reading.reader import Reader

Keys = Mapping[str, object]
"""What an answer puts into the flight file: values by their keys."""
MOMENT: Final = "like 2027-06-15 09:30 +02:00; for the zone also Z or Europe/Vienna"

_NUMBER: Final = re.compile(r"([+-]?\d+(?:\.\d+)?)\s*(.*)", re.ASCII)
_THOUSANDS: Final = re.compile(r"(?<=\d)[ '](?=\d{3}(?!\d))")
_OFFSET: Final = re.compile(r"(Z|UTC|[+-]\d\d(?::?\d\d)?)$")
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
    value, unit = float(found[1]), found[2].strip().lower()
    for one in ways:
        ending, times = _ending(one, unit)
        if ending is not None:
            return _checked(one.row, ending, times * value)
    units = " or ".join(sorted({_shown(unit) for one in ways for unit in one.row.units if unit}))
    raise AnswerError(f'"{found[2].strip()}" is no unit of this. Allowed: {units}.')


def _checked(row: Quantity, ending: str, value: float) -> Keys:
    """Return a number under its key, if the flight file takes it."""
    key, problems = row.key_in(ending), list[Problem]()
    is_whole = abs(value) < 1e9 and value == round(value)
    number = int(value) if is_whole else float(f"{value:.10g}")
    Reader("", {key: number}, problems).numbers((row,))
    if problems:
        one = problems[0]
        remedy = _REMEDY.sub(lambda at: f"Type {at[2]} {_shown(at[1])}.", one.remedy)
        raise AnswerError(f"That {one.what} {remedy}".strip())
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
    """Return a name on one line."""
    name = " ".join(said.split())
    if not name or len(name) > _LONGEST_NAME or not name.isprintable():
        raise AnswerError(f"Type a name of 1 to {_LONGEST_NAME} characters on one line.")
    return name


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
    if said.count(";") == 1:
        halves = [tuple(said.split(";"))]
    else:
        words = said.replace(",", " ").split()
        cuts = sorted(range(1, len(words)), key=lambda at: abs(len(words) - 2 * at))
        halves = [(" ".join(words[:at]), " ".join(words[at:])) for at in cuts]
    for half in halves:
        lat, lon = map(degrees_text, half)
        if lat and lon:
            return _within(float(lat), float(lon))
    raise AnswerError(
        "That is no place. Type latitude, then longitude; south and west are negative."
    )


def _within(lat_deg: float, lon_deg: float) -> Keys:
    if abs(lat_deg) > 88.0 or abs(lon_deg) > 180.0:
        fits = abs(lon_deg) <= 88.0 and abs(lat_deg) <= 180.0
        ask = " Are they swapped? The latitude comes first." if fits else ""
        told = f"latitude {lat_deg:g}, longitude {lon_deg:g}"
        raise AnswerError(f"That is {told}; allowed: -88 to 88 and -180 to 180.{ask}")
    if lat_deg == lon_deg == 0.0:
        raise AnswerError("That is 0, 0: no place was given.")
    return {"lat_deg": lat_deg, "lon_deg": lon_deg}


def typed_moment(said: str) -> Keys:
    """Return date, time and offset; a zone by its name stands in the file too.

    >>> typed_moment("2027-06-15 09:30 Europe/Vienna")["launch_at"].isoformat()
    '2027-06-15T09:30:00+02:00'
    """
    try:
        return _moment(" ".join(re.sub(r"(?<=\d)T(?=\d)", " ", said).split()))
    except (ValueError, InputError):
        what = f'"{said.strip()}" is no date with time and zone.'
        raise AnswerError(f"{what} Type it {MOMENT}.") from None


def _moment(said: str) -> Keys:
    """Return a moment; what cannot be one raises ValueError or InputError."""
    day, _, rest = said.partition(" ")
    offset = _OFFSET.search(rest)
    if offset:
        clock = rest[: offset.start()].strip()
        stamp = "Z" if offset[1] == "UTC" else offset[1]
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
