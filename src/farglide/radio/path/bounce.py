"""Bounce: the ray that comes by way of the ground and meets the straight one."""

import cmath
import math
from typing import NamedTuple

from farglide.errors import InputError
from farglide.radio.path.parts import Heights
from farglide.radio.path.smooth_earth import Surface
from farglide.radio.path.space import LIGHT_MPS, checked_frequency_hz, wavelength_m

STEEPEST_DEG = 10.0
"""Above this a directional antenna hardly hears the ground, and the straight ray stands alone."""


class BounceSwing(NamedTuple):
    """The most that a bounced ray takes from the straight one, and the most that it adds."""

    takes_db: float
    adds_db: float


def reflection(frequency_hz: float, grazing_deg: float, surface: Surface) -> complex:
    """Return what smooth ground gives back of a wave, as a complex factor.

    >>> abs(reflection(869.5e6, 0.01, Surface())) > 0.99  # at grazing all comes back, upside down
    True

    Valid: 0 to 90 degrees above the ground. Source: Fresnel's equations with the permittivity
    e - j 60 lambda s of ITU-R P.527.
    """
    if not 0.0 <= grazing_deg <= 90.0:
        raise InputError("grazing_deg", f"{grazing_deg:g}", "0 to 90 deg")
    sine, cosine = math.sin(math.radians(grazing_deg)), math.cos(math.radians(grazing_deg))
    ground = complex(
        surface.permittivity, -60.0 * wavelength_m(frequency_hz) * surface.conductivity_spm
    )
    inside = cmath.sqrt(ground - cosine**2)
    if surface.is_vertical:
        return (ground * sine - inside) / (ground * sine + inside)
    return (sine - inside) / (sine + inside)


def roughness_ratio(frequency_hz: float, grazing_deg: float, rough_m: float) -> float:
    """Return the share of the reflected field that rough ground leaves in step.

    `rough_m`: standard deviation of the ground's height.
    Source: Rayleigh's criterion, exp(-2 (2 pi s sin(angle) / lambda)^2) (Ament), from memory.
    """
    if not 0.0 <= rough_m <= 1000.0:
        raise InputError("rough_m", f"{rough_m:g} m", "0 to 1000 m")
    turns = 2.0 * math.pi * rough_m * math.sin(math.radians(grazing_deg))
    return math.exp(-2.0 * (turns / wavelength_m(frequency_hz)) ** 2)


def bounce_swing(
    frequency_hz: float, grazing_deg: float, surface: Surface, rough_m: float = 0.0
) -> BounceSwing:
    """Return the most that a bounced ray takes and the most that it adds, as it meets the other.

    >>> [round(one, 1) for one in bounce_swing(2370e6, 3.0, Surface())]
    [7.9, 4.1]

    Valid: both antennas hear both rays alike, far away from both; to 10 degrees, above it 0 and 0.
    Source: two rays in and out of step, 20 log(1 + r) and -20 log(1 - r).
    """
    if grazing_deg > STEEPEST_DEG:
        return BounceSwing(0.0, 0.0)
    back = abs(reflection(frequency_hz, grazing_deg, surface))
    back *= roughness_ratio(frequency_hz, grazing_deg, rough_m)
    takes_db = -20.0 * math.log10(max(1.0 - back, 1e-3))
    return BounceSwing(takes_db, 20.0 * math.log10(1.0 + back))


def bounce_loss_db(
    frequency_hz: float,
    distance_m: float,
    heights_m: Heights,
    surface: Surface,
    rough_m: float = 0.0,
) -> float:
    """Return the loss over free space where straight and bounced ray meet: below 0 they help.

    Both antennas hear both rays alike. Over smooth ground a low antenna loses 40 dB for each ten
    times of distance once the rays no longer differ by half a wave.

    Valid: antennas 0.1 m to 50 km above flat ground, distances above both heights; the bounced ray
    no steeper than 10 degrees, else 0. Source: two-ray model over plane earth, e.g. Parsons, The
    Mobile Radio Propagation Channel, 2.3 (from memory).
    """
    checked_frequency_hz(frequency_hz)
    one, other = heights_m
    for height_m in heights_m:
        if not 0.1 <= height_m <= 50_000.0:
            raise InputError("heights_m", f"{height_m:g} m", "0.1 to 50 000 m")
    if not 1.0 <= distance_m <= 3.0e6:
        raise InputError("distance_m", f"{distance_m:g} m", "1 m to 3000 km")
    grazing_deg = math.degrees(math.atan2(one + other, distance_m))
    if grazing_deg > STEEPEST_DEG:
        return 0.0
    straight = math.hypot(distance_m, one - other)
    bounced = math.hypot(distance_m, one + other)
    # the difference of two nearly equal roots, without losing digits
    longer = 4.0 * one * other / (straight + bounced)
    back = reflection(frequency_hz, grazing_deg, surface)
    back *= roughness_ratio(frequency_hz, grazing_deg, rough_m) * straight / bounced
    phase = 2.0 * math.pi * longer * frequency_hz / LIGHT_MPS
    return -20.0 * math.log10(max(abs(1.0 + back * cmath.exp(-1j * phase)), 1e-3))
