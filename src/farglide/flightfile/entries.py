"""Entries: the sections of a flight file as read, before they are held against each other."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, fields
from typing import Any, TypeVar, cast

from farglide.errors import Problem
from farglide.flightfile.reading.endings import SI_ENDINGS, unit_text
from farglide.flightfile.reading.keys import Numbers, Quantity
from farglide.flightfile.reading.lists import (
    Pairs,
    PairTable,
)
from farglide.flightfile.reading.reader import Reader
from farglide.sortie.known import Known

T = TypeVar("T")
Document = Mapping[str, object]
Choice = tuple[Sequence[str], str | None]
"""The allowed words, and the one taken where the key is left out; None: it may not be."""


def _as_it_is(row: Mapping[str, object]) -> Mapping[str, object]:
    return row


def _unexplained(_: str, __: Mapping[str, object]) -> str:
    return ""


@dataclass(slots=True, kw_only=True)
class Entry:
    """One section as read: the balloon, one of several packs; refused numbers are NaN."""

    title: str  # as the reader shows it
    name: str
    numbers: Numbers
    texts: dict[str, str]
    lists: dict[str, tuple[str, ...]]
    tables: dict[str, Pairs]
    counts: dict[str, int]
    outline: Pairs = ()  # of a field or a barrier

    def value(self, key: str) -> float:
        """Return a number, as stated or as it stands in."""
        return self.numbers[key].value

    def given(self, key: str) -> bool:
        """Tell whether a number is stated."""
        return self.numbers[key].given

    def stated(self, key: str) -> float | None:
        """Return a number, None where it is not stated, or was refused."""
        number = self.numbers[key]
        return number.value if number.given and number.value == number.value else None

    def known(self, key: str) -> Known:
        """Return a number with its doubt and origin."""
        return self.numbers[key].known()

    def known_if_given(self, key: str) -> Known | None:
        """Return a number with its doubt and origin, None where it is not stated."""
        return self.numbers[key].known() if self.numbers[key].given else None

    def spec(self, kind: Callable[..., T], **others: object) -> T:
        """Return a spec whose fields stand in this section under their own names, but for `others`.

        How a number is taken follows from the field's type. A field that is in neither keeps its
        default.
        """
        ways: dict[object, Callable[[str], object]] = {
            float: self.value,
            float | None: self.stated,
            Known: self.known,
            Known | None: self.known_if_given,
        }
        types = {one.name: one.type for one in fields(cast(Any, kind)) if one.name not in others}
        words = {"name": self.name, **self.texts, **self.lists, **self.counts}
        stated = {key: words[key] for key in types if key in words}
        numbers = {key: ways[types[key]](key) for key in types if key in self.numbers}
        return kind(**stated, **numbers, **others)

    def problem(self, key: str, what: str, remedy: str = "") -> Problem:
        """Return a problem with one key, or with the whole section where the key is empty.

        A number's key is told as the file writes it.
        """
        return Problem(f"{self.title} {self.written(key)}".strip(), what, remedy)

    def written(self, key: str) -> str:
        """Return a key as the file writes it, with the unit that it chose."""
        number = self.numbers.get(key)
        return (number.written if number else "") or key

    def told(self, key: str) -> str:
        """Return a number in the unit that the file chose, with that unit behind it."""
        number = self.numbers[key]
        unit = self.written(key).removeprefix(_base(key)).lstrip("_")
        return f"{number.value / number.unit_si:.6g}{unit_text(unit)}"

    @property
    def place(self) -> tuple[float, float]:
        """Return its latitude and longitude in degrees."""
        return self.value("lat_deg"), self.value("lon_deg")


@dataclass(frozen=True, slots=True, kw_only=True)
class Section:
    """What one section of a flight file may hold: its keys by kind."""

    name: str
    noun: str = ""  # "pack", where there may be several
    about: str = ""  # what it is for, on the page of keys
    words: Mapping[str, str] = field(default_factory=dict)  # what its keys without numbers mean
    rows: tuple[Quantity, ...] = ()
    texts: tuple[str, ...] = ()
    clock: str = ""  # a text that may be a time of day, without quotes
    spell: Callable[[Mapping[str, object]], Mapping[str, object]] = _as_it_is
    """Takes apart what may be written shorter, before it is read."""
    choices: Mapping[str, Choice] = field(default_factory=dict)
    misread: Callable[[str, Mapping[str, object]], str] = _unexplained
    """Tells why the word of a choice is refused, where more can be said than which are allowed."""
    lists: tuple[str, ...] = ()
    tables: tuple[PairTable, ...] = ()
    counts: tuple[str, ...] = ()
    finish: Callable[[Reader, Entry], None] | None = None
    """Reads what this section alone has, and puts in what stands for its missing numbers."""

    @property
    def title(self) -> str:
        """Return it as the file writes it."""
        return f"[[{self.name}]]" if self.noun else f"[{self.name}]"


@dataclass(slots=True)
class Entries:
    """Everything a flight file says, section by section."""

    of: dict[str, list[Entry]]

    def the(self, section: str) -> Entry:
        """Return the one entry of a section that stands once."""
        return self.of[section][0]


def _base(key: str) -> str:
    """Return a key without the ending of its SI unit.

    >>> _base("neck_lift_kg"), _base("lift_max")
    ('neck_lift', 'lift_max')
    """
    base, _, ending = key.rpartition("_")
    return base if ending in SI_ENDINGS else key


def quoted(words: Sequence[str]) -> str:
    """Return words of a choice as the page of keys shows them.

    >>> quoted(["up", "down"])
    '``"up"``, ``"down"``'
    """
    return ", ".join(f'``"{word}"``' for word in words)
