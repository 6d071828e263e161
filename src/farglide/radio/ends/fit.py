"""Fit: the pattern of an end's antenna, and how well a stated gain fits the antenna's own."""

import math
from typing import Final

from farglide.errors import InputError
from farglide.radio.antenna.kinds import pattern_of
from farglide.radio.antenna.measured import Measured
from farglide.radio.antenna.pattern import Pattern, peak_dbi
from farglide.radio.ends.end import End

FAR_OFF_DB: Final = 3.0
"""A stated gain and the antenna's own may differ by this; more is asked about."""


def pattern_at(end: End) -> Pattern:
    """Return the pattern of an antenna that nothing hurt, its peak as stated where it is."""
    pattern = own_pattern(end)
    shift_db = 0.0 if end.gain_dbi is None else end.gain_dbi - peak_dbi(pattern)
    if shift_db == 0.0:
        return pattern
    level = pattern.level_dbi + shift_db
    is_round = pattern.upright_dbi is pattern.level_dbi
    upright = level if is_round else pattern.upright_dbi + shift_db
    return Pattern(level, upright, pattern.floor_dbi + shift_db)


def own_pattern(end: End) -> Pattern:
    """Return the pattern as measured, or as the formula of the antenna has it."""
    if end.antenna is None:
        given = f"{', '.join(end.pattern_paths) or 'none'}, not read"
        remedy = "The files are read when a flight is gathered."
        raise InputError("pattern_file", given, "read", remedy)
    return pattern_of(end.antenna)


def own_gain_dbi(end: End) -> float:
    """Return the peak gain that an antenna has by its measures or its file; NaN where neither says.

    An antenna whose gain is one of its measures, as a collinear, has that one.
    """
    return math.nan if end.antenna is None else peak_dbi(own_pattern(end))


def far_off(end: End) -> str:
    """Return by how much a stated gain stands off the antenna's own, empty where it fits."""
    own_dbi, antenna = own_gain_dbi(end), end.antenna
    if antenna is None or end.gain_dbi is None or abs(end.gain_dbi - own_dbi) <= FAR_OFF_DB:
        return ""
    is_measured = isinstance(antenna, Measured)
    whence = "its file" if is_measured else f"the formula of this {antenna.noun}"
    return f"is {end.gain_dbi:g} dBi, but {whence} gives {own_dbi:.1f} dBi."
