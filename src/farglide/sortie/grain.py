"""Grain: how finely a plan is computed."""

from dataclasses import dataclass
from itertools import pairwise
from typing import Final

from farglide.errors import InputError

PRICES_MPS: Final = (3.0, 8.0, 16.0, 30.0, 60.0, 150.0, 1000.0)
_SLAB: Final = 5


@dataclass(frozen=True, slots=True, kw_only=True)
class Grain:
    """How finely a plan is computed, and with which variations of the whole of it."""

    n_draws: int = 1000
    seed: int = 1
    clock_s: float = 30.0
    prices_mps: tuple[float, ...] = PRICES_MPS
    slab: int = _SLAB  # layers taken as one in the priced reach tables
    slowing: bool = True  # false leaves out the energy of slowing down on the way
    held_eas_mps: float = 0.0  # a speed flown at every height, instead of the best in each layer
    delay_s: float = 0.0  # spent on the ground with the packs on
    most_flown: int = (
        60_000  # of what a cross wind sets aside in one question: half a second on two cores
    )

    def __post_init__(self) -> None:
        if not 50 <= self.n_draws <= 20_000:
            remedy = "With fewer, chances have no digits; each thousand takes 0.3 GB."
            raise InputError("n_draws", self.n_draws, "50 to 20 000", remedy)
        if not 5.0 <= self.clock_s <= 300.0:
            raise InputError("clock_s", f"{self.clock_s} s", "5 to 300 s")
        for name, value, least in (
            ("delay_s", self.delay_s, 0.0),
            ("held_eas_mps", self.held_eas_mps, 0.0),
        ):
            if not least <= value < 1e6:
                raise InputError(name, value, f"{least:g} or more")
        rising = all(a < b for a, b in pairwise((0.0, *self.prices_mps)))
        if not self.prices_mps or not rising:
            raise InputError("prices_mps", self.prices_mps, "rising speeds above 0 m/s")
        if self.slab < 1 or self.slab % 2 == 0:
            raise InputError("slab", self.slab, "an odd number, 1 or more")
