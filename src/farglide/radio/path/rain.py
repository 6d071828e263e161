"""Rain: what drops take from a wave on its way through them."""

import math
from dataclasses import dataclass
from typing import Final, NamedTuple

from farglide.errors import check_range

TOP_M: Final = 5000.0
"""Where rain turns to snow, which takes little: the yearly mean of low latitudes outside Asia."""
_MOST_TOP_M: Final = 7000.0
LOWEST_HZ: Final = 1e9
_HIGHEST_HZ: Final = 30e9
_DRY: Final = "Below 1 GHz rain takes nothing that counts: leave it out."
_MOST_MMPH: Final = 150.0
_EARTH_M: Final = 8.5e6  # effective radius of ITU-R P.618-13

# Two values of the map of P.839-4: its highest, 6641 m at 28.5 N 87 E, and 5258 m at New Delhi.
_ASIA_DEG: Final = (28.5, 87.0)
_ASIA_WIDTHS_DEG: Final = (8.0, 9.27)  # the second by the second value, the first chosen
_ASIA_M: Final = 6641.0 - (TOP_M - 75.0 * (_ASIA_DEG[0] - 23.0))


class RainPower(NamedTuple):
    """Loss in dB/km as factor times the rain in mm/h to a power."""

    factor: float
    power: float


class _Bell(NamedTuple):
    high: float
    middle: float
    width: float


class _Curve(NamedTuple):
    """Bells over log f in GHz, and the straight line below them."""

    bells: tuple[_Bell, ...]
    slope: float
    start: float


