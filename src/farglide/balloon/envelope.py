"""The latex envelope: diameter, film pressure, chance of a burst."""

import math
from typing import Final, NamedTuple

from farglide.errors import ContradictionError, InputError, check_range
from farglide.kernel import compiled

LATEX_DENSITY_KGPM3: Final = 930.0  # natural rubber; from memory, handbooks give 910 to 940
# The constants of the film law: s and its ratio alpha. Müller and Strehlow, Rubber and Rubber
# Balloons (Springer, 2004): s = 3 bar, alpha = 0.1. From memory.
RUBBER_MODULUS_PA: Final = 3.0e5
MOONEY_RATIO: Final = 0.1


def diameter_m(volume_m3: float) -> float:
    """Return the diameter of the sphere of this volume.

    >>> round(diameter_m(2.28), 2)
    1.63
    """
    check_range("volume_m3", volume_m3, "m3", (0.0, 1.0e5))
    return float(_diameter_m(float(volume_m3)))


def volume_m3(sphere_m: float) -> float:
    """Return the volume of the sphere of this diameter.

    >>> round(volume_m3(9.0), 1)
    381.7
    """
    check_range("sphere_m", sphere_m, "m", (0.0, 50.0))
    return float(_volume_m3(float(sphere_m)))


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


def film_pressure_pa(stretch_ratio: float, stiffness_npm: float, slack_m: float) -> float:
    """Return by how much the pull of the film lifts the gas pressure above that of the air.

    `stretch_ratio` is the diameter over the slack diameter `slack_m`. A 1 kg balloon of 50 N/m has
    90 to 100 Pa in flight: nothing at the ground, 8 % of the air's own pressure at 30 km.
    Valid: up to a stretch of 8, where latex bursts. Real film grows stiffer than this law in the
    last third before the burst.
    Source: Müller and Strehlow, Rubber and Rubber Balloons (2004), from memory;
    2 s (d0/r0) (1/x - 1/x^7) (1 + alpha x^2), alpha = 0.1.
    """
    check_range("stretch_ratio", stretch_ratio, "", (0.0, 8.0))
    check_range("stiffness_npm", stiffness_npm, "N/m", (0.0, 1000.0))
    if not slack_m > 0.0:
        raise InputError("slack_m", f"{slack_m:g} m", "more than 0 m")
    return float(_film_pressure_pa(float(stretch_ratio), float(stiffness_npm), float(slack_m)))


def burst_density_kgpm3(fill_m3: float, air_kgpm3: float, burst_m: float) -> float:
    """Return the air density at which a fill has grown to the bursting diameter.

    `fill_m3` is the volume where the air has the density `air_kgpm3`. The gas stays as warm as the
    air and the film adds no pressure, so volume times air density stays the same.
    Source: ideal gas law.

    >>> round(burst_density_kgpm3(4.0, 1.225, 9.0), 5)
    0.01284
    """
    check_range("fill_m3", fill_m3, "m3", (0.001, 100.0))
    check_range("air_kgpm3", air_kgpm3, "kg/m3", (1.0e-4, 2.0))
    check_range("burst_m", burst_m, "m", (0.1, 30.0), "Give metres, not centimetres.")
    if burst_m <= diameter_m(fill_m3):
        raise ContradictionError(
            f"burst_m is {burst_m:g} m, but the filled balloon already measures "
            f"{diameter_m(fill_m3):.2f} m at the launch: take the bursting diameter from the "
            "balloon's sheet, or fill less."
        )
    return air_kgpm3 * fill_m3 / volume_m3(burst_m)


def burst_ratio(sphere_m: float, mean_m: float, sd_m: float) -> float:
    """Return the share of balloons that burst before they reach this diameter.

    Source: bursting diameters taken as normally distributed; common practice, no source.

    >>> burst_ratio(6.6, 6.6, 0.4)
    0.5
    """
    check_range("sphere_m", sphere_m, "m", (0.0, 50.0))
    check_range("mean_m", mean_m, "m", (0.1, 30.0))
    check_range("sd_m", sd_m, "m", (0.0, mean_m))
    return float(_burst_ratio(float(sphere_m), float(mean_m), float(sd_m)))


def burst_within_ratio(now_ratio: float, later_ratio: float) -> float:
    """Return the chance of a burst before "later" for a balloon that is still whole now.

    Both arguments are shares burst by then, seen from the launch.
    Source: conditional probability, (P2 - P1) / (1 - P1).

    >>> round(burst_within_ratio(0.093, 0.183), 3)
    0.099
    """
    check_range("now_ratio", now_ratio, "", (0.0, 1.0))
    check_range("later_ratio", later_ratio, "", (0.0, 1.0))
    if now_ratio == 1.0:
        raise InputError("now_ratio", now_ratio, "less than 1", "It has already burst.")
    if later_ratio < now_ratio:
        raise ContradictionError(
            f"later_ratio {later_ratio:g} is below now_ratio {now_ratio:g}: "
            "the share of burst balloons can only grow. Give the earlier moment first."
        )
    return float(_burst_within_ratio(float(now_ratio), float(later_ratio)))


@compiled
def _diameter_m(volume_m3: float) -> float:
    return math.pow(6.0 / math.pi * volume_m3, 1.0 / 3.0)


@compiled
def _volume_m3(diameter_m: float) -> float:
    return math.pi / 6.0 * diameter_m**3


@compiled
def _film_pressure_pa(stretch_ratio: float, stiffness_npm: float, slack_diameter_m: float) -> float:
    if stretch_ratio <= 1.0:
        return 0.0
    squared = stretch_ratio * stretch_ratio
    shape = (1.0 - 1.0 / (squared * squared * squared)) / stretch_ratio
    return 4.0 * stiffness_npm / slack_diameter_m * shape * (1.0 + MOONEY_RATIO * squared)


@compiled
def _burst_ratio(diameter_m: float, mean_m: float, sd_m: float) -> float:
    if sd_m <= 0.0:  # an exact bursting diameter: a step, which lets NaN through
        if math.isnan(diameter_m):
            return math.nan
        return 1.0 if diameter_m >= mean_m else 0.0
    # erfc keeps the digits of small chances, where 1 + erf would round them to nothing.
    return 0.5 * math.erfc((mean_m - diameter_m) / (sd_m * math.sqrt(2.0)))


@compiled
def _burst_within_ratio(now_ratio: float, later_ratio: float) -> float:
    """Return NaN when all have burst by now."""
    if now_ratio >= 1.0:
        return math.nan
    return max(later_ratio - now_ratio, 0.0) / (1.0 - now_ratio)


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
