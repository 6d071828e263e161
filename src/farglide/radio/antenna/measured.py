"""Measured patterns: a table of angles and gains, checked and turned into a pattern."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import ClassVar, Final, NamedTuple

import numpy as np

from farglide.arrays import FloatArray
from farglide.errors import ContradictionError, InputError, check_range
from farglide.radio.antenna.pattern import Pattern
from farglide.radio.antenna.stance import UPRIGHT, UsualStance


class PatternRow(NamedTuple):
    """A row of a measurement: the angle off the axis, and the gain there."""

    angle_deg: float
    gain_dbi: float


Rows = Sequence[PatternRow]

FEWEST_ROWS: Final = 5
WIDEST_HOLE_DEG: Final = 30.0
_SAME_DB: Final = 1.0  # what two readings of one direction may differ by
_FINEST_PER_DEG: Final = 10


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """An antenna measured in its level and its upright plane, or in one that stands for all."""

    level: tuple[PatternRow, ...]
    upright: tuple[PatternRow, ...] | None = None
    noun: ClassVar[str] = "measured antenna"
    usual: ClassVar[UsualStance] = UPRIGHT

    def pattern(self) -> Pattern:
        """Return its pattern."""
        if self.upright is None:
            return measured_pattern(self.level)
        return measured_beam(self.level, self.upright)


class _Round(NamedTuple):
    """A measurement all round, its angles rising."""

    angle_deg: FloatArray
    gain_dbi: FloatArray


def measured_pattern(rows: Rows) -> Pattern:
    """Return the pattern of an antenna measured in one plane and taken as alike all round.

    A row is the angle off the axis in degrees and the gain in dBi, in any order. Angles from 0 to
    180 stand for both sides; with angles from -180 to 180 each side is measured, and the pattern
    is their mean in power. Between rows the decibels are interpolated; what is measured has no
    other floor than its weakest row.
    Valid: 5 rows or more, no hole wider than 30 degrees, -60 to 60 dBi.

    >>> rows = [(0, 12), (20, 9), (45, 0), (75, -6), (105, -9), (135, -8), (165, -5), (180, -3)]
    >>> pattern = measured_pattern([PatternRow(*row) for row in rows])
    >>> round(float(pattern.level_dbi[10]), 2)
    10.5
    """
    table = _table_dbi(rows, "pattern")
    return Pattern(table, table, float(table.min()))


def measured_beam(level_rows: Rows, upright_rows: Rows) -> Pattern:
    """Return the pattern of an antenna measured in its level and its upright plane.

    Valid: as for one plane; both hold the boresight, where they must agree within 1 dB.
    """
    level = _table_dbi(level_rows, "level plane")
    upright = _table_dbi(upright_rows, "upright plane")
    if abs(level[0] - upright[0]) > _SAME_DB:
        raise ContradictionError(
            f"the level plane has {level[0]:.1f} dBi on the boresight, the upright plane "
            f"{upright[0]:.1f} dBi: it is one direction.",
            "Bring both to the same reference.",
        )
    return Pattern(level, upright, float(min(level.min(), upright.min())))


def _table_dbi(rows: Rows, name: str) -> FloatArray:
    """Return the gain at even steps from 0 to 180 degrees."""
    if len(rows) < FEWEST_ROWS:
        raise InputError(name, f"{len(rows)} rows", f"{FEWEST_ROWS} rows or more", "Measure more.")
    for k, (angle, gain) in enumerate(rows, start=1):
        remedy = "Write 190 degrees as -170."
        check_range(f"angle of row {k} of the {name}", angle, "deg", (-180.0, 180.0), remedy)
        remedy = "Give dBi, neither dB nor dBm."
        check_range(f"gain of row {k} of the {name}", gain, "dBi", (-60.0, 60.0), remedy)
    angle_deg, gain_dbi = _once_round(sorted(PatternRow(float(a), float(g)) for a, g in rows), name)
    finest_deg = max(float(np.diff(angle_deg).min()), 1.0 / _FINEST_PER_DEG)
    n_per_deg = max(1, math.ceil(1.0 / finest_deg - 1e-9))
    grid_deg = np.linspace(0.0, 180.0, 180 * n_per_deg + 1)
    right = np.interp(grid_deg, angle_deg, gain_dbi)
    left = np.interp(-grid_deg, angle_deg, gain_dbi)
    mean: FloatArray = 10.0 * np.log10(0.5 * (10.0 ** (0.1 * right) + 10.0 ** (0.1 * left)))
    return mean


def _once_round(rows: list[PatternRow], name: str) -> _Round:
    """Return sorted angles and gains that reach round the whole circle and a row beyond."""
    if rows[0].angle_deg >= 0.0:
        left = (PatternRow(-angle, gain) for angle, gain in rows if 0.0 < angle < 180.0)
        rows = sorted([*rows, *left])
    elif rows[0].angle_deg == -180.0 and rows[-1].angle_deg == 180.0:
        if abs(rows[0].gain_dbi - rows[-1].gain_dbi) > _SAME_DB:
            given = f"{rows[0].gain_dbi:g} and {rows[-1].gain_dbi:g} dBi at -180 and 180°"
            raise InputError(name, given, "one gain straight behind", "Leave one of the rows out.")
        rows = rows[1:]
    angle_deg, gain_dbi = (np.array(column) for column in zip(*rows, strict=True))
    angle_deg = np.concatenate(([angle_deg[-1] - 360.0], angle_deg, [angle_deg[0] + 360.0]))
    gain_dbi = np.concatenate(([gain_dbi[-1]], gain_dbi, [gain_dbi[0]]))
    _check_steps(angle_deg, name)
    return _Round(angle_deg, gain_dbi)


def _check_steps(angle_deg: FloatArray, name: str) -> None:
    """Refuse doubles and holes; of two mirrored ones the right-hand one is named."""
    steps_deg = np.diff(angle_deg)[::-1]
    starts_deg, ends_deg = angle_deg[-2::-1], angle_deg[:0:-1]
    least, widest = int(np.argmin(steps_deg)), int(np.argmax(steps_deg))
    if not steps_deg[least] > 0.0:
        given = f"{starts_deg[least]:g}° twice"
        raise InputError(name, given, "each angle once", "Leave one of the rows out.")
    if steps_deg[widest] > WIDEST_HOLE_DEG + 1e-9:
        end_deg = ends_deg[widest] - (360.0 if ends_deg[widest] > 180.0 else 0.0)
        given = f"a hole from {starts_deg[widest]:g} to {end_deg:g}°"
        allowed = f"holes of {WIDEST_HOLE_DEG:g}° or less, all round"
        raise InputError(name, given, allowed, "Measure in between.")
