"""Parts: one line that a person answers, its limits, and what reads the answer."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from farglide.flightfile.asked.typed import (
    MOMENT,
    Keys,
    Way,
    limits_text,
    typed_moment,
    typed_name,
    typed_number,
    typed_place,
    typed_word,
)
from farglide.flightfile.entries import Section


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One line to be answered.

    `blank`: what an empty answer means, in words; empty where an answer is needed.
    """

    key: str
    ask: str
    limits: str
    take: Callable[[str], Keys]
    blank: str = ""


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


def choice(key: str, ask: str, words: Sequence[str], blank: str = "") -> Part:
    """Return a part that is answered by one of some words, or by the beginning of one."""
    return Part(
        key=key, ask=ask, limits=" or ".join(words), blank=blank,
        take=lambda said: {key: typed_word(said, words)},
    )  # fmt: skip


def place(ask: str, blank: str = "") -> Part:
    """Return a part that is answered by latitude and longitude on one line."""
    limits = "latitude, longitude, as a map shows them: -25.0167, -65.5 or 25 01 S, 65 30 W"
    return Part(key="place", ask=ask, limits=limits, take=typed_place, blank=blank)


def moment(ask: str) -> Part:
    """Return a part that is answered by date, time and offset or zone."""
    return Part(key="launch_at", ask=ask, limits=MOMENT, take=typed_moment)
