"""End gear: one end of a link turned into a gain, a loss, a table by elevation and a doubt."""

import math
from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import FloatArray
from farglide.radio.antenna.mounted import (
    AimLoss,
    HalfPower,
    Mount,
    Mounted,
    aim_loss,
    axis_dbi,
    half_power,
    mounted,
)
from farglide.radio.antenna.pattern import Damage, Pattern, damaged, peak_dbi
from farglide.radio.antenna.stance import AIMED
from farglide.radio.ends.elevation import N_SINES, elevation_gain_db
from farglide.radio.ends.end import End
from farglide.radio.ends.fit import pattern_at

_LOWEST_SEEN_DEG: Final = 0.0
_HIGHEST_SEEN_DEG: Final = 60.0
"""Elevations over which the spread of a gain is taken together: flights are mostly seen there."""


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
    hurt = damaged(pattern, Damage(skew_deg=end.damage_skew_deg))
    width = half_power(pattern) if _is_beam(end) else None
    if end.stands == "aimed":
        aim = aim_loss(hurt, end.aim_spread_deg)
        loss_db = end.damage_db + max(whole_dbi - axis_dbi(hurt), 0.0) + aim.mean_db
        return EndGear(end, whole_dbi, loss_db, np.zeros(N_SINES), aim.sd_db, aim, width)
    stood = mounted(hurt, _mount(end, end.swing_deg or 0.0))
    table_db = elevation_gain_db(stood.pattern, whole_dbi, upside=end.aboard)
    sd_db = math.hypot(_seen_sd_db(stood, end), _skew_sd_db(pattern, end))
    return EndGear(end, whole_dbi, end.damage_db, table_db, sd_db, None, width)


def _is_beam(end: End) -> bool:
    """Tell whether it has a boresight: by its kind, or since somebody aims it."""
    return end.stands == "aimed" or (end.antenna is not None and end.antenna.usual == AIMED)


def _mount(end: End, lean_deg: float) -> Mount:
    if end.stands == "down":
        return Mount(axis="down", lean_deg=lean_deg)
    return Mount(axis="level" if end.stands == "level" else "up", lean_deg=lean_deg)


def _skew_sd_db(pattern: Pattern, end: End) -> float:
    """Return the spread from not knowing to which side an upright antenna was bent.

    A level one shows every side of itself over the headings already.
    """
    if not end.damage_skew_deg or end.stands == "level":
        return 0.0
    return _seen_sd_db(mounted(pattern, _mount(end, end.damage_skew_deg)), end)


def _seen_sd_db(stood: Mounted, end: End) -> float:
    """Return the root mean square of a spread over the elevations where flights are seen."""
    elevation_deg = np.linspace(_LOWEST_SEEN_DEG, _HIGHEST_SEEN_DEG, 61)
    from_up_deg = 90.0 + elevation_deg if end.aboard else 90.0 - elevation_deg
    grid_deg = np.linspace(0.0, 180.0, len(stood.sd_db))
    return float(np.sqrt(np.mean(np.interp(from_up_deg, grid_deg, stood.sd_db) ** 2)))
