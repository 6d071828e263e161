"""Parts: one line that a person answers, its limits, and what reads the answer."""

from collections.abc import Callable, Generator, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any, Final, NamedTuple

from farglide.flightfile.asked.moments import MOMENT, typed_moment
from farglide.flightfile.asked.typed import (
    Keys,
    Way,
    limits_text,
    typed_count,
    typed_name,
    typed_number,
    typed_place,
    typed_word,
)
from farglide.flightfile.entries import Section
from farglide.flightfile.sections.launching import LAUNCH_PLACES


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One line to be answered.

    `blank`: what an empty answer means, in words; empty where an answer is needed; `words`: those
    that are an answer to this part, whatever they mean elsewhere.
    """

    key: str
    ask: str
    limits: str
    take: Callable[[str], Keys]
    blank: str = ""
    words: Sequence[str] = ()


class Turn(NamedTuple):
    """The part that is to be answered now, and of which question, counted from 1."""

    question: int
    part: Part


Document = dict[str, Any]
Asked = Generator[Turn, Keys, Document]
"""Yields turns, is sent the keys of each answer, and hands all of them back."""
_NONE: Final[Mapping[str, str]] = MappingProxyType({})


def in_turn(question: int, *parts: Part) -> Asked:
    """Ask some parts of a question one after the other."""
    found: Document = {}
    for part in parts:
        found |= yield Turn(question, part)
    return found


def way(section: Section, base: str, unit: str) -> Way:
    """Return the number of a section that is called `base`, typed in a unit unless one is said."""
    return Way(next(row for row in section.rows if row.base == base and unit in row.units), unit)


def number(key: str, ask: str, *ways: Way, blank: str = "") -> Part:
    """Return a part that is answered by a number in one of some ways, told apart by their units."""
    limits = ", or ".join(map(limits_text, ways))
    return Part(
        key=key, ask=ask, limits=limits, blank=blank, take=lambda said: typed_number(said, ways)
    )


def text(key: str, ask: str, blank: str = "", limits: str = "a name") -> Part:
    """Return a part that is answered by a name."""
    return Part(
        key=key, ask=ask, limits=limits, blank=blank, take=lambda said: {key: typed_name(said)}
    )


def choice(
    key: str, ask: str, words: Sequence[str], blank: str = "", also: Mapping[str, str] = _NONE
) -> Part:
    """Return a part that is answered by one of some words, or by the beginning of one.

    `also`: words that stand for one of them.
    """
    every = (*words, *also)

    def take(said: str) -> Keys:
        word = typed_word(said, every)
        return {key: also.get(word, word)}

    limits = " or ".join(words)
    return Part(key=key, ask=ask, limits=limits, blank=blank, take=take, words=every)


def count(key: str, ask: str, most: int, blank: str) -> Part:
    """Return a part that is answered by a whole number."""
    return Part(
        key=key, ask=ask, limits=f"a whole number, 0 to {most}", blank=blank,
        take=lambda said: {key: typed_count(said, most)},
    )  # fmt: skip


def place(ask: str, blank: str = "") -> Part:
    """Return a part that is answered by latitude and longitude on one line."""
    limits = "latitude, longitude, as a map shows them: -25.0167, -65.5 or 25 01 S, 65 30 W"
    return Part(key="place", ask=ask, limits=limits, take=typed_place, blank=blank)


def moment(ask: str) -> Part:
    """Return a part that is answered by date, time and offset or zone."""
    return Part(key="launch_at", ask=ask, limits=MOMENT, take=typed_moment)


def ground(blank: str = "") -> Part:
    """Return a part that is answered by the height of the ground at a place."""
    ask = "height of the ground above sea level, off a map"
    return number("amsl", ask, way(LAUNCH_PLACES, "amsl", "m"), blank=blank)
