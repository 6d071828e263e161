"""The fall of what nobody steers: remains, spin, spiral, a circle left to itself, a parachute."""

import math
from dataclasses import dataclass
from enum import StrEnum
from typing import Final, NamedTuple

from farglide.constants import SEA_LEVEL_DENSITY_KGPM3, STANDARD_GRAVITY_MPS2
from farglide.errors import InputError, check_range
from farglide.kernel import compiled


class StoryKind(StrEnum):
    """What may be coming down."""

    REMAINS = "tangled remains"
    SPIN = "spin"
    SPIRAL = "firm spiral"
    CIRCLE = "hands-off circle"
    PARACHUTE = "parachute"


THIN_EXPONENT: Final = 0.15
"""EAS of remains goes as the air's density to this power.

Source: 13 open soundings followed down after their burst, masses unknown, most of them probably
under small parachutes: pooled 0.15, in the median flight 0.20. It leaves a scatter of 10 % along a
fall, a constant EAS one of 15 %.
"""
THIN_EXPONENT_SD: Final = 0.10
"""What it may be off from fall to fall: a factor of 1.6 in the speed at 32 km, which is by how much
those flights differ, and nothing near the ground, where a sink is timed."""
_CANOPY_FROM_RATIO: Final = 2.318
"""True over equivalent airspeed at 14 km. Source: ISO 2533:1975, density there 0.2279 kg/m3. Below,
14 dropsondes keep their EAS within 3 %; above, nothing but those soundings tells."""


class Sink(NamedTuple):
    """How fast a thing settles: its EAS at sea level, and how that falls off in thinner air."""

    eas_mps: float
    thin_exponent: float  # EAS ~ density to this power ...
    thin_from_ratio: float  # ... where true over equivalent airspeed is larger than this


@dataclass(frozen=True, slots=True, kw_only=True)
class Story:
    """One way down without a hand on it, told by its sink at sea-level air density.

    What spins, spirals or circles keeps its equivalent airspeed: the same weight on the same drag
    coefficient, but for what low Reynolds numbers add to the drag of a wing. So does a parachute up
    to 14 km. Remains do not: a sink timed low is not carried up unchanged. Gravity counts as at sea
    level: 0.5 % too fast at 30 km.
    Valid: settled, below Mach 0.6 or so; from rest nine tenths are reached after 1.5 v / g seconds.
    Source: drag = weight; true airspeed = equivalent airspeed / sqrt(density / 1.225);
    `THIN_EXPONENT`.
    """

    kind: StoryKind
    sink_eas_mps: float
    thin_exponent: float = 0.0
    thin_exponent_sd: float = 0.0
    thin_from_ratio: float = 1.0

    def __post_init__(self) -> None:
        if self.kind not in tuple(StoryKind):
            kinds = ", ".join(repr(kind.value) for kind in StoryKind)
            raise InputError("kind", repr(self.kind), kinds)
        remedy = "Give the sink as equivalent airspeed, as timed near the ground."
        check_range("sink_eas_mps", self.sink_eas_mps, "m/s", (0.1, 100.0), remedy)
        check_range("thin_exponent", self.thin_exponent, "", (-0.5, 0.5))

    @property
    def sink(self) -> Sink:
        """Return it as the kernels read it."""
        return Sink(self.sink_eas_mps, self.thin_exponent, self.thin_from_ratio)


def remains_story(mass_kg: float, drag_area_m2: float) -> Story:
    """Return the fall of glider, line and burst balloon together, on one drag area C_d A.

    It is that near the ground, and larger aloft. A guess until measured: 0.1 to 0.3 m2 for a 1 kg
    balloon (no source).

    >>> round(remains_story(1.5, 0.2).sink_eas_mps, 1)
    11.0
    """
    return Story(
        kind=StoryKind.REMAINS,
        sink_eas_mps=_sea_level_fall_mps(mass_kg, drag_area_m2),
        thin_exponent=THIN_EXPONENT,
        thin_exponent_sd=THIN_EXPONENT_SD,
    )


