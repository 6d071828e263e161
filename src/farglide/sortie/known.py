"""Known: a number of the flight file, how well it is known, and where it comes from."""

from dataclasses import dataclass
from enum import StrEnum

from farglide.errors import InputError


class Tag(StrEnum):
    """Where a number comes from, and so how far to trust it."""

    MEASURED = "measured"
    TYPICAL = "typical"
    GUESS = "guess"


@dataclass(frozen=True, slots=True, kw_only=True)
class Known:
    """A number, the standard deviation of the doubt about it, and where it comes from.

    `sd` is in the unit of `value`; 0 means "taken as exact".
    """

    value: float
    sd: float = 0.0
    tag: Tag = Tag.MEASURED

    def __post_init__(self) -> None:
        if not (self.value == self.value and abs(self.value) != float("inf")):
            raise InputError("value", self.value, "a finite number")
        if not 0.0 <= self.sd < float("inf"):
            raise InputError("sd", self.sd, "0 or more, finite")

    def measured(self, value: float, sd: float) -> "Known":
        """Return what is known after one more measuring with its own standard deviation.

        Source: product of two normal laws, as any textbook has it.

        >>> Known(value=1.6, sd=0.08).measured(1.8, 0.02)
        Known(value=1.788235..., sd=0.01940..., tag=<Tag.MEASURED: 'measured'>)
        """
        if not 0.0 < sd < float("inf"):
            raise InputError("sd of a measuring", sd, "more than 0, finite")
        if self.sd == 0.0:
            return self
        share = self.sd**2 / (self.sd**2 + sd**2)
        return Known(value=self.value + share * (value - self.value), sd=sd * share**0.5)

    @property
    def spread_ratio(self) -> float:
        """Return the standard deviation as a share of the value."""
        return self.sd / abs(self.value) if self.value else 0.0
