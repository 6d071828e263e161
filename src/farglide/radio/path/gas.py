"""Gas: what oxygen and water vapour take from a wave on its way through the air."""

import math
from typing import Final, NamedTuple

import numpy as np

from farglide.air.standard import standard_air
from farglide.constants import MEAN_EARTH_RADIUS_M
from farglide.errors import InputError, check_range

TOP_HZ: Final = 15e9
LOWEST_HZ: Final = 100e6
SURFACE_VAPOUR_KGPM3: Final = 7.5e-3
VAPOUR_SCALE_M: Final = 2000.0
"""Water vapour of the mean year, 7.5 g/m3 falling by e every 2 km. Source: ITU-R P.835."""
_STEP_M: Final = 250.0


class _Line(NamedTuple):
    """A line of water vapour; one that is broadened is so by the term of a whole frequency."""

    ghz: float
    strength: float
    fading: float  # with temperature
    square: float  # of its width
    broadened_at_ghz: float | None


class _Scaled(NamedTuple):
    """Gigahertz, pressure over 1013 hPa, and 288 K over temperature."""

    ghz: float
    rp: float
    rt: float


class _Powers(NamedTuple):
    """Powers of pressure and temperature, and their exponents."""

    a: float
    b: float
    c: float
    d: float


# Source: P.676-10, annex 2, as two open codes carry it: equal in every constant, and both broaden
# the line of 22.235 GHz by the term of 22.
_WATER: Final = (
    _Line(22.235, 3.98, 2.23, 9.42, 22.0),
    _Line(183.31, 11.96, 0.7, 11.14, None),
    _Line(321.226, 0.081, 6.44, 6.29, None),
    _Line(325.153, 3.66, 1.6, 9.22, None),
    _Line(380.0, 25.37, 1.09, 0.0, None),
    _Line(448.0, 17.4, 1.46, 0.0, None),
    _Line(557.0, 844.6, 0.17, 0.0, 557.0),
    _Line(752.0, 290.0, 0.41, 0.0, 752.0),
)


def dry_loss_dbpkm(frequency_hz: float, pressure_pa: float, temperature_k: float) -> float:
    """Return what a kilometre of dry air takes.

    >>> round(dry_loss_dbpkm(1e9, 101_325.0, 288.15), 4)
    0.0054

    Valid: 0.1 to 15 GHz; below the line-by-line sum by 2 % at 6 GHz, 5 % at 15. Source: ITU-R
    P.676-10, annex 2, below 54 GHz, as two open codes carry it; later editions leave the form out.
    It is published for 1 to 350 GHz and to 10 km of height (from memory); from 433 MHz on and
    through all heights it is within 3 % of line-by-line ways.
    """
    f, rp, rt = _scaled(frequency_hz, pressure_pa, temperature_k)
    one = _fading(rp, rt, _Powers(0.0717, -1.8132, 0.0156, -1.6515))
    two = _fading(rp, rt, _Powers(0.5146, -4.6368, -0.1921, -5.7416))
    three = _fading(rp, rt, _Powers(0.3414, -6.5851, 0.2130, -8.5854))
    low = 7.2 * rt**2.8 / (f**2 + 0.34 * rp**2 * rt**1.6)
    far = 0.62 * three / (math.pow(54.0 - f, 1.16 * one) + 0.83 * two)
    return (low + far) * f**2 * rp**2 * 1e-3


