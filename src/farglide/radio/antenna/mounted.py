"""Mounted: what a pattern becomes on what turns and leans, and what an unsteady aim takes."""

import math
from typing import Final, Literal, NamedTuple

import numpy as np

from farglide.arrays import FloatArray
from farglide.errors import InputError, check_range
from farglide.radio.antenna.pattern import Pattern, gains_around_dbi

Axis = Literal["up", "down", "level"]
_AXES: Final = ("up", "down", "level")
_N_SIDES: Final = 360
_N_SOME: Final = 36  # headings and sides where both count; a divisor of _N_SIDES
_ROUND_DB: Final = 1e-9  # headings that differ by less are one
_N_RINGS: Final = 400
_N_ROLLS: Final = 72
_HALF_DB: Final = 10.0 * math.log10(2.0)


class Mounted(NamedTuple):
    """An antenna by the angle from straight up, over all headings and the sides it leans to.

    `pattern`: the median; `sd_db`: the standard deviation of the decibels, on the same angles.
    """

    pattern: Pattern
    sd_db: FloatArray


class AimLoss(NamedTuple):
    """What an unsteady aim takes: the mean and the standard deviation, in decibels."""

    mean_db: float
    sd_db: float


class HalfPower(NamedTuple):
    """The full widths of a beam in both planes, 3 dB below its axis; 360 where it never falls."""

    level_deg: float
    upright_deg: float


def mounted(pattern: Pattern, axis: Axis, lean_deg: float = 0.0) -> Mounted:
    """Return what a pattern becomes on what turns to every heading and leans to every side.

    `lean_deg`: from how its axis stands, to each side in turn.
    Nulls drag the mean of the decibels down, peaks draw the mean in power up: an even chance to be
    heard goes by the median. Headings and sides have nothing to do with each other.
    Source: common practice, no source.
    """
    if axis not in _AXES:
        raise InputError("axis", repr(axis), ", ".join(_AXES))
    check_range("lean_deg", lean_deg, "deg", (0.0, 90.0), "Count from upright.")
    every_dbi = _turned_dbi(pattern, axis)
    if lean_deg > 0.0:
        every_dbi = _every_lean_dbi(every_dbi, math.radians(lean_deg))
    median_dbi = np.median(every_dbi, axis=1)
    return Mounted(Pattern(median_dbi, median_dbi, pattern.floor_dbi), every_dbi.std(axis=1))


def aim_loss(pattern: Pattern, aim_sd_deg: float) -> AimLoss:
    """Return what an unsteady aim of the axis takes, against the gain on the axis.

    `aim_sd_deg`: standard deviation of the error in each of two directions square to each other.
    Side lobes and unlike planes count as they are. Never below 0: a pattern stronger beside its
    axis gains nothing from a bad aim.
    Valid: errors small enough for a flat sky, 30 degrees or so.
    Source: Rayleigh's distribution of the error, in rings of equal chance; parts without a closed
    form are those of the pattern.
    """
    check_range("aim_sd_deg", aim_sd_deg, "deg", (0.0, 30.0), "Give one standard deviation.")
    chance = (np.arange(_N_RINGS) + 0.5) / _N_RINGS
    off_rad = math.radians(aim_sd_deg) * np.sqrt(-2.0 * np.log1p(-chance))
    roll_rad = np.linspace(0.0, 2.0 * math.pi, _N_ROLLS, endpoint=False)
    ring, roll = np.meshgrid(np.minimum(off_rad, math.pi), roll_rad, indexing="ij")
    lost_db = axis_dbi(pattern) - gains_around_dbi(pattern, ring, roll)
    return AimLoss(max(float(lost_db.mean()), 0.0), float(lost_db.std()))


def axis_dbi(pattern: Pattern) -> float:
    """Return the gain on the axis, the boresight of a beam."""
    return float(max(0.5 * (pattern.level_dbi[0] + pattern.upright_dbi[0]), pattern.floor_dbi))


def half_power(pattern: Pattern) -> HalfPower:
    """Return how wide a beam is."""
    return HalfPower(_width_deg(pattern.level_dbi), _width_deg(pattern.upright_dbi))


def _width_deg(table_dbi: FloatArray) -> float:
    below = np.flatnonzero(table_dbi < table_dbi[0] - _HALF_DB)
    if not len(below):
        return 360.0
    i = int(below[0])
    step_deg = 180.0 / (len(table_dbi) - 1)
    share = (table_dbi[i - 1] - table_dbi[0] + _HALF_DB) / (table_dbi[i - 1] - table_dbi[i])
    return 2.0 * step_deg * float(i - 1 + share)


def _turned_dbi(pattern: Pattern, axis: Axis) -> FloatArray:
    """Return the gain by the angle from up and by heading; a level antenna stands top up."""
    n = max(len(pattern.level_dbi), len(pattern.upright_dbi))
    from_up = np.linspace(0.0, math.pi, n)[:, np.newaxis]
    heading = np.linspace(0.0, 2.0 * math.pi, _N_SIDES, endpoint=False)[np.newaxis, :]
    from_up, heading = np.broadcast_arrays(from_up, heading)
    if axis == "up":
        return gains_around_dbi(pattern, from_up, heading)
    if axis == "down":
        return gains_around_dbi(pattern, math.pi - from_up, heading)
    ahead, right = np.sin(from_up) * np.cos(heading), np.sin(from_up) * np.sin(heading)
    off_axis = np.arccos(np.clip(ahead, -1.0, 1.0))
    return gains_around_dbi(pattern, off_axis, np.arctan2(np.cos(from_up), right))


def _leant_dbi(upright_dbi: FloatArray, lean_rad: float, n_sides: int = _N_SIDES) -> FloatArray:
    """Return the gain by the angle from up and by the side to which the axis leans."""
    grid = np.linspace(0.0, math.pi, len(upright_dbi))
    from_up = grid[:, np.newaxis]
    side = np.linspace(0.0, 2.0 * math.pi, n_sides, endpoint=False)[np.newaxis, :]
    cosine = np.cos(from_up) * math.cos(lean_rad)
    cosine = cosine + np.sin(from_up) * math.sin(lean_rad) * np.cos(side)
    found: FloatArray = np.interp(np.arccos(np.clip(cosine, -1.0, 1.0)), grid, upright_dbi)
    return found


def _every_lean_dbi(heading_dbi: FloatArray, lean_rad: float) -> FloatArray:
    """Return the gain by the angle from up, for some headings of each of some sides in a row."""
    if np.ptp(heading_dbi, axis=1).max() < _ROUND_DB:
        return _leant_dbi(heading_dbi[:, 0], lean_rad)
    some_dbi = heading_dbi[:, :: _N_SIDES // _N_SOME].T
    return np.hstack([_leant_dbi(column, lean_rad, _N_SOME) for column in some_dbi])
