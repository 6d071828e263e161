"""Free space: the loss between two antennas with nothing between them."""

import math
from typing import Final

from farglide.errors import InputError, check_range
from farglide.kernel import compiled

LIGHT_MPS: Final = 299_792_458.0  # SI brochure, 9th edition, table 1: exact
LOWEST_HZ: Final = 30e6
HIGHEST_HZ: Final = 30e9


def checked_frequency_hz(frequency_hz: float) -> float:
    """Return the frequency; refuse one that these laws are not for."""
    if not LOWEST_HZ <= frequency_hz <= HIGHEST_HZ:
        remedy = "Write hertz: 869.5 MHz is 869.5e6."
        raise InputError("frequency_hz", f"{frequency_hz:g} Hz", "30 MHz to 30 GHz", remedy)
    return float(frequency_hz)


def wavelength_m(frequency_hz: float) -> float:
    """Return the wavelength in empty space.

    >>> round(wavelength_m(2.37e9), 4)
    0.1265
    """
    return LIGHT_MPS / checked_frequency_hz(frequency_hz)


def free_space_loss_db(frequency_hz: float, distance_m: float) -> float:
    """Return the basic transmission loss of free space, between isotropic antennas.

    >>> round(free_space_loss_db(1280e6, 40_000.0), 2)
    126.63

    Valid: 30 MHz to 30 GHz, 1 m to 3000 km. Source: ITU-R P.525, Lbf = 20 log(4 pi d / lambda).
    """
    return float(_free_space_loss_db(checked_frequency_hz(frequency_hz), _checked_m(distance_m)))


def free_space_range_m(frequency_hz: float, loss_db: float) -> float:
    """Return the distance at which free space loses that much.

    >>> ratio = free_space_range_m(1e9, 120.0) / free_space_range_m(1e9, 120.0 - 12.04)
    >>> round(ratio, 2)  # 12.04 dB less is a quarter of the range (common practice, no source)
    4.0
    """
    check_range("loss_db", loss_db, "dB", (0.0, 300.0))
    return wavelength_m(frequency_hz) / (4.0 * math.pi) * math.pow(10.0, loss_db / 20.0)


def range_ratio(less_db: float) -> float:
    """Return what is left of a range in free space when so much less power arrives.

    >>> [round(range_ratio(less), 2) for less in (3.0, 6.02, 9.0, 12.04)]
    [0.71, 0.5, 0.35, 0.25]

    Valid: 0 to 60 dB. Source: ITU-R P.525, Lbf rises with 20 log d.
    """
    remedy = "Give the loss as a number above 0: 9 for 9 dB weaker."
    check_range("less_db", less_db, "dB", (0.0, 60.0), remedy)
    return math.pow(10.0, -less_db / 20.0)


def _checked_m(distance_m: float) -> float:
    if not 1.0 <= distance_m <= 3.0e6:
        raise InputError("distance_m", f"{distance_m:g} m", "1 m to 3000 km", "Give metres.")
    return float(distance_m)


@compiled
def _free_space_loss_db(frequency_hz: float, distance_m: float) -> float:
    return 20.0 * math.log10(4.0 * math.pi * distance_m * frequency_hz / LIGHT_MPS)
