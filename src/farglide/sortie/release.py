"""Release: which height the crew sees to release by, and what a burst before it leaves."""

from dataclasses import dataclass
from typing import Literal

from farglide.errors import InputError

SeenBy = Literal["gnss", "pressure", "none"]


@dataclass(frozen=True, slots=True, kw_only=True)
class ReleaseSpec:
    """The height that the crew releases by: above its validity, and with "none", the clock leads.

    Errors are one standard deviation and keep their sign for a whole flight.
    """

    seen_by: SeenBy = "gnss"
    seen_to_amsl_m: float = 50_000.0
    seen_error_m: float = 15.0
    gauge_error_pa: float = 100.0  # of a pressure gauge: the thinner the air, the more metres
    free_after_burst_ratio: float = 0.5  # chance that the glider comes free of the remains

    def __post_init__(self) -> None:
        for name, value, unit in (
            ("seen_error_m", self.seen_error_m, "m"),
            ("gauge_error_pa", self.gauge_error_pa, "Pa"),
        ):
            if not 0.0 <= value < float("inf"):
                raise InputError(name, f"{value} {unit}", "0 or more, finite")
        if not 0.0 <= self.free_after_burst_ratio <= 1.0:
            raise InputError("free_after_burst_ratio", self.free_after_burst_ratio, "0 to 1")

    @property
    def valid_to_amsl_m(self) -> float:
        """Return up to which height there is a reading; minus infinity without one."""
        return self.seen_to_amsl_m if self.seen_by != "none" else float("-inf")
