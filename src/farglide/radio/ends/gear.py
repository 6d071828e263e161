"""End gear: the ends of a link turned into gains, losses, tables by elevation and doubts."""

import math
from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import FloatArray
from farglide.errors import InputError
from farglide.radio.antenna.kinds import pattern_of
from farglide.radio.antenna.measured import Measured
from farglide.radio.antenna.mounted import (
    AimLoss,
    HalfPower,
    Mounted,
    aim_loss,
    axis_dbi,
    half_power,
    mounted,
)
from farglide.radio.antenna.pattern import Pattern, damaged, gain_towards_dbi, peak_dbi
from farglide.radio.antenna.polarisation import (
    Polarisation,
    Sense,
    best_mismatch_db,
    mean_mismatch_db,
    mismatch_db,
    worst_mismatch_db,
)
from farglide.radio.antenna.stance import AIMED
from farglide.radio.ends.end import UNSTATED, End

_LOWEST_SEEN_DEG: Final = 0.0
_HIGHEST_SEEN_DEG: Final = 60.0
"""Elevations over which the spread of a gain is taken together: flights are mostly seen there."""
N_SINES: Final = 721
"""Rows of a table by the sine of the elevation, -1 to 1."""
_N_ROLLS: Final = 720
_TILTS_DEG: Final = {"linear level": 0.0, "linear upright": 90.0}
_BETWEEN_DEG: Final = 45.0
FAR_OFF_DB: Final = 3.0
"""A stated gain and the antenna's own may differ by this; more is asked about."""


class EndGear(NamedTuple):
    """What one end puts into the budget, and what it takes out of it.

    `gain_dbi`: stated, else the pattern's peak; `loss_db`: lost in every direction, by aim and
    damage; `table_db` (N_SINES,): gain against `gain_dbi` by the sine of the elevation; `sd_db`:
    doubt from aim, swing, headings and a skew.
    """

    spec: End
    gain_dbi: float
    loss_db: float
    table_db: FloatArray
    sd_db: float
    aim: AimLoss | None = None
    width: HalfPower | None = None  # of a beam

    @property
    def level_db(self) -> float:
        """Return the gain against `gain_dbi` at the horizon."""
        return float(self.table_db[N_SINES // 2])


def end_gear(end: End, gain_dbi: float) -> EndGear:
    """Return one end of a link; `gain_dbi` counts where nothing but a gain is known of it."""
    if not end.has_pattern:
        return EndGear(end, gain_dbi, end.damage_db, np.zeros(N_SINES), 0.0)
    pattern = pattern_at(end)
    whole_dbi = peak_dbi(pattern)
    hurt = damaged(pattern, end.damage_skew_deg)
    width = half_power(pattern) if _is_beam(end) else None
    if end.stands == "aimed":
        aim = aim_loss(hurt, end.aim_spread_deg)
        loss_db = end.damage_db + max(whole_dbi - axis_dbi(hurt), 0.0) + aim.mean_db
        return EndGear(end, whole_dbi, loss_db, np.zeros(N_SINES), aim.sd_db, aim, width)
    stood = mounted(hurt, end.stands, end.swing_deg or 0.0)
    table_db = elevation_gain_db(stood.pattern, whole_dbi, upside=end.aboard)
    sd_db = math.hypot(_seen_sd_db(stood, end), _skew_sd_db(pattern, end))
    return EndGear(end, whole_dbi, end.damage_db, table_db, sd_db, None, width)


def _is_beam(end: End) -> bool:
    """Tell whether it has a boresight: by its kind, or since somebody aims it."""
    return end.stands == "aimed" or (end.antenna is not None and end.antenna.usual == AIMED)


def _skew_sd_db(pattern: Pattern, end: End) -> float:
    """Return the spread from not knowing to which side an upright antenna was bent.

    A level one shows every side of itself over the headings already.
    """
    if not end.damage_skew_deg or end.stands == "level" or end.stands == "aimed":
        return 0.0
    return _seen_sd_db(mounted(pattern, end.stands, end.damage_skew_deg), end)


def _seen_sd_db(stood: Mounted, end: End) -> float:
    """Return the root mean square of a spread over the elevations where flights are seen."""
    elevation_deg = np.linspace(_LOWEST_SEEN_DEG, _HIGHEST_SEEN_DEG, 61)
    from_up_deg = 90.0 + elevation_deg if end.aboard else 90.0 - elevation_deg
    grid_deg = np.linspace(0.0, 180.0, len(stood.sd_db))
    return float(np.sqrt(np.mean(np.interp(from_up_deg, grid_deg, stood.sd_db) ** 2)))


def elevation_gain_db(upright: Pattern, budget_dbi: float, upside: bool = False) -> FloatArray:
    """Return the gain of an upright antenna against a budget's, by the sine of the elevation.

    The elevation is that of the aircraft, seen from the stand. The axis of the pattern points up on
    the ground or down on the aircraft, towards the other end; `upside`: away from it, as an upright
    antenna of the aircraft does. Shape (N_SINES,).
    Valid: both ends with the same vertical, 1 degree off in 111 km.
    """
    off_deg = np.degrees(np.arccos(np.linspace(-1.0, 1.0, N_SINES)))
    if upside:
        off_deg = 180.0 - off_deg
    return np.array([gain_towards_dbi(upright, float(deg)) for deg in off_deg]) - budget_dbi


class PolarisationGear(NamedTuple):
    """What two polarisations lose over the rolls, and when one end is turned for the best."""

    mean_db: float
    sd_db: float
    worst_db: float
    best_db: float


def polarisation_gear(one: End, other: End) -> PolarisationGear | None:
    """Return what two polarisations lose, over the rolls of the end that flies.

    With its swing unstated, over all rolls alike; else over tilts of that swing to each side. None
    where one of them is not stated.
    """
    if UNSTATED in (one.polarisation, other.polarisation):
        return None
    waves = _wave(one), _wave(other)
    flies = one if one.aboard else other
    worst_db, best_db = worst_mismatch_db(*waves), best_mismatch_db(*waves)
    share = (np.arange(_N_ROLLS) + 0.5) / _N_ROLLS
    if flies.swing_deg is None:
        lost_db = np.array([mismatch_db(*waves, float(360.0 * roll)) for roll in share])
        return PolarisationGear(mean_mismatch_db(*waves), float(lost_db.std()), worst_db, best_db)
    tilts = flies.swing_deg * np.sin(2.0 * math.pi * share)
    lost_db = np.array([mismatch_db(*waves, float(tilt)) for tilt in tilts])
    return PolarisationGear(
        float(lost_db.mean()), float(lost_db.std()), float(lost_db.max()), best_db
    )


def tilt_at_deg(end: End) -> float:
    """Return the tilt of a wave's field from level; 45 for a circular one, and where unstated."""
    return _TILTS_DEG.get(end.polarisation, _BETWEEN_DEG)


def _wave(end: End) -> Polarisation:
    if end.polarisation in _TILTS_DEG:
        return Polarisation(sense=Sense.LINEAR, tilt_deg=tilt_at_deg(end))
    return Polarisation(sense=Sense(end.polarisation), axial_ratio_db=end.axial_ratio_db)


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
