"""Wanted: which part of a forecast is read."""

from dataclasses import dataclass

from farglide.earth.box import Box
from farglide.errors import InputError


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """An area, a stretch of time and the least pressure; what is None is not limited.

    The grid that is read reaches to the next point outside the area and to the next time outside
    the stretch, so that all inside can be found between its values.
    """

    box: Box | None = None
    times_s: tuple[float, float] | None = None  # first and last
    least_p_pa: float | None = None

    def __post_init__(self) -> None:
        if self.times_s is not None and not self.times_s[0] <= self.times_s[1]:
            told = f"{self.times_s[0]:.0f} to {self.times_s[1]:.0f} s"
            raise InputError("times_s", told, "a first time that is not after the last")
        if self.least_p_pa is not None and not 0.0 <= self.least_p_pa <= 110_000.0:
            raise InputError("least_p_pa", f"{self.least_p_pa:g} Pa", "0 to 110 000 Pa")
