"""Theodolite: where a direction from the ground has a balloon whose height is known."""

from math import hypot, radians
from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import FloatArray
from farglide.earth.geodesy import destination, east_north_m
from farglide.earth.look import look
from farglide.earth.state import Place, place_of
from farglide.errors import check_range
from farglide.track.read import Direction

UNTOLD_M: Final = 1e6
"""Doubt about what a direction does not tell: how far along an azimuth it is."""
_NUDGE_M: Final = 50.0
_NEAREST_M: Final = 10.0
_STEP_RATIO: Final = (-0.6, 1.5)
"""Of the distance, at a time: farther than that the slope of an elevation tells nothing."""
_TAILS: Final = 4.0
"""Degrees of freedom of Student's law: a direction that is far off counts little, not nothing."""


class Spot(NamedTuple):
    """Where a direction has it, in metres to the east and north of a place that is believed."""

    off_m: FloatArray  # (2,)
    covariance_m2: FloatArray  # (2, 2)
    per_metre: FloatArray  # (2,): by which it is farther off for each metre that it is higher


def spot_of(direction: Direction, at: Place) -> Spot:
    """Return where a direction has something, near the place and at the height that are believed.

    A direction of both angles is a point: the level distance is the height over the stand times the
    cotangent of the elevation, here with the Earth's curve, to first order around `at`: ask again
    at the point found until it stays. An azimuth alone is a line. The pointing is off as much each
    way: across by the slant range times its error, along by as much over the sine of the elevation.
    What lies many deviations off is doubted more. Refraction is left out: 0.1 deg at 5 deg up.
    Raises InputError.
    Source: pilot balloons by one theodolite, WMO-No. 8, Guide to Instruments, measurement of upper
    wind, from memory; errors by the first derivatives of both angles; weights of Student's law,
    Lange, Little & Taylor, J. Am. Stat. Assoc. 84 (1989), from memory.
    """
    check_range("error of a direction", direction.sd_deg, "deg", (0.01, 90.0))
    stand = direction.stand
    east_m, north_m = east_north_m(stand, place_of(at, stand.amsl_m))
    level_m = max(hypot(east_m, north_m), _NEAREST_M)
    aimed = _Aim(stand, direction.azimuth_deg, level_m, at.amsl_m)
    to = np.array([np.sin(radians(direction.azimuth_deg)), np.cos(radians(direction.azimuth_deg))])
    across = np.array([to[1], -to[0]])
    missed_m = abs(east_m * across[0] + north_m * across[1])
    slant_m = hypot(level_m, at.amsl_m - stand.amsl_m)
    across_m = _widened(radians(direction.sd_deg) * slant_m, missed_m)
    along = _Along(0.0, UNTOLD_M, 0.0)
    if direction.elevation_deg is not None:
        along = _along(aimed, direction.elevation_deg, direction.sd_deg)
    covariance = across_m**2 * np.outer(across, across) + along.sd_m**2 * np.outer(to, to)
    off_m = (level_m + along.farther_m) * to - np.array([east_m, north_m])
    return Spot(off_m, covariance, along.per_metre * to)


class _Aim(NamedTuple):
    """A point in a direction: how far out over the ground, how high above sea level."""

    stand: Place
    azimuth_deg: float
    level_m: float
    amsl_m: float

    def elevation_deg(self) -> float:
        return look(
            self.stand,
            place_of(destination(self.stand, self.azimuth_deg, self.level_m), self.amsl_m),
        ).elevation_deg


class _Along(NamedTuple):
    """How much farther out an elevation has it, and how sure, and for each metre of height."""

    farther_m: float
    sd_m: float
    per_metre: float


def _along(aim: _Aim, elevation_deg: float, sd_deg: float) -> _Along:
    out_m = aim.level_m + _NUDGE_M, max(aim.level_m - _NUDGE_M, 0.0)
    farther, nearer = (aim._replace(level_m=one).elevation_deg() for one in out_m)
    steep_deg_pm = (farther - nearer) / (out_m[0] - out_m[1])
    up_m = aim.amsl_m + _NUDGE_M, aim.amsl_m - _NUDGE_M
    higher, lower = (aim._replace(amsl_m=one).elevation_deg() for one in up_m)
    raised_deg_pm = (higher - lower) / (2.0 * _NUDGE_M)
    missed_deg = elevation_deg - aim.elevation_deg()
    least, most = (one * aim.level_m for one in _STEP_RATIO)
    farther_m = min(max(missed_deg / steep_deg_pm, least), most)
    sd_m = _widened(sd_deg, abs(missed_deg)) / abs(steep_deg_pm)
    return _Along(farther_m, sd_m, -raised_deg_pm / steep_deg_pm)


def _widened(sd: float, missed: float) -> float:
    """Return the deviation that a reading counts with, so far from where it was believed."""
    return sd * float(np.sqrt((_TAILS + (missed / sd) ** 2) / (_TAILS + 1.0)))