# Source: ITU-R P.838-3 (03/2005), tables 1 to 4.
_K_LEVEL: Final = _Curve(
    bells=(
        _Bell(-5.33980, -0.10008, 1.13098),
        _Bell(-0.35351, 1.26970, 0.45400),
        _Bell(-0.23789, 0.86036, 0.15354),
        _Bell(-0.94158, 0.64552, 0.16817),
    ),
    slope=-0.18961,
    start=0.71147,
)
_K_UPRIGHT: Final = _Curve(
    bells=(
        _Bell(-3.80595, 0.56934, 0.81061),
        _Bell(-3.44965, -0.22911, 0.51059),
        _Bell(-0.39902, 0.73042, 0.11899),
        _Bell(0.50167, 1.07319, 0.27195),
    ),
    slope=-0.16398,
    start=0.63297,
)
_POWER_LEVEL: Final = _Curve(
    bells=(
        _Bell(-0.14318, 1.82442, -0.55187),
        _Bell(0.29591, 0.77564, 0.19822),
        _Bell(0.32177, 0.63773, 0.13164),
        _Bell(-5.37610, -0.96230, 1.47828),
        _Bell(16.1721, -3.29980, 3.43990),
    ),
    slope=0.67849,
    start=-1.95537,
)
_POWER_UPRIGHT: Final = _Curve(
    bells=(
        _Bell(-0.07771, 2.33840, -0.76284),
        _Bell(0.56727, 0.95545, 0.54039),
        _Bell(-0.20238, 1.14520, 0.26809),
        _Bell(-48.2991, 0.791669, 0.116226),
        _Bell(48.5833, 0.791459, 0.116479),
    ),
    slope=-0.053739,
    start=0.83433,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Rain:
    """Rain of one strength, as long as the way through it, and its depth over an antenna."""

    mmph: float  # millimetres in an hour
    depth_m: float = TOP_M

    def __post_init__(self) -> None:
        remedy = "Drizzle has 1, steady rain 5, a shower 25 mm/h."
        check_range("rain_mmph", self.mmph, "mm/h", (0.0, _MOST_MMPH), remedy)
        remedy = "Give metres above the antenna on the ground: 2500 in mid latitudes."
        check_range("rain_depth_m", self.depth_m, "m", (0.0, _MOST_TOP_M), remedy)


def rain_top_m(lat_deg: float, lon_deg: float) -> float:
    """Return how high above sea level rain reaches at a place in the mean year.

    >>> round(rain_top_m(3.0, 102.0)), round(rain_top_m(51.5, 0.0)), round(rain_top_m(28.7, 77.3))
    (5000, 2862, 5259)

    By latitude it lies 0 to 0.5 km above the map of ITU-R P.839-4 where that was seen, and up to
    1.6 km in the dry subtropics; over northern India and Tibet a rise is added that has the two
    values seen there. The rain of one warm day may reach 1 km higher.
    Valid: anywhere. Source: by latitude ITU-R P.839-1, from memory; the rise: own, on P.839-4.
    """
    check_range("lat_deg", lat_deg, "deg", (-90.0, 90.0), "South is negative.")
    check_range("lon_deg", lon_deg, "deg", (-180.0, 180.0), "West is negative.")
    low_m = TOP_M - (75.0 * max(lat_deg - 23.0, 0.0) + 100.0 * max(-21.0 - lat_deg, 0.0))
    away = (lat_deg - _ASIA_DEG[0], lon_deg - _ASIA_DEG[1])
    far = sum((one / width) ** 2 for one, width in zip(away, _ASIA_WIDTHS_DEG, strict=True))
    return max(low_m, 0.0) + _ASIA_M * math.exp(-far)


def rain_loss_dbpkm(
    frequency_hz: float, rain: Rain, elevation_deg: float = 0.0, tilt_deg: float = 45.0
) -> float:
    """Return what a kilometre of rain takes.

    `tilt_deg`: of the wave's field from level, 0 level, 90 upright, 45 for a circular one.

    >>> round(rain_loss_dbpkm(5.8e9, Rain(mmph=25.0)), 3)
    0.083

    Valid: 1 to 30 GHz, to 150 mm/h. Source: ITU-R P.838-3, equation 1, k R^power.
    """
    check_range("frequency_hz", frequency_hz, "Hz", (LOWEST_HZ, _HIGHEST_HZ), _DRY)
    check_range("elevation_deg", elevation_deg, "deg", (-90.0, 90.0))
    k, power = coefficients(frequency_hz, elevation_deg, tilt_deg)
    return k * math.pow(rain.mmph, power) if rain.mmph else 0.0


def coefficients(frequency_hz: float, elevation_deg: float, tilt_deg: float) -> RainPower:
    """Return the law of a wave's loss by the rain's strength.

    Source: ITU-R P.838-3, equations 4 and 5.
    """
    decade = math.log10(frequency_hz / 1e9)
    k_level, k_upright = (math.pow(10.0, _curve(decade, one)) for one in (_K_LEVEL, _K_UPRIGHT))
    lean = math.cos(math.radians(elevation_deg)) ** 2 * math.cos(2.0 * math.radians(tilt_deg))
    k = 0.5 * (k_level + k_upright + (k_level - k_upright) * lean)
    level = k_level * _curve(decade, _POWER_LEVEL)
    upright = k_upright * _curve(decade, _POWER_UPRIGHT)
    return RainPower(k, 0.5 * (level + upright + (level - upright) * lean) / k)


def rain_loss_db(
    frequency_hz: float, rain: Rain, elevation_deg: float, tilt_deg: float = 45.0
) -> float:
    """Return what rain takes on a slanting way from an antenna on the ground to above it.

    A cell of rain is not endless: the way over the ground counts by 1 / (1 + way / reach), the
    reach 35 km exp(-0.015 R). At 14 GHz and the rain of an hour a year it is 1.07 to 1.2 times
    what P.618-13 has in three cities; more than that for what flies below the top.
    Valid: as `rain_loss_dbpkm`; below the horizon as at it.
    Source: slanting way of ITU-R P.618-13; the share of the way is that of older editions of ITU-R
    P.530, for ways over the ground, as three open codes carry it (the old P.618 was not seen).
    """
    if not rain.depth_m:
        return 0.0
    sine, twice_m = math.sin(math.radians(max(elevation_deg, 0.0))), 2.0 * rain.depth_m
    slant_m = twice_m / (math.sqrt(sine * sine + twice_m / _EARTH_M) + sine)
    ground_km = slant_m * math.cos(math.radians(max(elevation_deg, 0.0))) / 1e3
    reach_km = 35.0 * math.exp(-0.015 * min(rain.mmph, 100.0))
    share = 1.0 / (1.0 + ground_km / reach_km)
    return rain_loss_dbpkm(frequency_hz, rain, elevation_deg, tilt_deg) * share * slant_m / 1e3


def _curve(decade: float, curve: _Curve) -> float:
    rise = sum(
        one.high * math.exp(-(((decade - one.middle) / one.width) ** 2)) for one in curve.bells
    )
    return rise + curve.slope * decade + curve.start
