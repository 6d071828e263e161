"""Bounce: the ray that comes by way of the ground and meets the straight one."""

import cmath
import math
from typing import NamedTuple

from farglide.errors import InputError
from farglide.radio.path.smooth_earth import Surface
from farglide.radio.path.space import wavelength_m

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
        raise InputError("grazing_deg", f"{grazing_deg:g}", "0 to 90°")
    sine, cosine = math.sin(math.radians(grazing_deg)), math.cos(math.radians(grazing_deg))
    ground = complex(
        surface.permittivity, -60.0 * wavelength_m(frequency_hz) * surface.conductivity_spm
    )
    inside = cmath.sqrt(ground - cosine**2)
    if surface.is_vertical:
        return (ground * sine - inside) / (ground * sine + inside)
    return (sine - inside) / (sine + inside)


def bounce_swing(frequency_hz: float, grazing_deg: float, surface: Surface) -> BounceSwing:
    """Return the most that a bounced ray takes and the most that it adds, as it meets the other.

    >>> [round(one, 1) for one in bounce_swing(2370e6, 3.0, Surface())]
    [7.9, 4.1]

    Valid: smooth ground; both antennas hear both rays alike, far away from both; to 10 degrees,
    above it 0 and 0.
    Source: two rays in and out of step, 20 log(1 + r) and -20 log(1 - r).
    """
    if grazing_deg > STEEPEST_DEG:
        return BounceSwing(0.0, 0.0)
    back = abs(reflection(frequency_hz, grazing_deg, surface))
    takes_db = -20.0 * math.log10(max(1.0 - back, 1e-3))
    return BounceSwing(takes_db, 20.0 * math.log10(1.0 + back))