def parachute_story(mass_kg: float, canopy_m: float, drag_coefficient: float) -> Story:
    """Return the fall under a round canopy of nominal diameter `canopy_m`, area pi D^2 / 4.

    At one equivalent airspeed up to 14 km, above as remains do.

    >>> round(parachute_story(1.5, 1.0, 0.8).sink_eas_mps, 2)
    6.18
    """
    check_range("canopy_m", canopy_m, "m", (0.05, 10.0), "Give metres.")
    check_range("drag_coefficient", drag_coefficient, "", (0.2, 2.5))
    drag_area_m2 = drag_coefficient * math.pi / 4.0 * canopy_m**2
    return Story(
        kind=StoryKind.PARACHUTE,
        sink_eas_mps=_sea_level_fall_mps(mass_kg, drag_area_m2),
        thin_exponent=THIN_EXPONENT,
        thin_exponent_sd=THIN_EXPONENT_SD,
        thin_from_ratio=_CANOPY_FROM_RATIO,
    )


def settled_mps(story: Story, rho_kgpm3: float) -> float:
    """Return the true sink of a fall in air of a density.

    Valid: as `Story`, 0.001 to 1.5 kg/m3. Source: as `Story`.

    >>> round(settled_mps(parachute_story(1.5, 1.0, 0.8), 1.0), 2)
    6.84
    """
    check_range("rho_kgpm3", rho_kgpm3, "kg/m3", (0.001, 1.5), "Give the density of the air.")
    return float(_settled_mps(story.sink, (SEA_LEVEL_DENSITY_KGPM3 / rho_kgpm3) ** 0.5))


def _sea_level_fall_mps(mass_kg: float, drag_area_m2: float) -> float:
    check_range("mass_kg", mass_kg, "kg", (0.001, 50.0), "Give kilograms.")
    check_range("drag_area_m2", drag_area_m2, "m2", (1.0e-4, 100.0))
    return float(
        _fall_speed_mps(
            float(mass_kg), float(drag_area_m2), SEA_LEVEL_DENSITY_KGPM3, STANDARD_GRAVITY_MPS2
        )
    )


@compiled
def _fall_speed_mps(
    mass_kg: float, drag_area_m2: float, rho_kgpm3: float, gravity_mps2: float
) -> float:
    return math.sqrt(2.0 * mass_kg * gravity_mps2 / (rho_kgpm3 * drag_area_m2))


@compiled
def _settled_mps(sink: Sink, tas_per_eas: float) -> float:
    """Return the true sink where true over equivalent airspeed is `tas_per_eas`.

    Density goes as 1 / tas_per_eas^2, so its power n is tas_per_eas^(-2 n).
    """
    thinner = max(tas_per_eas / sink.thin_from_ratio, 1.0)
    return sink.eas_mps * tas_per_eas * math.pow(thinner, -2.0 * sink.thin_exponent)


@compiled
def _gathered(speed_mps: float, settled_mps: float, step_s: float) -> tuple[float, float]:
    """Return the speed of a fall after a time, never above the settled one, and the height lost.

    The height is the integral of the hyperbolic tangent: v^2 / g times ln cosh.
    Source: dv/dt = g (1 - (v / settled)^2), which a hyperbolic tangent solves exactly in air of one
    density.
    """
    share = speed_mps / settled_mps
    if share >= 1.0:
        return settled_mps, settled_mps * step_s
    angle = math.atanh(share)
    later = angle + STANDARD_GRAVITY_MPS2 * step_s / settled_mps
    lost_m = settled_mps * settled_mps / STANDARD_GRAVITY_MPS2
    # ln (cosh a / cosh b) with the large exponentials taken out
    grown = (
        later - angle + math.log((1.0 + math.exp(-2.0 * later)) / (1.0 + math.exp(-2.0 * angle)))
    )
    return settled_mps * math.tanh(later), lost_m * grown
