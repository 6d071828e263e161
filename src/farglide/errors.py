"""Every exception of farglide, as one tree.

FarglideError
├── InputError          one value is out of its range or of the wrong kind
├── FlightFileError     a flight file, or one of addresses, with problems, all of them in one go
├── SourceError         a file of winds, log or track that cannot be read, or is of another flight
│   ├── UncoveredError  a forecast that ends before the area that is needed
│   └── FetchError      an address that does not give what it is asked for
├── ContradictionError  values that are each possible but cannot hold together
├── OutputError         an answer that nobody gets: standard output is closed, or full
└── AnswerError         an answer typed into a dialogue that cannot be taken: it is asked again
"""

import re
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from typing import Final, TypeGuard

_MOST_TOLD: Final = 100
"""How many problems of a file one message holds."""
_LONGEST_ADDRESS: Final = 150
THIN_SPACE: Final = "\u2009"  # between thousands
_TOLD_WHOLE: Final = (1e-12, 1e15)
"""Beyond these a number is told with its power: nobody counts the zeros."""


class FarglideError(Exception):
    """The root: catch this to catch all that farglide raises on purpose."""


class InputError(FarglideError, ValueError):
    """One value that cannot be used: its name, value and unit, what is allowed, what to do.

    A value told as text with its unit behind it is taken apart.

    >>> error = InputError("amsl_m", "60000 m", "-500 to 47 000 m", "Is it in feet?")
    >>> print(error)
    amsl_m is 60000 m; allowed: -500 to 47 000 m. Is it in feet?
    >>> error.name, error.value, error.unit, error.allowed, error.remedy
    ('amsl_m', 60000.0, 'm', '-500 to 47 000 m', 'Is it in feet?')
    """

    def __init__(self, name: str, value: object, allowed: str, remedy: str = "") -> None:
        self.name, self.allowed, self.remedy = name, allowed, remedy
        self.value, self.unit = _value_and_unit(value)
        tail = f" {remedy}" if remedy else ""
        super().__init__(f"{name} is {value}; allowed: {allowed}.{tail}")


class ContradictionError(FarglideError, ValueError):
    """Values that exclude each other: which and why, and what to do.

    >>> print(ContradictionError("two fields are called 'Meadow'.", "Rename one."))
    two fields are called 'Meadow'. Rename one.
    """

    def __init__(self, what: str, remedy: str) -> None:
        self.what, self.remedy = what, remedy
        super().__init__(f"{what} {remedy}")


class OutputError(FarglideError):
    """An answer that nobody gets, since standard output is closed or full."""


