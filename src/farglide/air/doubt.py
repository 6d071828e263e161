"""Wind doubt: how far winds may be off, shallow and deep, by their age, distance and lead time."""

import math
from dataclasses import dataclass
from typing import Final, NamedTuple

from farglide.air.stratosphere import BY_AGE, BY_DISTANCE, Aloft
from farglide.errors import InputError, check_range

_HOUR_S: Final = 3600.0
_KM_M: Final = 1000.0

FIT_AGE_S: Final = 72.0 * _HOUR_S
FIT_DISTANCE_M: Final = 600.0 * _KM_M
FIT_LEAD_S: Final = 120.0 * _HOUR_S
"""The law is fitted up to these, or made for them; beyond, its variances grow on as they did."""
NEAREST_AGE_S: Final = 0.1 * _HOUR_S
NEAREST_M: Final = 5.0 * _KM_M
"""The nearest pairs of the fit; winds said to be nearer are doubted as these."""

_SHALLOW_MPS: Final = 1.56
_SHALLOW_DEPTH_M: Final = 330.0
_SHALLOW_S: Final = 1.0 * _HOUR_S
_SHALLOW_M: Final = 25.0 * _KM_M
_RENEWAL_S: Final = 1.0 * _HOUR_S
_AGE_S: Final = 12.0 * _HOUR_S
_AGED_MPS: Final = 5.17
_AGE_POWER: Final = 0.76  # of the variance
_AGE_DEPTH_M: Final = 2797.0
_AGE_DEPTH_POWER: Final = 0.2
_FAR_M: Final = 250.0 * _KM_M
_FAR_MPS: Final = 4.50
_FAR_POWER: Final = 1.66
_FAR_DEPTH_M: Final = 3027.0
_FAR_DEPTH_POWER: Final = 1.2
DOUBLED_MPS: Final = 35.6  # wind along which the deep variance is twice that of calm air
_CLIMATE_MPS: Final = 13.5
"""How far winds lie apart from day to day and place to place, each component, about the calm."""
_MOST_SLOWER: Final = 0.5
"""However old the winds: then both soundings have little more in common than the climate."""
_AGE_PER_LEAD: Final = 1.0 / 6.0
_DATES: Final = "Look at the dates of the launch, of the winds and of their run."
_APART: Final = (
    ("age_s", "s", 1e10, _DATES),
    ("distance_m", "m", 2.1e7, "Look at the places of the launch and of the winds."),
    ("lead_s", "s", 1e9, _DATES),
)
"""How far apart winds and flight may be: three centuries, half round the Earth, three decades."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Apart:
    """How far winds and flight are apart: in time and place, and a forecast from its run."""

    age_s: float = 0.0  # between the time of the winds and the launch, whichever is first
    distance_m: float = 0.0
    lead_s: float | None = None  # None: measured winds, no forecast

    def __post_init__(self) -> None:
        for name, unit, most, remedy in _APART:
            value = getattr(self, name)
            if value is not None:
                check_range(name, value, unit, (0.0, most), remedy)


@dataclass(frozen=True, slots=True, kw_only=True)
class WindDoubt:
    """Standard deviations of each wind component, and over which heights an error hangs together.

    The shallow error is that of waves and of the sampling: it averages out over a climb. The deep
    one is the weather's, its size and depth those of the troposphere (above: ``stratosphere``), and
    larger along a wind than across it. `slower_ratio`: strong winds told are on average stronger
    than those that come, by this share of their speed. `growth_ratio` multiplies what the deep
    error changes in the course of a flight; `beyond_mps` is its size well above the top of the
    winds. By default sizes are those of winds 12 h old.
    """

    shallow_mps: float = _SHALLOW_MPS
    shallow_depth_m: float = _SHALLOW_DEPTH_M
    renewal_s: float = _RENEWAL_S  # in which the shallow error falls to 1/e of itself
    deep_mps: float = _AGED_MPS  # in calm air
    deep_ratio: float = _AGED_MPS / DOUBLED_MPS  # share of the speed, along it, as a variance
    slower_ratio: float = 0.0
    deep_depth_m: float = _AGE_DEPTH_M
    aloft: Aloft = BY_AGE  # what the stratosphere makes of the deep error
    age_s: float = _AGE_S  # how old such winds are: what they change in a flight hangs on it
    growth_ratio: float = 1.0
    speed_growth_ratio: float = 1.0  # multiplies what the speed adds to that, along the wind
    beyond_mps: float = 12.5

    def __post_init__(self) -> None:
        sizes = ("shallow_mps", "deep_mps", "deep_ratio", "age_s", "growth_ratio", "beyond_mps")
        for name in (*sizes, "speed_growth_ratio"):
            most = 1e12 if name == "age_s" else 1000.0
            if not 0.0 <= getattr(self, name) <= most:
                raise InputError(name, getattr(self, name), f"0 to {most:g}")
        if not 0.0 <= self.slower_ratio <= 1.0:
            raise InputError("slower_ratio", self.slower_ratio, "0 to 1")
        for name in ("shallow_depth_m", "deep_depth_m"):
            if not 10.0 <= getattr(self, name) <= 20_000.0:
                raise InputError(name, f"{getattr(self, name)} m", "10 to 20 000 m")
        if not self.renewal_s > 0.0:
            raise InputError("renewal_s", f"{self.renewal_s} s", "more than 0 s")


class _Part(NamedTuple):
    """What age, lead or distance adds to the deep error: its variance in calm air, and depth."""

    mps2: float
    depth_m: float
    aloft: Aloft

    @property
    def high_mps2(self) -> float:
        """Return the variance in the stratosphere."""
        return self.mps2 * self.aloft.size_ratio**2

    @property
    def high_depth_m(self) -> float:
        """Return the depth in the stratosphere."""
        return self.depth_m * self.aloft.depth_ratio


def wind_doubt(apart: Apart) -> WindDoubt:
    """Return the doubt about winds this far apart from the flight.

    What age, distance and lead time add is added as variances, and the depth is the mean of theirs
    by these. A model wind has no waves of its own: half of the shallow variance of a difference of
    two soundings is left, however new it is. A sounding has as much of the deep error as the flight
    has: where it tells a strong wind a part of that is its own error, in the mean half of the
    variance of their difference in that of all winds. A model's lead adds nothing to this. Beyond
    what was fitted sizes grow on, and depths stay: never narrower.
    Valid: ages to 72 h, distances to 600 km; between 5 and 80 km by the law's shape alone.
    Source: differences of open soundings, fitted by ``bench/odds`` (5 to 95 %: 5.17 m/s 4.8-5.7,
    power 0.61-0.95, 4.50 m/s 4.0-5.2, power 1.33-1.99, 35.6 m/s 29-55, 13.5 m/s 11.4-15.5, depths
    2.1-3.4 and 2.1-4.2 km, 1.56 m/s 0.9-2.0). A lead time counts as a sixth of it in age: common
    practice, no source.
    """
    age_s, far_m = max(apart.age_s, NEAREST_AGE_S), max(apart.distance_m, NEAREST_M)
    lead_s = _AGE_PER_LEAD * (apart.lead_s or 0.0)
    far_depth_m = _FAR_DEPTH_M * (min(far_m, FIT_DISTANCE_M) / _FAR_M) ** _FAR_DEPTH_POWER
    parts = (
        _Part(aged_mps2(age_s), age_depth_m(age_s), BY_AGE),
        _Part(aged_mps2(lead_s), age_depth_m(lead_s), BY_AGE),
        _Part(_FAR_MPS**2 * (far_m / _FAR_M) ** _FAR_POWER, far_depth_m, BY_DISTANCE),
    )
    deep_mps2 = sum(one.mps2 for one in parts)
    measured_mps2 = parts[0].mps2 + parts[2].mps2
    deep_mps = math.sqrt(deep_mps2)
    depth_m = sum(one.mps2 * one.depth_m for one in parts) / deep_mps2
    high_mps2 = sum(one.high_mps2 for one in parts)
    high_depth_m = sum(one.high_mps2 * one.high_depth_m for one in parts) / high_mps2
    shallow_ratio = -math.expm1(-age_s / _SHALLOW_S - far_m / _SHALLOW_M)
    return WindDoubt(
        shallow_mps=_SHALLOW_MPS * math.sqrt(shallow_ratio if apart.lead_s is None else 0.5),
        deep_mps=deep_mps,
        deep_ratio=deep_mps / DOUBLED_MPS,
        slower_ratio=min(0.5 * measured_mps2 / _CLIMATE_MPS**2, _MOST_SLOWER),
        deep_depth_m=depth_m,
        aloft=Aloft(math.sqrt(high_mps2 / deep_mps2), high_depth_m / depth_m),
        age_s=age_s,
    )


def age_depth_m(age_s: float) -> float:
    """Return over which depth an error hangs together that an age alone has made."""
    return _AGE_DEPTH_M * (min(age_s, FIT_AGE_S) / _AGE_S) ** _AGE_DEPTH_POWER


def is_beyond_fit(apart: Apart) -> bool:
    """Tell whether winds are older, farther or longer forecast than the law was fitted to."""
    lead_s = apart.lead_s or 0.0
    return apart.age_s > FIT_AGE_S or apart.distance_m > FIT_DISTANCE_M or lead_s > FIT_LEAD_S


def aged_mps2(age_s: float) -> float:
    """Return the deep variance that an age makes in calm air."""
    return _AGED_MPS**2 * (age_s / _AGE_S) ** _AGE_POWER
