"""The latex envelope: diameter and film pressure."""

import math
from typing import Final, NamedTuple

from farglide.errors import check_range
from farglide.kernel import compiled

# Natural rubber: from memory, handbooks give 910 to 940; DIN EN 12524-2000 has 910, as an open
# library quotes it: 1.1 % in the slack diameter.
LATEX_DENSITY_KGPM3: Final = 930.0
# The constants of the film law: s and its ratio alpha. Müller and Strehlow, Rubber and Rubber
# Balloons (Springer, 2004): s = 3 bar, alpha = 0.1. From memory.
RUBBER_MODULUS_PA: Final = 3.0e5
MOONEY_RATIO: Final = 0.1


def slack_diameter_m(balloon_kg: float, stiffness_npm: float) -> float:
    """Return the diameter up to which the film hangs slack.

    The latex spread over that sphere weighs `balloon_kg`: pi D0^2 d0 rho, with the thickness
    d0 = stiffness / s. A stiffness of 0 stands for a film that is slack at every size: infinite.
    Neck and thickened ends count as film, so the true figure is a little smaller.

    >>> round(slack_diameter_m(1.0, 50.0), 2)
    1.43
    """
    check_range("balloon_kg", balloon_kg, "kg", (0.001, 15.0), "Give kilograms.")
    check_range("stiffness_npm", stiffness_npm, "N/m", (0.0, 1000.0))
    if stiffness_npm == 0.0:
        return math.inf
    thickness_m = stiffness_npm / RUBBER_MODULUS_PA
    return math.sqrt(balloon_kg / (math.pi * thickness_m * LATEX_DENSITY_KGPM3))


def diameter_m(volume_m3: float) -> float:
    """Return how wide a balloon of a volume is: a sphere, V = pi D^3 / 6.

    Valid: 0.001 to 100 000 m3. Source: geometry; latex hangs longer than wide while it is slack.

    >>> round(diameter_m(2.3), 2)
    1.64
    """
    check_range("volume_m3", volume_m3, "m3", (0.001, 100_000.0), "Give cubic metres.")
    return float(_diameter_m(volume_m3))


@compiled
def _diameter_m(volume_m3: float) -> float:
    return math.pow(6.0 / math.pi * volume_m3, 1.0 / 3.0)


@compiled
def _film_pressure_pa(stretch_ratio: float, stiffness_npm: float, slack_diameter_m: float) -> float:
    """Return by how much the pull of the film lifts the gas pressure above that of the air.

    `stretch_ratio` is the diameter over the slack one. A 1 kg balloon of 50 N/m has 90 to 100 Pa in
    flight: nothing at the ground, 8 % of the air's own pressure at 30 km.
    Valid: up to a stretch of 8, where latex bursts. Real film grows stiffer than this law in the
    last third before the burst.
    Source: 2 s (d0/r0) (1/x - 1/x^7) (1 + alpha x^2), after Rivlin (1952), as an open example of
    finite elements has it with s = 2 c1 and alpha = c2 / c1; alpha = 0.1 from memory, see above.
    """
    if stretch_ratio <= 1.0:
        return 0.0
    squared = stretch_ratio * stretch_ratio
    shape = (1.0 - 1.0 / (squared * squared * squared)) / stretch_ratio
    return 4.0 * stiffness_npm / slack_diameter_m * shape * (1.0 + MOONEY_RATIO * squared)


class Envelope(NamedTuple):
    """One filled balloon of one draw, as the kernels read it."""

    balloon_kg: float
    gas_kg: float
    gas_per_air_constant: float  # specific gas constant of the gas over that of air
    gas_warmer_k: float
    film_npm: float  # shear modulus times unstretched thickness; 0 = slack
    slack_diameter_m: float
    burst_diameter_m: float
    drag_factor: float
    leak_ratio_ps: float  # share of the gas left lost per second, at sea-level density
    leak_from_s: float = 0.0  # after the launch
