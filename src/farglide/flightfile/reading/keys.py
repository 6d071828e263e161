"""Keys of a flight file: the numbers it may state, one row each, and a number as it was read."""

from dataclasses import dataclass, replace
from functools import partial
from typing import Final, NamedTuple

from farglide.flightfile.reading.endings import RATIO, Units, si_value, unit_text
from farglide.flightfile.reading.meant import plain
from farglide.sortie.known import Known, Tag


@dataclass(frozen=True, slots=True, kw_only=True)
class Doubt:
    """The standard deviation taken when the file states none, by origin of the number.

    A share of the value, or where `absolute` in its SI unit.
    """

    measured: float
    typical: float
    guess: float
    absolute: bool = False

    def sd(self, value: float, tag: Tag) -> float:
        """Return the standard deviation of a value of this origin."""
        size = {Tag.MEASURED: self.measured, Tag.TYPICAL: self.typical, Tag.GUESS: self.guess}[tag]
        return size if self.absolute else size * abs(value)


class Quantity(NamedTuple):
    """One number a section may hold: its name without the unit, its units, range and default."""

    base: str
    units: Units
    span: tuple[float, float]  # what is allowed, in the SI unit
    says: str  # "the balloon weighs": a sentence that the number completes
    default: float | None = None
    required: bool = False
    tag: Tag = Tag.GUESS  # of the default
    doubt: Doubt | None = None
    settle: str = ""  # the cheapest test that would replace a guess
    choice: bool = False  # a decision of the crew, not a quantity with an origin

    @property
    def key(self) -> str:
        """Return the key in the SI unit, by which the number is known everywhere."""
        return self.key_in(self.unit)

    @property
    def unit(self) -> str:
        """Return the ending of the SI unit."""
        return next(iter(self.units))

    def key_in(self, unit: str) -> str:
        """Return the key as written in one of the allowed units."""
        return f"{self.base}_{unit}" if unit else self.base

    @property
    def keys(self) -> dict[str, str]:
        """Return every way to write the number's key, and the unit in which it ends."""
        return {self.key_in(unit): unit for unit in self.units}

    def holds(self, value: float) -> bool:
        """Tell whether a number in the SI unit is allowed."""
        return self.span[0] <= value <= self.span[1]

    def si_of(self, key: str) -> float:
        """Return what one of the unit in which a key ends is in SI."""
        return si_value(1.0, self.units[self.keys[key]])

    def range_text(self, unit: str | None = None) -> str:
        """Return what is allowed, in one of its units; in SI where none is named."""
        unit = self.unit if unit is None else unit
        one = si_value(1.0, self.units[unit])
        low, high = (plain(end / one) for end in self.span)
        return f"{low} to {high}{unit_text(unit)}"

    @property
    def spread_units(self) -> Units:
        """Return the units in which its doubt may be written, nothing where it has none."""
        if self.doubt is None:
            return {}
        return {**{unit: scale for unit, scale in self.units.items() if unit}, **RATIO}

    @property
    def spread_keys(self) -> dict[str, str]:
        """Return every way to write the key of its doubt, and the unit in which it ends."""
        return {f"{self.base}_spread_{unit}": unit for unit in self.spread_units}


needed: Final = partial(Quantity, required=True)
"""The row of a number that must be stated."""
guess: Final = partial(Quantity, tag=Tag.GUESS)
"""The row of a number that is guessed where it is left out."""
typical: Final = partial(Quantity, tag=Tag.TYPICAL)
"""The row of a number that is left out where it is as usual."""
choice: Final = partial(Quantity, tag=Tag.TYPICAL, choice=True)
"""The row of a decision of the crew that has a usual answer."""


def shares(measured: float, typical: float, guess: float) -> Doubt:
    """Return doubts as shares of the value, by its origin."""
    return Doubt(measured=measured, typical=typical, guess=guess)


@dataclass(frozen=True, slots=True, kw_only=True)
class StatedSpread:
    """A doubt as the file states it: a share of the number, or a size in its SI unit."""

    size: float
    is_share: bool

    def sd(self, value: float) -> float:
        """Return the standard deviation of a value."""
        return self.size * abs(value) if self.is_share else self.size


@dataclass(frozen=True, slots=True, kw_only=True)
class Stated:
    """A number as read, in SI; NaN where it is missing without a default, or was refused."""

    value: float
    sd: float
    tag: Tag
    given: bool
    spread: StatedSpread | None = None  # as the file states it
    tagged: bool = False  # the file says where it comes from
    written: str = ""  # the key as the file writes it, in the unit that it chose
    unit_si: float = 1.0  # one of that unit in SI
    fitted: bool = False  # it follows from what was measured of the whole
    doubt: Doubt | None = None  # that such numbers have

    def filled(self, value: float, tag: Tag) -> "Stated":
        """Return it with this value and origin, its doubt as stated or as such numbers have."""
        usual_sd = self.doubt.sd(value, tag) if self.doubt else 0.0
        sd = self.spread.sd(value) if self.spread else usual_sd
        return replace(self, value=value, tag=tag, sd=sd)

    def known(self) -> Known:
        """Return the number with its doubt and origin."""
        return Known(value=self.value, sd=self.sd, tag=self.tag)


Numbers = dict[str, Stated]
"""The numbers of a section by their SI keys."""


def stand_in(numbers: Numbers, key: str, value: float, tag: Tag) -> None:
    """Put a value in place of one that is not stated; NaN, from a refused neighbour, stays NaN."""
    if not numbers[key].given:
        numbers[key] = numbers[key].filled(value, tag)
