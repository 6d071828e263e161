"""Polarisation: what two antennas lose when their waves do not turn or lie alike."""

import math
from dataclasses import dataclass
from enum import StrEnum
from typing import Final, NamedTuple

from farglide.errors import InputError, check_range
from farglide.kernel import compiled

LARGEST_MISMATCH_DB: Final = 30.0
"""No pair of real antennas is crossed better than this. Common practice, no source."""


class Sense(StrEnum):
    """How the field of the wave moves, seen along its way from behind."""

    LINEAR = "linear"
    RIGHT = "right circular"
    LEFT = "left circular"


@dataclass(frozen=True, slots=True, kw_only=True)
class Polarisation:
    """The wave of one antenna: an ellipse from a line (linear) to a circle (axial ratio 0 dB).

    `tilt_deg` is that of the line, or of the ellipse's long axis, from level. Both antennas count
    it as the receiving one sees it.
    """

    sense: Sense
    tilt_deg: float = 0.0
    axial_ratio_db: float = 0.0  # of a circular one

    def __post_init__(self) -> None:
        if self.sense not in tuple(Sense):
            raise InputError("sense", repr(self.sense), ", ".join(Sense))
        check_range("tilt_deg", self.tilt_deg, "deg", (-360.0, 360.0))
        top_db = 0.0 if self.sense == Sense.LINEAR else 60.0
        remedy = "It is above 0; a linear antenna has none to state."
        check_range("axial_ratio_db", self.axial_ratio_db, "dB", (0.0, top_db), remedy)

    @property
    def ellipticity_rad(self) -> float:
        """Return the arc tangent of short over long axis: 0 linear, pi/4 right, -pi/4 left."""
        if self.sense == Sense.LINEAR:
            return 0.0
        angle_rad = math.atan(math.pow(10.0, -self.axial_ratio_db / 20.0))
        return angle_rad if self.sense == Sense.RIGHT else -angle_rad


class _Passing(NamedTuple):
    """Mean and half swing of the share of power that passes, over all tilts."""

    mean: float
    swing: float


def mismatch_db(one: Polarisation, other: Polarisation, roll_deg: float = 0.0) -> float:
    """Return the polarisation loss between two antennas, one rolled about the line of sight.

    Valid: up to 30 dB; a purer cross is taken as 30 dB.
    Source: 1/2 [1 + (4 r1 r2 + (1 - r1^2)(1 - r2^2) cos 2 tilt) / ((1 + r1^2)(1 + r2^2))], axial
    ratios r negative for left: the product of two Jones vectors written out, as the tests do.

    >>> level, circle = Polarisation(sense=Sense.LINEAR), Polarisation(sense=Sense.RIGHT)
    >>> round(mismatch_db(level, level, 30.0), 2), round(mismatch_db(level, circle), 2)
    (1.25, 3.01)
    """
    check_range("roll_deg", roll_deg, "deg", (-720.0, 720.0))
    tilt_rad = math.radians(one.tilt_deg - other.tilt_deg + roll_deg)
    return float(mismatch_at_db(one.ellipticity_rad, other.ellipticity_rad, tilt_rad))


def worst_mismatch_db(one: Polarisation, other: Polarisation) -> float:
    """Return the loss at the worst roll, long axes crossed: 30 dB for two linear antennas.

    >>> circle = Polarisation(sense=Sense.RIGHT, axial_ratio_db=3.0)
    >>> round(worst_mismatch_db(circle, circle), 2)
    0.51
    """
    crossed_rad = 0.5 * math.pi
    return float(mismatch_at_db(one.ellipticity_rad, other.ellipticity_rad, crossed_rad))


def best_mismatch_db(one: Polarisation, other: Polarisation) -> float:
    """Return the loss at the best roll, long axes along each other: none for two linear antennas.

    >>> level, circle = Polarisation(sense=Sense.LINEAR), Polarisation(sense=Sense.RIGHT)
    >>> round(best_mismatch_db(level, level), 2), round(best_mismatch_db(level, circle), 2)
    (0.0, 3.01)
    """
    return float(mismatch_at_db(one.ellipticity_rad, other.ellipticity_rad, 0.0)) + 0.0  # no -0.0


def mean_mismatch_db(one: Polarisation, other: Polarisation) -> float:
    """Return the mean of the loss in decibels over all rolls, for a glider that swings about.

    Valid: up to 30 dB. The short deep crosses count in full: held at 30 dB, two linear antennas
    would have 5.85 instead of 6.02 dB.
    Source: mean of log(a + b cos x) = log((a + sqrt(a^2 - b^2)) / 2), which the tests integrate;
    Gradshteyn and Ryzhik 4.224 (number from memory).

    >>> level = Polarisation(sense=Sense.LINEAR)
    >>> round(mean_mismatch_db(level, level), 2)
    6.02
    """
    mean, swing = _passing(one.ellipticity_rad, other.ellipticity_rad)
    share = 0.5 * (mean + math.sqrt(max(mean * mean - swing * swing, 0.0)))
    return _loss_db(share)


@compiled
def mismatch_at_db(one_rad: float, other_rad: float, tilt_rad: float) -> float:
    """Return the loss between two ellipticity angles, their long axes that far apart. Unchecked."""
    mean, swing = _passing(one_rad, other_rad)
    return _loss_db(mean + swing * math.cos(2.0 * tilt_rad))


@compiled
def _passing(one_rad: float, other_rad: float) -> _Passing:
    """Return the share of power that passes between two ellipticity angles.

    With r = 1 / tan(angle), 2 r / (1 + r^2) is sin(2 angle) and (1 - r^2) / (1 + r^2) is
    -cos(2 angle): so a line, r infinite, is no special case.
    """
    mean = 0.5 * (1.0 + math.sin(2.0 * one_rad) * math.sin(2.0 * other_rad))
    return _Passing(mean, 0.5 * math.cos(2.0 * one_rad) * math.cos(2.0 * other_rad))


@compiled
def _loss_db(share: float) -> float:
    if share < math.pow(10.0, -0.1 * LARGEST_MISMATCH_DB):
        return LARGEST_MISMATCH_DB
    return -10.0 * math.log10(share)
