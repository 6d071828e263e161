"""What laws of the way are compared with: the published aeronautical curves.

Source of their rows: ITU-R P.528-5 by its reference software, NTIA/p528: README example table,
test/data/P528Test_001.csv and "300 MHz - Lb(0.50)_P528.csv". The curves hold for 100 MHz to 30 GHz
and antennas 1.5 m to 20 km high (the same README and ERRORS_AND_WARNINGS.md): a glider at 26 km is
outside them, and so no row is asked there.
"""

import math

EARTH_M = 6_371_000.0


def slant_m(distance_m: float, low_m: float, high_m: float) -> float:
    """Return the straight way between two heights over a round earth."""
    one, other = EARTH_M + low_m, EARTH_M + high_m
    angle = distance_m / EARTH_M
    return math.sqrt(one**2 + other**2 - 2.0 * one * other * math.cos(angle))


def inside(frequency_hz: float, low_m: float, high_m: float) -> bool:
    """Tell whether the published curves hold there."""
    return 100e6 <= frequency_hz <= 30e9 and 1.5 <= low_m <= high_m <= 20_000.0