def wet_loss_dbpkm(
    frequency_hz: float, pressure_pa: float, temperature_k: float, vapour_kgpm3: float
) -> float:
    """Return what the water vapour of a kilometre takes.

    >>> round(wet_loss_dbpkm(2e9, 101_325.0, 288.15, 7.5e-3), 5)
    0.00023

    Valid: 0.1 to 15 GHz, 0 to 60 g/m3; 10 to 11 % more than the line-by-line sum of later editions,
    which is 0.002 dB/km at 15 GHz, less below. Source: as `dry_loss_dbpkm`.
    """
    f, rp, rt = _scaled(frequency_hz, pressure_pa, temperature_k)
    remedy = "Give kilograms: 7.5 g/m3 is 0.0075."
    check_range("vapour_kgpm3", vapour_kgpm3, "kg/m3", (0.0, 0.06), remedy)
    grams = 1e3 * vapour_kgpm3
    width = 0.955 * rp * rt**0.68 + 0.006 * grams
    total = 0.0
    for line in _WATER:
        shape = (f - line.ghz) ** 2 + line.square * width**2
        each = line.strength * width * math.exp(line.fading * (1.0 - rt)) / shape
        total += each * _broadened(f, line.broadened_at_ghz)
    far_width = 0.735 * rp * math.sqrt(rt) + 0.0353 * rt**4 * grams
    far = 8.3328e4 * far_width * math.exp(0.99 * (1.0 - rt)) / (f - 1780.0) ** 2
    total += far * _broadened(f, 1780.0)
    return total * f**2 * rt**2.5 * grams * 1e-4


def gas_loss_db(frequency_hz: float, elevation_deg: float, from_m: float, to_m: float) -> float:
    """Return what the gases of the standard atmosphere take on a slanting way between two heights.

    The way is straight over the round earth, layer by layer.

    >>> round(gas_loss_db(2400e6, 10.0, 0.0, 30_000.0), 2)
    0.2

    Valid: elevations 0.5 to 90 degrees, heights 0 to 60 km. Source: as `dry_loss_dbpkm`; standard
    atmosphere; vapour of ITU-R P.835.
    """
    if not 0.5 <= elevation_deg <= 90.0:
        raise InputError("elevation_deg", f"{elevation_deg:g}", "0.5 to 90°")
    if not 0.0 <= from_m <= to_m <= 60_000.0:
        raise InputError("heights", f"{from_m:g} to {to_m:g} m", "rising, 0 to 60 000 m")
    n = max(math.ceil((to_m - from_m) / _STEP_M), 1)
    step_m = (to_m - from_m) / n
    cosine = (MEAN_EARTH_RADIUS_M + from_m) * math.cos(math.radians(elevation_deg))
    loss_db = 0.0
    for middle_m in from_m + step_m * (np.arange(n) + 0.5):
        air = standard_air(float(middle_m))
        vapour = SURFACE_VAPOUR_KGPM3 * math.exp(-middle_m / VAPOUR_SCALE_M)
        each = dry_loss_dbpkm(frequency_hz, air.p_pa, air.t_k)
        each += wet_loss_dbpkm(frequency_hz, air.p_pa, air.t_k, vapour)
        sine = math.sqrt(1.0 - (cosine / (MEAN_EARTH_RADIUS_M + middle_m)) ** 2)
        loss_db += each * step_m / 1e3 / sine
    return loss_db


def _scaled(frequency_hz: float, pressure_pa: float, temperature_k: float) -> _Scaled:
    if not LOWEST_HZ <= frequency_hz <= TOP_HZ:
        raise InputError("frequency_hz", f"{frequency_hz:g} Hz", "0.1 to 15 GHz")
    if not 0.0 < pressure_pa <= 110_000.0:
        raise InputError("pressure_pa", f"{pressure_pa:g} Pa", "above 0, to 110 000 Pa")
    check_range("temperature_k", temperature_k, "K", (150.0, 330.0), "Give kelvin.")
    return _Scaled(frequency_hz / 1e9, pressure_pa / 101_300.0, 288.15 / temperature_k)


def _broadened(f_ghz: float, at_ghz: float | None) -> float:
    return 1.0 if at_ghz is None else 1.0 + ((f_ghz - at_ghz) / (f_ghz + at_ghz)) ** 2


def _fading(rp: float, rt: float, powers: _Powers) -> float:
    a, b, c, d = powers
    return math.pow(rp, a) * math.pow(rt, b) * math.exp(c * (1.0 - rp) + d * (1.0 - rt))