class AnswerError(FarglideError):
    """An answer that cannot be taken: why, and what may be typed instead."""


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing wrong in a file: where, what, and what to do; of a value what is allowed.

    >>> problem = Problem.of_value("[train] line_m", "900 m", "0 to 100 m")
    >>> print(problem)
    [train] line_m: is 900 m; allowed: 0 to 100 m.
    >>> problem.value, problem.unit, problem.allowed
    (900.0, 'm', '0 to 100 m')
    """

    where: str
    what: str
    remedy: str = ""
    value: object = None
    unit: str = ""
    allowed: str = ""

    @classmethod
    def of_value(cls, where: str, told: str, allowed: str, remedy: str = "") -> "Problem":
        """Return what is wrong with a value, told with its unit behind it."""
        return cls(
            where, f"is {told}; allowed: {allowed}.", remedy, *_value_and_unit(told), allowed
        )

    def __str__(self) -> str:
        return f"{self.where}: {self.what}" + (f" {self.remedy}" if self.remedy else "")


class FlightFileError(FarglideError):
    """A flight file that cannot be flown; `problems` holds every one found."""

    def __init__(self, path: str, problems: tuple[Problem, ...]) -> None:
        self.path, self.problems = path, problems
        lines = "\n".join(f"  {problem}" for problem in problems[:_MOST_TOLD])
        if len(problems) > _MOST_TOLD:
            lines += f"\n  ... and {len(problems) - _MOST_TOLD} more: mend these first."
        count = f"{len(problems)} problem" + ("s" if len(problems) != 1 else "")
        super().__init__(f"{path}: {count}\n{lines}")


class SourceError(FarglideError):
    """A file of others, or a log, that cannot be used: which, where in it, why, what to do."""

    def __init__(self, path: str, where: str, what: str, remedy: str = "") -> None:
        self.path, self.where, self.what, self.remedy = path, where, what, remedy
        place = f"{path}, {where}" if where else path
        super().__init__(f"{place}: {what}" + (f" {remedy}" if remedy else ""))


class UncoveredError(SourceError):
    """A forecast that does not cover the area that is needed."""


class Unfetched(StrEnum):
    """Why an address does not give what it is asked for."""

    NOT_THERE = "not there yet, or no more"
    REFUSED = "refused"
    CUT = "cut off"
    WRONG = "not what it should be"


class FetchError(SourceError):
    """An address that does not give what it is asked for: `cause` tells whether to ask elsewhere.

    A long one is told by its server and the file asked for; `address` is the whole of it.

    >>> error = FetchError(Unfetched.NOT_THERE, "http://a.example/f", "", "is not there.")
    >>> print(error.cause, error, sep="; ")
    not there yet, or no more; http://a.example/f: is not there.
    """

    def __init__(
        self, cause: Unfetched, address: str, where: str, what: str, remedy: str = ""
    ) -> None:
        super().__init__(_short_address(address), where, what, remedy)
        self.cause, self.address = cause, address


def check_range(
    name: str, value: float, unit: str, allowed: tuple[float, float], remedy: str = ""
) -> None:
    """Refuse a number outside its range, or none at all (NaN)."""
    if not allowed[0] <= value <= allowed[1]:
        text = f"{figure(allowed[0])} to {with_unit(figure(allowed[1]), unit)}"
        raise InputError(name, with_unit(figure(value), unit), text, remedy)


def figure(value: float) -> str:
    """Return a number in six digits as people write it: with thin spaces, never with a power.

    >>> figure(0.1), figure(86400.0), figure(1e6) == f"1{THIN_SPACE}000{THIN_SPACE}000"
    ('0.1', '86400', True)
    >>> figure(2e-6), figure(float("nan"))
    ('0.000002', 'nan')
    """
    short = f"{value:g}"
    if "e" not in short or not _TOLD_WHOLE[0] <= abs(value) <= _TOLD_WHOLE[1]:
        return short
    whole, point, rest = f"{Decimal(short):,f}".partition(".")
    return whole.replace(",", THIN_SPACE) + point + rest


def with_unit(number: str, unit: str) -> str:
    """Return a number with its unit behind it; degrees are told by their sign.

    >>> with_unit("164", "deg"), with_unit("2", "deg/s"), with_unit("12", "m"), with_unit("3", "")
    ('164°', '2°/s', '12 m', '3')
    """
    if unit.partition("/")[0] == "deg":
        return f"{number}{unit.replace('deg', '°')}"
    return f"{number} {unit}".rstrip()


def is_number(value: object) -> TypeGuard[int | float]:
    """Tell whether a value of a file is a number; true and false are none."""
    return isinstance(value, int | float) and not isinstance(value, bool)


def _short_address(address: str) -> str:
    """Return an address without its many options.

    >>> _short_address("http://a.example/cut?" + 40 * "level=1&" + "file=f003&top=4")
    'http://a.example/cut?...file=f003...'
    """
    if len(address) <= _LONGEST_ADDRESS:
        return address
    file = re.search(r"[?&](file=[^&]{1,80})", address)
    return f"{address.partition('?')[0][:_LONGEST_ADDRESS]}?...{f'{file[1]}...' if file else ''}"


def _value_and_unit(told: object) -> tuple[object, str]:
    """Return the number and the unit of a text such as "12 m/s"; anything else as it is.

    >>> _value_and_unit("12 m/s"), _value_and_unit("361°"), _value_and_unit("none")
    ((12.0, 'm/s'), (361.0, '°'), ('none', ''))
    """
    text = told.replace("°", " °", 1).replace("  ", " ") if isinstance(told, str) else ""
    number, _, unit = text.partition(" ")
    try:
        return (float(number.replace(THIN_SPACE, "")), unit) if unit else (told, "")
    except ValueError:
        return told, ""
