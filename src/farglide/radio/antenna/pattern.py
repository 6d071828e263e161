"""Patterns: the gain of an antenna in two planes as tables, read fast for any direction."""

import math
from collections.abc import Callable
from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import FloatArray
from farglide.errors import check_range
from farglide.kernel import compiled
from farglide.radio.antenna.shape import NULL_DB

GainLaw = Callable[[float], float]

_N_SIDES: Final = 360  # to which a bent antenna may lean
_STEPS_PER_DETAIL: Final = 10.0  # chords of the parabola -12 x^2 then lie within 0.03 dB


class Pattern(NamedTuple):
    """Gain at even steps of the angle off the axis, 0 to 180 degrees, in two planes through it.

    The step is 1 degree, or a whole fraction of it for finer beams and side lobes. The axis is
    the boresight of a beam, the wire of an upright antenna. The level plane holds the antenna's
    right, the upright plane its top; an antenna alike all round has the same table twice. Nothing
    is weaker than the floor: it fills the nulls of a formula 30 dB below the peak.
    """

    level_dbi: FloatArray
    upright_dbi: FloatArray
    floor_dbi: float


class Cuts(NamedTuple):
    """The gain in both planes as formulas of the angle in degrees, and how fine they are.

    The detail is the half-power beamwidth where the gain is smooth, less where it has side lobes.
    """

    level: GainLaw
    upright: GainLaw
    detail_deg: float
    floor_db: float = NULL_DB  # below the peak; infinite: the formulas know their weakest side


@compiled
def gain_around_dbi(pattern: Pattern, off_axis_rad: float, roll_rad: float) -> float:
    """Return the gain towards a direction; the roll counts from the antenna's right to its top.

    Between the planes the decibels are weighted with cos^2 and sin^2 of the roll, which makes the
    half-power contour of two parabolas an ellipse. Unchecked.
    Valid: inside that contour; beyond it a convention. Source: ITU-R F.1336-5, recommends 3.2.1
    (sectoral antennas, 6 to 70 GHz). From 400 MHz to 6 GHz its 3.1 adds the planes' losses, which
    is the same inside the contour.
    """
    top = math.sin(roll_rad) * math.sin(roll_rad)
    level = _read(pattern.level_dbi, off_axis_rad)
    between = (1.0 - top) * level + top * _read(pattern.upright_dbi, off_axis_rad)
    return max(between, pattern.floor_dbi)


def gain_towards_dbi(pattern: Pattern, off_axis_deg: float, roll_deg: float = 0.0) -> float:
    """Return the gain towards a direction, by its angle off the axis and its roll about it."""
    check_range("off_axis_deg", off_axis_deg, "deg", (0.0, 180.0), "It has no sign.")
    check_range("roll_deg", roll_deg, "deg", (-360.0, 360.0))
    return float(gain_around_dbi(pattern, math.radians(off_axis_deg), math.radians(roll_deg)))


def gains_around_dbi(
    pattern: Pattern, off_axis_rad: FloatArray, roll_rad: FloatArray
) -> FloatArray:
    """Return what `gain_around_dbi` does, for arrays of one shape."""
    n_level, n_upright = len(pattern.level_dbi), len(pattern.upright_dbi)
    level = np.interp(off_axis_rad, np.linspace(0.0, math.pi, n_level), pattern.level_dbi)
    upright = np.interp(off_axis_rad, np.linspace(0.0, math.pi, n_upright), pattern.upright_dbi)
    top = np.sin(roll_rad) ** 2
    return np.maximum((1.0 - top) * level + top * upright, pattern.floor_dbi)


def peak_dbi(pattern: Pattern) -> float:
    """Return the largest gain of a pattern."""
    return float(max(pattern.level_dbi.max(), pattern.upright_dbi.max()))


def tabulated(cuts: Cuts) -> Pattern:
    """Return formulas as a pattern.

    Valid: within 0.05 dB of them from 5 degrees off a null, and where the step of the table holds
    no step or corner of the formula.
    """
    n_per_deg = max(1, math.ceil(_STEPS_PER_DETAIL / cuts.detail_deg))
    angles_deg = np.linspace(0.0, 180.0, 180 * n_per_deg + 1).tolist()
    level = np.array([cuts.level(angle) for angle in angles_deg])
    upright = level
    if cuts.upright is not cuts.level:
        upright = np.array([cuts.upright(angle) for angle in angles_deg])
    weakest = float(min(level.min(), upright.min()))
    floor = max(float(max(level.max(), upright.max())) - cuts.floor_db, weakest)
    return Pattern(level, upright, floor)


def damaged(pattern: Pattern, skew_deg: float) -> Pattern:
    """Return the pattern with its axis bent, as the mean in power over all sides it may lean to.

    So the axis keeps what the whole antenna has at the angle of the skew, and no power is gained.
    Source: common practice, no source; turning and averaging keep the radiated power.
    """
    check_range("skew_deg", skew_deg, "deg", (0.0, 90.0), "Turn the antenna round.")
    skew_rad = math.radians(skew_deg)
    level = upright = _leaning_dbi(pattern, 0.0, skew_rad)
    if pattern.upright_dbi is not pattern.level_dbi:
        upright = _leaning_dbi(pattern, 0.5 * math.pi, skew_rad)
    return Pattern(level, upright, pattern.floor_dbi)


def _leaning_dbi(pattern: Pattern, roll_rad: float, skew_rad: float) -> FloatArray:
    """Return one plane's table, read by an axis that leans to each side in turn."""
    table = pattern.level_dbi if roll_rad == 0.0 else pattern.upright_dbi
    if skew_rad == 0.0:
        return table
    off_axis = np.linspace(0.0, math.pi, len(table))[:, np.newaxis]
    side = np.linspace(0.0, 2.0 * math.pi, _N_SIDES, endpoint=False)[np.newaxis, :]
    # the direction in the leaning antenna's axes: turned back about a line square to the lean
    ahead, out = np.cos(off_axis), np.sin(off_axis)
    along, across = out * np.cos(roll_rad - side), out * np.sin(roll_rad - side)
    forward = ahead * math.cos(skew_rad) + along * math.sin(skew_rad)
    outward = along * math.cos(skew_rad) - ahead * math.sin(skew_rad)
    roll = np.arctan2(across, outward) + side
    gains_dbi = gains_around_dbi(pattern, np.arccos(np.clip(forward, -1.0, 1.0)), roll)
    mean: FloatArray = 10.0 * np.log10(np.power(10.0, 0.1 * gains_dbi).mean(axis=1))
    return mean


@compiled
def _read(table_dbi: FloatArray, off_axis_rad: float) -> float:
    if math.isnan(off_axis_rad):
        return math.nan
    last = len(table_dbi) - 1
    position = min(abs(off_axis_rad) * last / math.pi, float(last))
    cell = min(int(position), last - 1)
    share = position - cell
    return (1.0 - share) * table_dbi[cell] + share * table_dbi[cell + 1]
